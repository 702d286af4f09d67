-- Plans of jobs that are worked out in the background: what was asked for, how far it is, and what came of it, until it expires. A run is
-- asked for by its id alone, which is its key to the reader too, and lives for a day: whatever spreads them over machines spreads them by id.
CREATE TABLE plan_runs (
    id         text        NOT NULL COLLATE "C",
    house      text        NOT NULL,
    state      text        NOT NULL DEFAULT 'waiting',
    language   text        NOT NULL,
    request    bytea,
    shots_done integer     NOT NULL DEFAULT 0,
    shots_all  integer     NOT NULL,
    take       integer     NOT NULL DEFAULT 0,
    lost       integer     NOT NULL DEFAULT 0,
    answer     bytea,
    problem    bytea,
    created_at timestamptz NOT NULL DEFAULT now(),
    started_at timestamptz,
    seen_at    timestamptz,
    ended_at   timestamptz,
    expires_at timestamptz NOT NULL,
    CONSTRAINT plan_runs_pkey PRIMARY KEY (id),
    CONSTRAINT plan_runs_house_fkey FOREIGN KEY (house) REFERENCES houses (slug),
    CONSTRAINT plan_runs_id_form CHECK (id ~ '^[A-Z2-7]{26}$'),
    CONSTRAINT plan_runs_state_known CHECK (state IN ('waiting', 'running', 'done', 'failed', 'cancelled')),
    CONSTRAINT plan_runs_language_length CHECK (char_length(language) BETWEEN 2 AND 35),
    CONSTRAINT plan_runs_request_size CHECK (octet_length(request) <= 1050000),
    CONSTRAINT plan_runs_answer_size CHECK (octet_length(answer) <= 67174400),
    CONSTRAINT plan_runs_problem_size CHECK (octet_length(problem) <= 65536),
    CONSTRAINT plan_runs_request_while_open CHECK ((request IS NOT NULL) = (state IN ('waiting', 'running'))),
    CONSTRAINT plan_runs_answer_when_done CHECK ((answer IS NOT NULL) = (state = 'done')),
    CONSTRAINT plan_runs_problem_when_failed CHECK ((problem IS NOT NULL) = (state = 'failed')),
    CONSTRAINT plan_runs_ended_when_over CHECK ((ended_at IS NULL) = (state IN ('waiting', 'running'))),
    CONSTRAINT plan_runs_seen_while_running CHECK (state <> 'running' OR (started_at IS NOT NULL AND seen_at IS NOT NULL)),
    CONSTRAINT plan_runs_progress CHECK (shots_done BETWEEN 0 AND shots_all),
    CONSTRAINT plan_runs_counts CHECK (take >= 0 AND lost >= 0),
    CONSTRAINT plan_runs_expiry CHECK (expires_at > created_at)
);

COMMENT ON COLUMN plan_runs.request IS 'the body of the request, gzip; nothing once it is over';
COMMENT ON COLUMN plan_runs.answer IS 'the body of the answer, gzip';
COMMENT ON COLUMN plan_runs.problem IS 'the problem document, gzip';
COMMENT ON COLUMN plan_runs.take IS 'how often it was begun: who began it last alone may write';
COMMENT ON COLUMN plan_runs.lost IS 'how often the process that worked on it was gone';
COMMENT ON COLUMN plan_runs.seen_at IS 'when the process that works on it last said so';
COMMENT ON INDEX plan_runs_pkey IS 'one run';

CREATE INDEX plan_runs_open ON plan_runs (state, seen_at) WHERE state IN ('waiting', 'running');
COMMENT ON INDEX plan_runs_open IS 'how many wait; which were left by their process';

CREATE INDEX plan_runs_by_expiry ON plan_runs (expires_at);
COMMENT ON INDEX plan_runs_by_expiry IS 'runs that may be forgotten';

CREATE INDEX plan_runs_by_house ON plan_runs (house);
COMMENT ON INDEX plan_runs_by_house IS 'is a house still needed, when it is deleted';
