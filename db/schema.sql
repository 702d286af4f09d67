-- The schema that the migrations make, by pg_dump; rewritten by 'make schema'.

CREATE TYPE public.river_job_state AS ENUM (
    'available',
    'cancelled',
    'completed',
    'discarded',
    'pending',
    'retryable',
    'running',
    'scheduled'
);

CREATE FUNCTION public.bump_house_version() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN
    UPDATE houses SET version = version + 1 WHERE slug IN (SELECT house FROM changed);
    RETURN NULL;
END
$$;

CREATE FUNCTION public.river_job_state_in_bitmask(bitmask bit, state public.river_job_state) RETURNS boolean
    LANGUAGE sql IMMUTABLE
    AS $$
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

CREATE TABLE public.houses (
    slug text NOT NULL,
    name text NOT NULL,
    currency text NOT NULL,
    time_zone text NOT NULL,
    version bigint DEFAULT 1 NOT NULL,
    CONSTRAINT houses_currency_form CHECK ((currency ~ '^[A-Z]{3}$'::text)),
    CONSTRAINT houses_name_length CHECK (((char_length(name) >= 1) AND (char_length(name) <= 120))),
    CONSTRAINT houses_slug_form CHECK ((slug ~ '^[a-z][a-z0-9-]{0,39}$'::text)),
    CONSTRAINT houses_time_zone_given CHECK ((time_zone <> ''::text)),
    CONSTRAINT houses_version_positive CHECK ((version > 0))
);

COMMENT ON COLUMN public.houses.currency IS 'ISO 4217; all money of the house is in its minor units';

COMMENT ON COLUMN public.houses.version IS 'grows with every change of the house, its items or their rates';

CREATE TABLE public.import_files (
    house text NOT NULL,
    id text NOT NULL COLLATE pg_catalog."C",
    holder text NOT NULL COLLATE pg_catalog."C",
    kind text NOT NULL,
    file bytea NOT NULL,
    created integer,
    changed integer,
    unchanged integer,
    kept_at timestamp with time zone DEFAULT clock_timestamp() NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    CONSTRAINT import_files_counts CHECK (((created >= 0) AND (changed >= 0) AND (unchanged >= 0))),
    CONSTRAINT import_files_done CHECK ((num_nonnulls(created, changed, unchanged) =
CASE
    WHEN (octet_length(file) = 0) THEN 3
    ELSE 0
END)),
    CONSTRAINT import_files_expiry CHECK ((expires_at > kept_at)),
    CONSTRAINT import_files_holder_length CHECK (((char_length(holder) >= 1) AND (char_length(holder) <= 64))),
    CONSTRAINT import_files_id_length CHECK (((char_length(id) >= 1) AND (char_length(id) <= 64))),
    CONSTRAINT import_files_kind_known CHECK ((kind = ANY (ARRAY['frame'::text, 'fabric'::text, 'reflector'::text, 'support'::text, 'ballast'::text, 'line'::text, 'anchor'::text, 'lamp'::text, 'vehicle'::text, 'labour'::text, 'accessory'::text, 'expendable'::text]))),
    CONSTRAINT import_files_size CHECK ((octet_length(file) <= 8388608))
);

COMMENT ON COLUMN public.import_files.holder IS 'the staff session that sent the file, and alone may look at it and import it';

COMMENT ON COLUMN public.import_files.file IS 'empty once it is imported: created, changed and unchanged then say what that did';

CREATE TABLE public.item_creations (
    house text NOT NULL,
    idempotency_key text NOT NULL COLLATE pg_catalog."C",
    digest bytea NOT NULL,
    version bigint NOT NULL,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT item_creations_digest_length CHECK (((octet_length(digest) >= 1) AND (octet_length(digest) <= 64))),
    CONSTRAINT item_creations_key_length CHECK (((char_length(idempotency_key) >= 1) AND (char_length(idempotency_key) <= 200)))
);

CREATE TABLE public.item_rates (
    house text NOT NULL,
    sku text NOT NULL COLLATE pg_catalog."C",
    valid_from date NOT NULL,
    per_day_minor bigint NOT NULL,
    CONSTRAINT item_rates_per_day_range CHECK (((per_day_minor >= 0) AND (per_day_minor <= '9999999999999999'::bigint))),
    CONSTRAINT item_rates_valid_from_range CHECK (((valid_from >= '1970-01-01'::date) AND (valid_from <= '9999-12-31'::date)))
);

COMMENT ON TABLE public.item_rates IS 'hire per day in minor units of the house''s currency, from a date until the next';

