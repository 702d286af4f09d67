-- Who is signed in on the pages, so that any process knows a session, and none knows it after sign-out. One staff token signs in for
-- all houses of a database, and so a session has no house. The token that the browser holds is not here: its SHA-256 is, in base64.
CREATE TABLE staff_sessions (
    token_hash text        NOT NULL COLLATE "C",
    data       bytea       NOT NULL,
    expires_at timestamptz NOT NULL,
    CONSTRAINT staff_sessions_pkey PRIMARY KEY (token_hash),
    CONSTRAINT staff_sessions_token_hash_length CHECK (char_length(token_hash) = 43),
    CONSTRAINT staff_sessions_data_length CHECK (octet_length(data) BETWEEN 1 AND 4096)
);

COMMENT ON INDEX staff_sessions_pkey IS 'the session of a cookie';

CREATE INDEX staff_sessions_by_expiry ON staff_sessions (expires_at);
COMMENT ON INDEX staff_sessions_by_expiry IS 'the sessions that are over and may be forgotten';
