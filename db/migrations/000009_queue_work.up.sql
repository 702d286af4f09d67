-- The tables of the queue for background work, github.com/riverqueue/river, as version 8 of its own migrations leaves them (river 0.51.2,
-- whose SQL, and so this file, is under the Mozilla Public License 2.0: https://mozilla.org/MPL/2.0/). A test compares the two. The queue
-- reads and writes them; nothing of a house or a job stands here.
CREATE TYPE river_job_state AS ENUM (
    'available', 'cancelled', 'completed', 'discarded', 'pending', 'retryable', 'running', 'scheduled'
);

CREATE TABLE river_job (
    id            bigserial       PRIMARY KEY,
    state         river_job_state NOT NULL DEFAULT 'available',
    attempt       smallint        NOT NULL DEFAULT 0,
    max_attempts  smallint        NOT NULL DEFAULT 25,
    attempted_at  timestamptz,
    created_at    timestamptz     NOT NULL DEFAULT now(),
    finalized_at  timestamptz,
    scheduled_at  timestamptz     NOT NULL DEFAULT now(),
    priority      smallint        NOT NULL DEFAULT 1,
    args          jsonb           NOT NULL,
    attempted_by  text[],
    errors        jsonb[],
    kind          text            NOT NULL,
    metadata      jsonb           NOT NULL DEFAULT '{}',
    queue         text            NOT NULL DEFAULT 'default',
    tags          varchar(255)[]  NOT NULL DEFAULT '{}',
    unique_key    bytea,
    unique_states bit(8),
    CONSTRAINT finalized_or_finalized_at_null CHECK (
        (finalized_at IS NULL AND state NOT IN ('cancelled', 'completed', 'discarded')) OR
        (finalized_at IS NOT NULL AND state IN ('cancelled', 'completed', 'discarded'))),
    CONSTRAINT max_attempts_is_positive CHECK (max_attempts > 0),
    CONSTRAINT priority_in_range CHECK (priority >= 1 AND priority <= 4),
    CONSTRAINT queue_length CHECK (char_length(queue) > 0 AND char_length(queue) < 128),
    CONSTRAINT kind_length CHECK (char_length(kind) > 0 AND char_length(kind) < 128)
);

CREATE FUNCTION river_job_state_in_bitmask(bitmask bit(8), state river_job_state) RETURNS boolean LANGUAGE sql IMMUTABLE AS $$
    SELECT CASE state
        WHEN 'available' THEN get_bit(bitmask, 7)
        WHEN 'cancelled' THEN get_bit(bitmask, 6)
        WHEN 'completed' THEN get_bit(bitmask, 5)
        WHEN 'discarded' THEN get_bit(bitmask, 4)
        WHEN 'pending'   THEN get_bit(bitmask, 3)
        WHEN 'retryable' THEN get_bit(bitmask, 2)
        WHEN 'running'   THEN get_bit(bitmask, 1)
        WHEN 'scheduled' THEN get_bit(bitmask, 0)
        ELSE 0
    END = 1;
$$;

COMMENT ON INDEX river_job_pkey IS 'one piece of work';

CREATE INDEX river_job_kind ON river_job (kind);
COMMENT ON INDEX river_job_kind IS 'the queue''s lists by kind of work';

CREATE INDEX river_job_state_and_finalized_at_index ON river_job (state, finalized_at) WHERE finalized_at IS NOT NULL;
COMMENT ON INDEX river_job_state_and_finalized_at_index IS 'ended work that may be forgotten';

CREATE INDEX river_job_prioritized_fetching_index ON river_job (state, queue, priority, scheduled_at, id);
COMMENT ON INDEX river_job_prioritized_fetching_index IS 'what is to be done next';

CREATE INDEX river_job_args_index ON river_job USING gin (args);
COMMENT ON INDEX river_job_args_index IS 'the queue''s lists by what the work is about';

CREATE INDEX river_job_metadata_index ON river_job USING gin (metadata);
COMMENT ON INDEX river_job_metadata_index IS 'the queue''s lists by its own notes';

CREATE UNIQUE INDEX river_job_unique_idx ON river_job (unique_key)
    WHERE unique_key IS NOT NULL AND unique_states IS NOT NULL AND river_job_state_in_bitmask(unique_states, state);
COMMENT ON INDEX river_job_unique_idx IS 'is the same work in the queue already';

CREATE UNLOGGED TABLE river_leader (
    elected_at timestamptz NOT NULL,
    expires_at timestamptz NOT NULL,
    leader_id  text        NOT NULL,
    name       text        PRIMARY KEY DEFAULT 'default',
    CONSTRAINT name_length CHECK (name = 'default'),
    CONSTRAINT leader_id_length CHECK (char_length(leader_id) > 0 AND char_length(leader_id) < 128)
);
COMMENT ON INDEX river_leader_pkey IS 'which process tidies the queue up';

CREATE TABLE river_queue (
    name       text        PRIMARY KEY NOT NULL,
    created_at timestamptz NOT NULL DEFAULT now(),
    metadata   jsonb       NOT NULL DEFAULT '{}'::jsonb,
    paused_at  timestamptz,
    updated_at timestamptz NOT NULL DEFAULT CURRENT_TIMESTAMP
);
COMMENT ON INDEX river_queue_pkey IS 'one queue';

CREATE TABLE river_notification (
    id         bigserial   PRIMARY KEY,
    created_at timestamptz NOT NULL DEFAULT now(),
    payload    text        NOT NULL,
    topic      text        NOT NULL,
    CONSTRAINT topic_length CHECK (length(topic) > 0 AND length(topic) < 128)
);
COMMENT ON INDEX river_notification_pkey IS 'one message between processes';

CREATE INDEX river_notification_created_at_idx ON river_notification (created_at);
COMMENT ON INDEX river_notification_created_at_idx IS 'messages that may be forgotten';

CREATE INDEX river_notification_topic_id_idx ON river_notification (topic, id);
COMMENT ON INDEX river_notification_topic_id_idx IS 'the messages of a topic behind one that was read';