CREATE TABLE public.items (
    house text NOT NULL,
    sku text NOT NULL COLLATE pg_catalog."C",
    kind text NOT NULL,
    version bigint NOT NULL,
    name text NOT NULL,
    mass_kg double precision NOT NULL,
    packed_m3 double precision NOT NULL,
    owned integer NOT NULL,
    replacement_minor bigint NOT NULL,
    account text NOT NULL,
    frame_opening_width_m double precision,
    frame_opening_height_m double precision,
    frame_outer_width_m double precision,
    frame_outer_height_m double precision,
    frame_supports_min integer,
    frame_supports_max integer,
    frame_gust_limit_ms double precision,
    fabric_fits_width_m double precision,
    fabric_fits_height_m double precision,
    fabric_use text,
    fabric_transmittance double precision,
    fabric_reflectance double precision,
    fabric_beam_share double precision,
    fabric_areal_mass_kg_m2 double precision,
    fabric_solidity double precision,
    fabric_colour_shift_mired double precision,
    fabric_face_a text,
    fabric_face_b text,
    reflector_width_m double precision,
    reflector_height_m double precision,
    reflector_face_a text,
    reflector_diffuse_a double precision,
    reflector_specular_a double precision,
    reflector_lobe_a_deg double precision,
    reflector_face_b text,
    reflector_diffuse_b double precision,
    reflector_specular_b double precision,
    reflector_lobe_b_deg double precision,
    support_class text,
    support_lowest_m double precision,
    support_highest_m double precision,
    support_safe_load_kg double precision,
    support_footprint_m double precision,
    support_legs integer,
    support_arm_reach_m double precision,
    support_operator_sku text COLLATE pg_catalog."C",
    ballast_form text,
    line_length_m double precision,
    line_safe_pull_n double precision,
    anchor_form text,
    anchor_safe_pull_n double precision,
    lamp_intensity_cd double precision,
    lamp_beam_deg double precision,
    lamp_power_w double precision,
    lamp_supply text,
    vehicle_payload_kg double precision,
    vehicle_load_m3 double precision,
    vehicle_seats integer,
    labour_role text,
    labour_hours_per_day double precision,
    expendable_unit text,
    support_operator_kind text GENERATED ALWAYS AS (
CASE
    WHEN (support_operator_sku IS NOT NULL) THEN 'labour'::text
    ELSE NULL::text
END) STORED,
    vehicle_driver text,
    reflector_colour_shift_a_mired double precision,
    reflector_colour_shift_b_mired double precision,
    CONSTRAINT items_account_length CHECK ((char_length(account) <= 40)),
    CONSTRAINT items_anchor_attributes CHECK ((num_nonnulls(anchor_form, anchor_safe_pull_n) =
CASE
    WHEN (kind = 'anchor'::text) THEN 2
    ELSE 0
END)),
    CONSTRAINT items_anchor_form_known CHECK ((anchor_form = ANY (ARRAY['stake'::text, 'weight'::text]))),
    CONSTRAINT items_anchor_pull CHECK ((((anchor_safe_pull_n >= (0)::double precision) AND (anchor_safe_pull_n <= (1000000)::double precision)) AND ((anchor_safe_pull_n = (0)::double precision) = (anchor_form = 'weight'::text)))),
    CONSTRAINT items_ballast_attributes CHECK (((ballast_form IS NOT NULL) = (kind = 'ballast'::text))),
    CONSTRAINT items_ballast_form_known CHECK ((ballast_form = ANY (ARRAY['bag'::text, 'block'::text]))),
    CONSTRAINT items_expendable_attributes CHECK (((expendable_unit IS NOT NULL) = (kind = 'expendable'::text))),
    CONSTRAINT items_expendable_unit_length CHECK (((char_length(expendable_unit) >= 1) AND (char_length(expendable_unit) <= 40))),
    CONSTRAINT items_fabric_areal_mass_range CHECK (((fabric_areal_mass_kg_m2 > (0)::double precision) AND (fabric_areal_mass_kg_m2 <= (5)::double precision))),
    CONSTRAINT items_fabric_attributes CHECK ((num_nonnulls(fabric_fits_width_m, fabric_fits_height_m, fabric_use, fabric_transmittance, fabric_reflectance, fabric_beam_share, fabric_areal_mass_kg_m2, fabric_solidity, fabric_colour_shift_mired, fabric_face_a, fabric_face_b) =
CASE
    WHEN (kind = 'fabric'::text) THEN 11
    ELSE 0
END)),
    CONSTRAINT items_fabric_colour_shift_range CHECK (((fabric_colour_shift_mired >= ('-500'::integer)::double precision) AND (fabric_colour_shift_mired <= (500)::double precision))),
    CONSTRAINT items_fabric_faces CHECK ((((char_length(fabric_face_a) >= 1) AND (char_length(fabric_face_a) <= 40)) AND ((char_length(fabric_face_b) >= 1) AND (char_length(fabric_face_b) <= 40)))),
    CONSTRAINT items_fabric_light_conserved CHECK (((fabric_transmittance + fabric_reflectance) <= (1.000000001)::double precision)),
    CONSTRAINT items_fabric_shares CHECK ((((fabric_transmittance >= (0)::double precision) AND (fabric_transmittance <= (1)::double precision)) AND ((fabric_reflectance >= (0)::double precision) AND (fabric_reflectance <= (1)::double precision)) AND ((fabric_beam_share >= (0)::double precision) AND (fabric_beam_share <= (1)::double precision)))),
    CONSTRAINT items_fabric_sizes CHECK (((fabric_fits_height_m > (0)::double precision) AND (fabric_fits_height_m <= fabric_fits_width_m) AND (fabric_fits_width_m <= (60)::double precision))),
    CONSTRAINT items_fabric_solidity_range CHECK (((fabric_solidity > (0)::double precision) AND (fabric_solidity <= (1)::double precision))),
    CONSTRAINT items_fabric_use_known CHECK ((fabric_use = ANY (ARRAY['diffusion'::text, 'net'::text, 'solid'::text, 'bounce'::text]))),
    CONSTRAINT items_fabric_use_light CHECK ((((fabric_use <> ALL (ARRAY['diffusion'::text, 'net'::text])) OR (fabric_transmittance > (0)::double precision)) AND ((fabric_use <> 'bounce'::text) OR (fabric_reflectance > (0)::double precision)))),
    CONSTRAINT items_frame_attributes CHECK ((num_nonnulls(frame_opening_width_m, frame_opening_height_m, frame_outer_width_m, frame_outer_height_m, frame_supports_min, frame_supports_max, frame_gust_limit_ms) =
CASE
    WHEN (kind = 'frame'::text) THEN 7
    ELSE 0
END)),
    CONSTRAINT items_frame_gust_range CHECK (((frame_gust_limit_ms >= (0)::double precision) AND (frame_gust_limit_ms <= (60)::double precision))),
    CONSTRAINT items_frame_sizes CHECK (((frame_opening_height_m > (0)::double precision) AND (frame_opening_height_m <= frame_opening_width_m) AND (frame_outer_height_m <= frame_outer_width_m) AND (frame_opening_width_m <= frame_outer_width_m) AND (frame_opening_height_m <= frame_outer_height_m) AND (frame_outer_width_m <= (60)::double precision))),
    CONSTRAINT items_frame_supports CHECK (((frame_supports_min = ANY (ARRAY[1, 2, 4])) AND (frame_supports_max = ANY (ARRAY[1, 2, 4])) AND (frame_supports_min <= frame_supports_max))),
    CONSTRAINT items_kind_known CHECK ((kind = ANY (ARRAY['frame'::text, 'fabric'::text, 'reflector'::text, 'support'::text, 'ballast'::text, 'line'::text, 'anchor'::text, 'lamp'::text, 'vehicle'::text, 'labour'::text, 'accessory'::text, 'expendable'::text]))),
    CONSTRAINT items_labour_attributes CHECK ((num_nonnulls(labour_role, labour_hours_per_day) =
CASE
    WHEN (kind = 'labour'::text) THEN 2
    ELSE 0
END)),
    CONSTRAINT items_labour_hours_range CHECK (((labour_hours_per_day > (0)::double precision) AND (labour_hours_per_day <= (24)::double precision))),
    CONSTRAINT items_labour_role_known CHECK ((labour_role = ANY (ARRAY['lead'::text, 'hand'::text, 'operator'::text, 'electrician'::text, 'driver'::text]))),
    CONSTRAINT items_lamp_attributes CHECK ((num_nonnulls(lamp_intensity_cd, lamp_beam_deg, lamp_power_w, lamp_supply) =
CASE
    WHEN (kind = 'lamp'::text) THEN 4
    ELSE 0
END)),
    CONSTRAINT items_lamp_beam_range CHECK (((lamp_beam_deg > (0)::double precision) AND (lamp_beam_deg <= (180)::double precision))),
    CONSTRAINT items_lamp_intensity_range CHECK (((lamp_intensity_cd > (0)::double precision) AND (lamp_intensity_cd <= (100000000)::double precision))),
    CONSTRAINT items_lamp_power_range CHECK (((lamp_power_w > (0)::double precision) AND (lamp_power_w <= (100000)::double precision))),
    CONSTRAINT items_lamp_supply_known CHECK ((lamp_supply = ANY (ARRAY['mains'::text, 'battery'::text]))),
    CONSTRAINT items_line_attributes CHECK ((num_nonnulls(line_length_m, line_safe_pull_n) =
CASE
    WHEN (kind = 'line'::text) THEN 2
    ELSE 0
END)),
    CONSTRAINT items_line_length_range CHECK (((line_length_m > (0)::double precision) AND (line_length_m <= (500)::double precision))),
    CONSTRAINT items_line_pull_range CHECK (((line_safe_pull_n > (0)::double precision) AND (line_safe_pull_n <= (1000000)::double precision))),
    CONSTRAINT items_mass_range CHECK (((mass_kg >= (0)::double precision) AND (mass_kg <= (50000)::double precision))),
    CONSTRAINT items_name_length CHECK (((char_length(name) >= 1) AND (char_length(name) <= 120))),
    CONSTRAINT items_owned_range CHECK (((owned >= 0) AND (owned <= 1000000))),
    CONSTRAINT items_packed_range CHECK (((packed_m3 >= (0)::double precision) AND (packed_m3 <= (500)::double precision))),
    CONSTRAINT items_reflector_attributes CHECK ((num_nonnulls(reflector_width_m, reflector_height_m, reflector_face_a, reflector_diffuse_a, reflector_specular_a, reflector_lobe_a_deg, reflector_colour_shift_a_mired, reflector_face_b, reflector_diffuse_b, reflector_specular_b, reflector_lobe_b_deg, reflector_colour_shift_b_mired) =
CASE
    WHEN (kind = 'reflector'::text) THEN 12
    ELSE 0
END)),
    CONSTRAINT items_reflector_colour_shifts CHECK ((((reflector_colour_shift_a_mired >= ('-500'::integer)::double precision) AND (reflector_colour_shift_a_mired <= (500)::double precision)) AND ((reflector_colour_shift_b_mired >= ('-500'::integer)::double precision) AND (reflector_colour_shift_b_mired <= (500)::double precision)))),
    CONSTRAINT items_reflector_faces CHECK ((((char_length(reflector_face_a) >= 1) AND (char_length(reflector_face_a) <= 40)) AND ((char_length(reflector_face_b) >= 1) AND (char_length(reflector_face_b) <= 40)))),
    CONSTRAINT items_reflector_light_conserved CHECK ((((reflector_diffuse_a + reflector_specular_a) <= (1.000000001)::double precision) AND ((reflector_diffuse_b + reflector_specular_b) <= (1.000000001)::double precision))),
    CONSTRAINT items_reflector_lobes CHECK ((((reflector_lobe_a_deg >= (0)::double precision) AND (reflector_lobe_a_deg <= (90)::double precision)) AND ((reflector_lobe_b_deg >= (0)::double precision) AND (reflector_lobe_b_deg <= (90)::double precision)))),
    CONSTRAINT items_reflector_shares CHECK ((((reflector_diffuse_a >= (0)::double precision) AND (reflector_diffuse_a <= (1)::double precision)) AND ((reflector_specular_a >= (0)::double precision) AND (reflector_specular_a <= (1)::double precision)) AND ((reflector_diffuse_b >= (0)::double precision) AND (reflector_diffuse_b <= (1)::double precision)) AND ((reflector_specular_b >= (0)::double precision) AND (reflector_specular_b <= (1)::double precision)))),
    CONSTRAINT items_reflector_sizes CHECK (((reflector_width_m > (0)::double precision) AND (reflector_width_m <= (60)::double precision) AND (reflector_height_m > (0)::double precision) AND (reflector_height_m <= (60)::double precision))),
    CONSTRAINT items_replacement_range CHECK (((replacement_minor >= 0) AND (replacement_minor <= '9999999999999999'::bigint))),
    CONSTRAINT items_sku_form CHECK ((sku ~ '^[A-Z0-9][A-Z0-9.-]{0,39}$'::text)),
    CONSTRAINT items_support_arm_range CHECK (((support_arm_reach_m >= (0)::double precision) AND (support_arm_reach_m <= (100)::double precision))),
    CONSTRAINT items_support_attributes CHECK ((num_nonnulls(support_class, support_lowest_m, support_highest_m, support_safe_load_kg, support_footprint_m, support_legs, support_arm_reach_m) =
CASE
    WHEN (kind = 'support'::text) THEN 7
    ELSE 0
END)),
    CONSTRAINT items_support_class_known CHECK ((support_class = ANY (ARRAY['stand'::text, 'machine'::text]))),
    CONSTRAINT items_support_footprint_range CHECK (((support_footprint_m > (0)::double precision) AND (support_footprint_m <= (20)::double precision))),
    CONSTRAINT items_support_heights CHECK (((support_lowest_m >= (0)::double precision) AND (support_lowest_m <= support_highest_m) AND (support_highest_m > (0)::double precision) AND (support_highest_m <= (100)::double precision))),
    CONSTRAINT items_support_legs_range CHECK (((support_legs >= 3) AND (support_legs <= 12))),
    CONSTRAINT items_support_load_range CHECK (((support_safe_load_kg > (0)::double precision) AND (support_safe_load_kg <= (50000)::double precision))),
    CONSTRAINT items_support_operator CHECK (((support_operator_sku IS NOT NULL) = (NOT (support_class IS DISTINCT FROM 'machine'::text)))),
    CONSTRAINT items_vehicle_attributes CHECK ((num_nonnulls(vehicle_payload_kg, vehicle_load_m3, vehicle_seats, vehicle_driver) =
CASE
    WHEN (kind = 'vehicle'::text) THEN 4
    ELSE 0
END)),
    CONSTRAINT items_vehicle_driver_known CHECK ((vehicle_driver = ANY (ARRAY['crew'::text, 'hired'::text]))),
    CONSTRAINT items_vehicle_load_range CHECK (((vehicle_load_m3 > (0)::double precision) AND (vehicle_load_m3 <= (500)::double precision))),
    CONSTRAINT items_vehicle_payload_range CHECK (((vehicle_payload_kg > (0)::double precision) AND (vehicle_payload_kg <= (50000)::double precision))),
    CONSTRAINT items_vehicle_seats_range CHECK (((vehicle_seats >= 1) AND (vehicle_seats <= 100))),
    CONSTRAINT items_version_positive CHECK ((version > 0))
);

