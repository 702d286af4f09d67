-- A catalogue file between the look at what it would do and its import: the one who sent it sees it at the look, and does not send it
-- again to have it imported. What an import did stays in the place of the file, so that it is done once however often it is asked for.
CREATE TABLE import_files (
    house      text        NOT NULL,
    id         text        NOT NULL COLLATE "C",
    holder     text        NOT NULL COLLATE "C",
    kind       text        NOT NULL,
    file       bytea       NOT NULL,
    created    integer,
    changed    integer,
    unchanged  integer,
    kept_at    timestamptz NOT NULL DEFAULT clock_timestamp(),
    expires_at timestamptz NOT NULL,
    CONSTRAINT import_files_pkey PRIMARY KEY (house, id),
    CONSTRAINT import_files_house_fkey FOREIGN KEY (house) REFERENCES houses (slug),
    CONSTRAINT import_files_id_length CHECK (char_length(id) BETWEEN 1 AND 64),
    CONSTRAINT import_files_holder_length CHECK (char_length(holder) BETWEEN 1 AND 64),
    CONSTRAINT import_files_kind_known CHECK (kind IN ('frame', 'fabric', 'reflector', 'support', 'ballast', 'line', 'anchor',
        'lamp', 'vehicle', 'labour', 'accessory', 'expendable')),
    CONSTRAINT import_files_size CHECK (octet_length(file) <= 8388608),
    CONSTRAINT import_files_done CHECK (num_nonnulls(created, changed, unchanged) = CASE WHEN octet_length(file) = 0 THEN 3 ELSE 0 END),
    CONSTRAINT import_files_counts CHECK (created >= 0 AND changed >= 0 AND unchanged >= 0),
    CONSTRAINT import_files_expiry CHECK (expires_at > kept_at)
);

COMMENT ON COLUMN import_files.holder IS 'the staff session that sent the file, and alone may look at it and import it';
COMMENT ON COLUMN import_files.file IS 'empty once it is imported: created, changed and unchanged then say what that did';
COMMENT ON INDEX import_files_pkey IS 'one file; how many a house keeps';

CREATE INDEX import_files_by_holder ON import_files (house, holder, kept_at);
COMMENT ON INDEX import_files_by_holder IS 'the files of one session, newest first';

CREATE INDEX import_files_by_expiry ON import_files (house, expires_at);
COMMENT ON INDEX import_files_by_expiry IS 'a house''s files that may be forgotten';
