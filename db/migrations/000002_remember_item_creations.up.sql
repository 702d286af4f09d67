-- A client that sends the same creation again, because the answer was lost, gets the item that it made the first time:
-- digest tells whether it is the same, version is the state in which the item was made.
CREATE TABLE item_creations (
    house           text        NOT NULL,
    idempotency_key text        NOT NULL COLLATE "C",
    digest          bytea       NOT NULL,
    version         bigint      NOT NULL,
    created_at      timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT item_creations_pkey PRIMARY KEY (house, idempotency_key),
    CONSTRAINT item_creations_house_fkey FOREIGN KEY (house) REFERENCES houses (slug),
    CONSTRAINT item_creations_key_length CHECK (char_length(idempotency_key) BETWEEN 1 AND 200),
    CONSTRAINT item_creations_digest_length CHECK (octet_length(digest) BETWEEN 1 AND 64)
);

COMMENT ON INDEX item_creations_pkey IS 'was this key used before';

CREATE INDEX item_creations_by_age ON item_creations (house, created_at);
COMMENT ON INDEX item_creations_by_age IS 'the keys that are old enough to be forgotten';