COMMENT ON COLUMN public.items.version IS 'the house''s version at the change that made this state; never the same twice for one SKU';

CREATE TABLE public.job_creations (
    idempotency_key text NOT NULL COLLATE pg_catalog."C",
    digest bytea NOT NULL,
    job text NOT NULL COLLATE pg_catalog."C",
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT job_creations_digest_length CHECK (((octet_length(digest) >= 1) AND (octet_length(digest) <= 64))),
    CONSTRAINT job_creations_key_length CHECK (((char_length(idempotency_key) >= 1) AND (char_length(idempotency_key) <= 200)))
);

CREATE TABLE public.job_places (
    job text NOT NULL COLLATE pg_catalog."C",
    name text NOT NULL COLLATE pg_catalog."C",
    draft jsonb NOT NULL,
    CONSTRAINT job_places_draft_object CHECK ((jsonb_typeof(draft) = 'object'::text)),
    CONSTRAINT job_places_draft_size CHECK ((octet_length((draft)::text) <= 1048576)),
    CONSTRAINT job_places_name_length CHECK (((char_length(name) >= 1) AND (char_length(name) <= 60)))
);

CREATE TABLE public.job_shots (
    job text NOT NULL COLLATE pg_catalog."C",
    number text NOT NULL COLLATE pg_catalog."C",
    "position" integer NOT NULL,
    place text NOT NULL COLLATE pg_catalog."C",
    day date NOT NULL,
    version bigint NOT NULL,
    draft jsonb NOT NULL,
    CONSTRAINT job_shots_draft_object CHECK (((jsonb_typeof(draft) = 'object'::text) AND (NOT (draft ?| ARRAY['number'::text, 'place'::text])))),
    CONSTRAINT job_shots_draft_size CHECK ((octet_length((draft)::text) <= 1048576)),
    CONSTRAINT job_shots_number_length CHECK (((char_length(number) >= 1) AND (char_length(number) <= 40))),
    CONSTRAINT job_shots_position_positive CHECK (("position" > 0)),
    CONSTRAINT job_shots_version_positive CHECK ((version > 0))
);

