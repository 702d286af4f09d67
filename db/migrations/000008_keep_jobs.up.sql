-- Jobs, as they were said. They belong to no house, and so a job's own id comes first in every key: all of a job can lie on one machine.
CREATE TABLE jobs (
    id         text        NOT NULL COLLATE "C",
    version    bigint      NOT NULL DEFAULT 1,
    name       text        NOT NULL,
    draft      jsonb       NOT NULL,
    first_day  date,
    last_day   date,
    created_at timestamptz NOT NULL DEFAULT now(),
    changed_at timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT jobs_pkey PRIMARY KEY (id),
    CONSTRAINT jobs_id_form CHECK (id ~ '^[a-z0-9]{12,32}$'),
    CONSTRAINT jobs_version_positive CHECK (version > 0),
    CONSTRAINT jobs_name_length CHECK (char_length(name) BETWEEN 1 AND 200),
    CONSTRAINT jobs_draft_object CHECK (jsonb_typeof(draft) = 'object' AND NOT draft ?| ARRAY['name', 'places', 'shots']),
    CONSTRAINT jobs_draft_size CHECK (octet_length(draft::text) <= 1048576),
    CONSTRAINT jobs_days_order CHECK ((first_day IS NULL) = (last_day IS NULL) AND first_day <= last_day),
    CONSTRAINT jobs_changed_later CHECK (changed_at >= created_at)
);

COMMENT ON COLUMN jobs.version IS 'grows by one with every change of the job, its places or its shots';
COMMENT ON COLUMN jobs.draft IS 'what was said of the job itself, in the contract''s names: name, places and shots stand beside';
COMMENT ON COLUMN jobs.first_day IS 'of the hire, said or that of the shots; none without either';
COMMENT ON INDEX jobs_pkey IS 'one job';

CREATE INDEX jobs_by_creation ON jobs (created_at DESC, id DESC);
COMMENT ON INDEX jobs_by_creation IS 'the list of jobs, newest first';

CREATE TABLE job_places (
    job   text  NOT NULL COLLATE "C",
    name  text  NOT NULL COLLATE "C",
    draft jsonb NOT NULL,
    CONSTRAINT job_places_pkey PRIMARY KEY (job, name),
    CONSTRAINT job_places_job_fkey FOREIGN KEY (job) REFERENCES jobs (id) ON DELETE CASCADE,
    CONSTRAINT job_places_name_length CHECK (char_length(name) BETWEEN 1 AND 60),
    CONSTRAINT job_places_draft_object CHECK (jsonb_typeof(draft) = 'object'),
    CONSTRAINT job_places_draft_size CHECK (octet_length(draft::text) <= 1048576)
);

COMMENT ON INDEX job_places_pkey IS 'the places of one job';

CREATE TABLE job_shots (
    job      text    NOT NULL COLLATE "C",
    number   text    NOT NULL COLLATE "C",
    position integer NOT NULL,
    place    text    NOT NULL COLLATE "C",
    day      date    NOT NULL,
    version  bigint  NOT NULL,
    draft    jsonb   NOT NULL,
    CONSTRAINT job_shots_pkey PRIMARY KEY (job, number),
    CONSTRAINT job_shots_position_key UNIQUE (job, position) DEFERRABLE INITIALLY IMMEDIATE,
    CONSTRAINT job_shots_job_fkey FOREIGN KEY (job) REFERENCES jobs (id) ON DELETE CASCADE,
    CONSTRAINT job_shots_place_fkey FOREIGN KEY (job, place) REFERENCES job_places (job, name),
    CONSTRAINT job_shots_number_length CHECK (char_length(number) BETWEEN 1 AND 40),
    CONSTRAINT job_shots_position_positive CHECK (position > 0),
    CONSTRAINT job_shots_version_positive CHECK (version > 0),
    CONSTRAINT job_shots_draft_object CHECK (jsonb_typeof(draft) = 'object' AND NOT draft ?| ARRAY['number', 'place']),
    CONSTRAINT job_shots_draft_size CHECK (octet_length(draft::text) <= 1048576)
);

COMMENT ON COLUMN job_shots.position IS 'its place in the list, with gaps where shots have gone';
COMMENT ON COLUMN job_shots.day IS 'the date on which it starts, in the job''s zone';
COMMENT ON COLUMN job_shots.version IS 'the job''s at the change that made this state';
COMMENT ON COLUMN job_shots.draft IS 'what was said of the shot, in the contract''s names: number and place stand beside';
COMMENT ON INDEX job_shots_pkey IS 'one shot; how many a job has';
COMMENT ON INDEX job_shots_position_key IS 'the shots of one job in their order';

CREATE INDEX job_shots_by_place ON job_shots (job, place);
COMMENT ON INDEX job_shots_by_place IS 'is a place still some shot''s, when it is deleted';

-- A client that sends the same creation again, because the answer was lost, gets the job that it made the first time. The key comes first
-- here, since the job is what it is asked for; whatever spreads jobs over machines spreads this by key.
CREATE TABLE job_creations (
    idempotency_key text        NOT NULL COLLATE "C",
    digest          bytea       NOT NULL,
    job             text        NOT NULL COLLATE "C",
    created_at      timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT job_creations_pkey PRIMARY KEY (idempotency_key),
    CONSTRAINT job_creations_job_fkey FOREIGN KEY (job) REFERENCES jobs (id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED,
    CONSTRAINT job_creations_key_length CHECK (char_length(idempotency_key) BETWEEN 1 AND 200),
    CONSTRAINT job_creations_digest_length CHECK (octet_length(digest) BETWEEN 1 AND 64)
);

COMMENT ON CONSTRAINT job_creations_job_fkey ON job_creations IS 'deferred: the key is claimed before the job is written';
COMMENT ON INDEX job_creations_pkey IS 'was this key used before';

CREATE INDEX job_creations_by_job ON job_creations (job);
COMMENT ON INDEX job_creations_by_job IS 'the keys that go with a job when it is deleted';

CREATE INDEX job_creations_by_age ON job_creations (created_at);
COMMENT ON INDEX job_creations_by_age IS 'the keys that are old enough to be forgotten';