COMMENT ON COLUMN public.job_shots."position" IS 'its place in the list, with gaps where shots have gone';

COMMENT ON COLUMN public.job_shots.day IS 'the date on which it starts, in the job''s zone';

COMMENT ON COLUMN public.job_shots.version IS 'the job''s at the change that made this state';

COMMENT ON COLUMN public.job_shots.draft IS 'what was said of the shot, in the contract''s names: number and place stand beside';

CREATE TABLE public.jobs (
    id text NOT NULL COLLATE pg_catalog."C",
    version bigint DEFAULT 1 NOT NULL,
    name text NOT NULL,
    draft jsonb NOT NULL,
    first_day date,
    last_day date,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    changed_at timestamp with time zone DEFAULT now() NOT NULL,
    CONSTRAINT jobs_changed_later CHECK ((changed_at >= created_at)),
    CONSTRAINT jobs_days_order CHECK ((((first_day IS NULL) = (last_day IS NULL)) AND (first_day <= last_day))),
    CONSTRAINT jobs_draft_object CHECK (((jsonb_typeof(draft) = 'object'::text) AND (NOT (draft ?| ARRAY['name'::text, 'places'::text, 'shots'::text])))),
    CONSTRAINT jobs_draft_size CHECK ((octet_length((draft)::text) <= 1048576)),
    CONSTRAINT jobs_id_form CHECK ((id ~ '^[a-z0-9]{12,32}$'::text)),
    CONSTRAINT jobs_name_length CHECK (((char_length(name) >= 1) AND (char_length(name) <= 200))),
    CONSTRAINT jobs_version_positive CHECK ((version > 0))
);

COMMENT ON COLUMN public.jobs.version IS 'grows by one with every change of the job, its places or its shots';

COMMENT ON COLUMN public.jobs.draft IS 'what was said of the job itself, in the contract''s names: name, places and shots stand beside';

COMMENT ON COLUMN public.jobs.first_day IS 'of the hire, said or that of the shots; none without either';

CREATE TABLE public.plan_runs (
    id text NOT NULL COLLATE pg_catalog."C",
    house text NOT NULL,
    state text DEFAULT 'waiting'::text NOT NULL,
    language text NOT NULL,
    request bytea,
    shots_done integer DEFAULT 0 NOT NULL,
    shots_all integer NOT NULL,
    take integer DEFAULT 0 NOT NULL,
    lost integer DEFAULT 0 NOT NULL,
    answer bytea,
    problem bytea,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    started_at timestamp with time zone,
    seen_at timestamp with time zone,
    ended_at timestamp with time zone,
    expires_at timestamp with time zone NOT NULL,
    CONSTRAINT plan_runs_answer_size CHECK ((octet_length(answer) <= 67174400)),
    CONSTRAINT plan_runs_answer_when_done CHECK (((answer IS NOT NULL) = (state = 'done'::text))),
    CONSTRAINT plan_runs_counts CHECK (((take >= 0) AND (lost >= 0))),
    CONSTRAINT plan_runs_ended_when_over CHECK (((ended_at IS NULL) = (state = ANY (ARRAY['waiting'::text, 'running'::text])))),
    CONSTRAINT plan_runs_expiry CHECK ((expires_at > created_at)),
    CONSTRAINT plan_runs_id_form CHECK ((id ~ '^[A-Z2-7]{26}$'::text)),
    CONSTRAINT plan_runs_language_length CHECK (((char_length(language) >= 2) AND (char_length(language) <= 35))),
    CONSTRAINT plan_runs_problem_size CHECK ((octet_length(problem) <= 65536)),
    CONSTRAINT plan_runs_problem_when_failed CHECK (((problem IS NOT NULL) = (state = 'failed'::text))),
    CONSTRAINT plan_runs_progress CHECK (((shots_done >= 0) AND (shots_done <= shots_all))),
    CONSTRAINT plan_runs_request_size CHECK ((octet_length(request) <= 1050000)),
    CONSTRAINT plan_runs_request_while_open CHECK (((request IS NOT NULL) = (state = ANY (ARRAY['waiting'::text, 'running'::text])))),
    CONSTRAINT plan_runs_seen_while_running CHECK (((state <> 'running'::text) OR ((started_at IS NOT NULL) AND (seen_at IS NOT NULL)))),
    CONSTRAINT plan_runs_state_known CHECK ((state = ANY (ARRAY['waiting'::text, 'running'::text, 'done'::text, 'failed'::text, 'cancelled'::text])))
);

COMMENT ON COLUMN public.plan_runs.request IS 'the body of the request, gzip; nothing once it is over';

COMMENT ON COLUMN public.plan_runs.take IS 'how often it was begun: who began it last alone may write';

COMMENT ON COLUMN public.plan_runs.lost IS 'how often the process that worked on it was gone';

COMMENT ON COLUMN public.plan_runs.answer IS 'the body of the answer, gzip';

COMMENT ON COLUMN public.plan_runs.problem IS 'the problem document, gzip';

COMMENT ON COLUMN public.plan_runs.seen_at IS 'when the process that works on it last said so';

CREATE TABLE public.river_job (
    id bigint NOT NULL,
    state public.river_job_state DEFAULT 'available'::public.river_job_state NOT NULL,
    attempt smallint DEFAULT 0 NOT NULL,
    max_attempts smallint DEFAULT 25 NOT NULL,
    attempted_at timestamp with time zone,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    finalized_at timestamp with time zone,
    scheduled_at timestamp with time zone DEFAULT now() NOT NULL,
    priority smallint DEFAULT 1 NOT NULL,
    args jsonb NOT NULL,
    attempted_by text[],
    errors jsonb[],
    kind text NOT NULL,
    metadata jsonb DEFAULT '{}'::jsonb NOT NULL,
    queue text DEFAULT 'default'::text NOT NULL,
    tags character varying(255)[] DEFAULT '{}'::character varying[] NOT NULL,
    unique_key bytea,
    unique_states bit(8),
    CONSTRAINT finalized_or_finalized_at_null CHECK ((((finalized_at IS NULL) AND (state <> ALL (ARRAY['cancelled'::public.river_job_state, 'completed'::public.river_job_state, 'discarded'::public.river_job_state]))) OR ((finalized_at IS NOT NULL) AND (state = ANY (ARRAY['cancelled'::public.river_job_state, 'completed'::public.river_job_state, 'discarded'::public.river_job_state]))))),
    CONSTRAINT kind_length CHECK (((char_length(kind) > 0) AND (char_length(kind) < 128))),
    CONSTRAINT max_attempts_is_positive CHECK ((max_attempts > 0)),
    CONSTRAINT priority_in_range CHECK (((priority >= 1) AND (priority <= 4))),
    CONSTRAINT queue_length CHECK (((char_length(queue) > 0) AND (char_length(queue) < 128)))
);

CREATE SEQUENCE public.river_job_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;

ALTER SEQUENCE public.river_job_id_seq OWNED BY public.river_job.id;

CREATE UNLOGGED TABLE public.river_leader (
    elected_at timestamp with time zone NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    leader_id text NOT NULL,
    name text DEFAULT 'default'::text NOT NULL,
    CONSTRAINT leader_id_length CHECK (((char_length(leader_id) > 0) AND (char_length(leader_id) < 128))),
    CONSTRAINT name_length CHECK ((name = 'default'::text))
);

CREATE TABLE public.river_notification (
    id bigint NOT NULL,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    payload text NOT NULL,
    topic text NOT NULL,
    CONSTRAINT topic_length CHECK (((length(topic) > 0) AND (length(topic) < 128)))
);

CREATE SEQUENCE public.river_notification_id_seq
    START WITH 1
    INCREMENT BY 1
    NO MINVALUE
    NO MAXVALUE
    CACHE 1;

ALTER SEQUENCE public.river_notification_id_seq OWNED BY public.river_notification.id;

CREATE TABLE public.river_queue (
    name text NOT NULL,
    created_at timestamp with time zone DEFAULT now() NOT NULL,
    metadata jsonb DEFAULT '{}'::jsonb NOT NULL,
    paused_at timestamp with time zone,
    updated_at timestamp with time zone DEFAULT CURRENT_TIMESTAMP NOT NULL
);

CREATE TABLE public.staff_sessions (
    token_hash text NOT NULL COLLATE pg_catalog."C",
    data bytea NOT NULL,
    expires_at timestamp with time zone NOT NULL,
    CONSTRAINT staff_sessions_data_length CHECK (((octet_length(data) >= 1) AND (octet_length(data) <= 4096))),
    CONSTRAINT staff_sessions_token_hash_length CHECK ((char_length(token_hash) = 43))
);

ALTER TABLE ONLY public.river_job ALTER COLUMN id SET DEFAULT nextval('public.river_job_id_seq'::regclass);

ALTER TABLE ONLY public.river_notification ALTER COLUMN id SET DEFAULT nextval('public.river_notification_id_seq'::regclass);

ALTER TABLE ONLY public.houses
    ADD CONSTRAINT houses_pkey PRIMARY KEY (slug);

ALTER TABLE ONLY public.import_files
    ADD CONSTRAINT import_files_pkey PRIMARY KEY (house, id);

ALTER TABLE ONLY public.item_creations
    ADD CONSTRAINT item_creations_pkey PRIMARY KEY (house, idempotency_key);

ALTER TABLE ONLY public.item_rates
    ADD CONSTRAINT item_rates_pkey PRIMARY KEY (house, sku, valid_from);

ALTER TABLE ONLY public.items
    ADD CONSTRAINT items_house_sku_kind_key UNIQUE (house, sku, kind);

ALTER TABLE ONLY public.items
    ADD CONSTRAINT items_pkey PRIMARY KEY (house, sku);

ALTER TABLE ONLY public.job_creations
    ADD CONSTRAINT job_creations_pkey PRIMARY KEY (idempotency_key);

ALTER TABLE ONLY public.job_places
    ADD CONSTRAINT job_places_pkey PRIMARY KEY (job, name);

ALTER TABLE ONLY public.job_shots
    ADD CONSTRAINT job_shots_pkey PRIMARY KEY (job, number);

ALTER TABLE ONLY public.job_shots
    ADD CONSTRAINT job_shots_position_key UNIQUE (job, "position") DEFERRABLE;

ALTER TABLE ONLY public.jobs
    ADD CONSTRAINT jobs_pkey PRIMARY KEY (id);

ALTER TABLE ONLY public.plan_runs
    ADD CONSTRAINT plan_runs_pkey PRIMARY KEY (id);

ALTER TABLE ONLY public.river_job
    ADD CONSTRAINT river_job_pkey PRIMARY KEY (id);

ALTER TABLE ONLY public.river_leader
    ADD CONSTRAINT river_leader_pkey PRIMARY KEY (name);

ALTER TABLE ONLY public.river_notification
    ADD CONSTRAINT river_notification_pkey PRIMARY KEY (id);

ALTER TABLE ONLY public.river_queue
    ADD CONSTRAINT river_queue_pkey PRIMARY KEY (name);

ALTER TABLE ONLY public.staff_sessions
    ADD CONSTRAINT staff_sessions_pkey PRIMARY KEY (token_hash);

COMMENT ON INDEX public.houses_pkey IS 'one house by its short name; the list of houses in order';

CREATE INDEX import_files_by_expiry ON public.import_files USING btree (house, expires_at);

COMMENT ON INDEX public.import_files_by_expiry IS 'a house''s files that may be forgotten';

CREATE INDEX import_files_by_holder ON public.import_files USING btree (house, holder, kept_at);

COMMENT ON INDEX public.import_files_by_holder IS 'the files of one session, newest first';

COMMENT ON INDEX public.import_files_pkey IS 'one file; how many a house keeps';

CREATE INDEX item_creations_by_age ON public.item_creations USING btree (house, created_at);

COMMENT ON INDEX public.item_creations_by_age IS 'the keys that are old enough to be forgotten';

COMMENT ON INDEX public.item_creations_pkey IS 'was this key used before';

COMMENT ON INDEX public.item_rates_pkey IS 'the rates of one item or of a house''s whole catalogue, in order; one rate per item and date';

CREATE INDEX items_by_operator ON public.items USING btree (house, support_operator_sku) WHERE (support_operator_sku IS NOT NULL);

COMMENT ON INDEX public.items_by_operator IS 'is a labour item still some machine''s operator, when it is deleted';

COMMENT ON INDEX public.items_house_sku_kind_key IS 'target of items_support_operator_fkey';

COMMENT ON INDEX public.items_pkey IS 'one item; a house''s whole catalogue in order';

CREATE INDEX job_creations_by_age ON public.job_creations USING btree (created_at);

COMMENT ON INDEX public.job_creations_by_age IS 'the keys that are old enough to be forgotten';

CREATE INDEX job_creations_by_job ON public.job_creations USING btree (job);

COMMENT ON INDEX public.job_creations_by_job IS 'the keys that go with a job when it is deleted';

COMMENT ON INDEX public.job_creations_pkey IS 'was this key used before';

COMMENT ON INDEX public.job_places_pkey IS 'the places of one job';

CREATE INDEX job_shots_by_place ON public.job_shots USING btree (job, place);

COMMENT ON INDEX public.job_shots_by_place IS 'is a place still some shot''s, when it is deleted';

COMMENT ON INDEX public.job_shots_pkey IS 'one shot; how many a job has';

COMMENT ON INDEX public.job_shots_position_key IS 'the shots of one job in their order';

CREATE INDEX jobs_by_creation ON public.jobs USING btree (created_at DESC, id DESC);

COMMENT ON INDEX public.jobs_by_creation IS 'the list of jobs, newest first';

COMMENT ON INDEX public.jobs_pkey IS 'one job';

CREATE INDEX plan_runs_by_expiry ON public.plan_runs USING btree (expires_at);

COMMENT ON INDEX public.plan_runs_by_expiry IS 'runs that may be forgotten';

CREATE INDEX plan_runs_by_house ON public.plan_runs USING btree (house);

COMMENT ON INDEX public.plan_runs_by_house IS 'is a house still needed, when it is deleted';

CREATE INDEX plan_runs_open ON public.plan_runs USING btree (state, seen_at) WHERE (state = ANY (ARRAY['waiting'::text, 'running'::text]));

COMMENT ON INDEX public.plan_runs_open IS 'how many wait; which were left by their process';

COMMENT ON INDEX public.plan_runs_pkey IS 'one run';

CREATE INDEX river_job_args_index ON public.river_job USING gin (args);

COMMENT ON INDEX public.river_job_args_index IS 'the queue''s lists by what the work is about';

CREATE INDEX river_job_kind ON public.river_job USING btree (kind);

COMMENT ON INDEX public.river_job_kind IS 'the queue''s lists by kind of work';

CREATE INDEX river_job_metadata_index ON public.river_job USING gin (metadata);

COMMENT ON INDEX public.river_job_metadata_index IS 'the queue''s lists by its own notes';

COMMENT ON INDEX public.river_job_pkey IS 'one piece of work';

CREATE INDEX river_job_prioritized_fetching_index ON public.river_job USING btree (state, queue, priority, scheduled_at, id);

COMMENT ON INDEX public.river_job_prioritized_fetching_index IS 'what is to be done next';

CREATE INDEX river_job_state_and_finalized_at_index ON public.river_job USING btree (state, finalized_at) WHERE (finalized_at IS NOT NULL);

COMMENT ON INDEX public.river_job_state_and_finalized_at_index IS 'ended work that may be forgotten';

CREATE UNIQUE INDEX river_job_unique_idx ON public.river_job USING btree (unique_key) WHERE ((unique_key IS NOT NULL) AND (unique_states IS NOT NULL) AND public.river_job_state_in_bitmask(unique_states, state));

COMMENT ON INDEX public.river_job_unique_idx IS 'is the same work in the queue already';

COMMENT ON INDEX public.river_leader_pkey IS 'which process tidies the queue up';

CREATE INDEX river_notification_created_at_idx ON public.river_notification USING btree (created_at);

COMMENT ON INDEX public.river_notification_created_at_idx IS 'messages that may be forgotten';

COMMENT ON INDEX public.river_notification_pkey IS 'one message between processes';

CREATE INDEX river_notification_topic_id_idx ON public.river_notification USING btree (topic, id);

COMMENT ON INDEX public.river_notification_topic_id_idx IS 'the messages of a topic behind one that was read';

COMMENT ON INDEX public.river_queue_pkey IS 'one queue';

CREATE INDEX staff_sessions_by_expiry ON public.staff_sessions USING btree (expires_at);

COMMENT ON INDEX public.staff_sessions_by_expiry IS 'the sessions that are over and may be forgotten';

COMMENT ON INDEX public.staff_sessions_pkey IS 'the session of a cookie';

CREATE TRIGGER item_rates_deleted AFTER DELETE ON public.item_rates REFERENCING OLD TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION public.bump_house_version();

CREATE TRIGGER item_rates_inserted AFTER INSERT ON public.item_rates REFERENCING NEW TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION public.bump_house_version();

CREATE TRIGGER item_rates_updated AFTER UPDATE ON public.item_rates REFERENCING NEW TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION public.bump_house_version();

CREATE TRIGGER items_deleted AFTER DELETE ON public.items REFERENCING OLD TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION public.bump_house_version();

CREATE TRIGGER items_inserted AFTER INSERT ON public.items REFERENCING NEW TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION public.bump_house_version();

CREATE TRIGGER items_updated AFTER UPDATE ON public.items REFERENCING NEW TABLE AS changed FOR EACH STATEMENT EXECUTE FUNCTION public.bump_house_version();

ALTER TABLE ONLY public.import_files
    ADD CONSTRAINT import_files_house_fkey FOREIGN KEY (house) REFERENCES public.houses(slug);

ALTER TABLE ONLY public.item_creations
    ADD CONSTRAINT item_creations_house_fkey FOREIGN KEY (house) REFERENCES public.houses(slug);

ALTER TABLE ONLY public.item_rates
    ADD CONSTRAINT item_rates_item_fkey FOREIGN KEY (house, sku) REFERENCES public.items(house, sku) ON DELETE CASCADE;

ALTER TABLE ONLY public.items
    ADD CONSTRAINT items_house_fkey FOREIGN KEY (house) REFERENCES public.houses(slug);

ALTER TABLE ONLY public.items
    ADD CONSTRAINT items_support_operator_fkey FOREIGN KEY (house, support_operator_sku, support_operator_kind) REFERENCES public.items(house, sku, kind) DEFERRABLE INITIALLY DEFERRED;

ALTER TABLE ONLY public.job_creations
    ADD CONSTRAINT job_creations_job_fkey FOREIGN KEY (job) REFERENCES public.jobs(id) ON DELETE CASCADE DEFERRABLE INITIALLY DEFERRED;

COMMENT ON CONSTRAINT job_creations_job_fkey ON public.job_creations IS 'deferred: the key is claimed before the job is written';

ALTER TABLE ONLY public.job_places
    ADD CONSTRAINT job_places_job_fkey FOREIGN KEY (job) REFERENCES public.jobs(id) ON DELETE CASCADE;

ALTER TABLE ONLY public.job_shots
    ADD CONSTRAINT job_shots_job_fkey FOREIGN KEY (job) REFERENCES public.jobs(id) ON DELETE CASCADE;

ALTER TABLE ONLY public.job_shots
    ADD CONSTRAINT job_shots_place_fkey FOREIGN KEY (job, place) REFERENCES public.job_places(job, name);

ALTER TABLE ONLY public.plan_runs
    ADD CONSTRAINT plan_runs_house_fkey FOREIGN KEY (house) REFERENCES public.houses(slug);
