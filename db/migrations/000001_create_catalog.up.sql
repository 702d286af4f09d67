-- The catalogue: houses, their items, and the rates of the items.
--
-- Every key starts with the house, so that the tables can be spread by house. Money is in minor units of the house's
-- currency (cents for EUR), so that an amount finer than the currency has cannot be stored.
--
-- An item's attributes are columns named kind_attribute: a row fills those of its own kind and no others, which the
-- items_…_attributes constraints hold. One table keeps the reading of a house's whole catalogue one scan of one index.

CREATE TABLE houses (
    slug      text   NOT NULL,
    name      text   NOT NULL,
    currency  text   NOT NULL,
    time_zone text   NOT NULL,
    version   bigint NOT NULL DEFAULT 1,
    CONSTRAINT houses_pkey PRIMARY KEY (slug),
    CONSTRAINT houses_slug_form CHECK (slug ~ '^[a-z][a-z0-9-]{0,39}$'),
    CONSTRAINT houses_name_length CHECK (char_length(name) BETWEEN 1 AND 120),
    CONSTRAINT houses_currency_form CHECK (currency ~ '^[A-Z]{3}$'),
    CONSTRAINT houses_time_zone_given CHECK (time_zone <> ''),
    CONSTRAINT houses_version_positive CHECK (version > 0)
);

COMMENT ON COLUMN houses.currency IS 'ISO 4217; all money of the house is in its minor units';
COMMENT ON COLUMN houses.version IS 'grows with every change of the house, its items or their rates';
COMMENT ON INDEX houses_pkey IS 'one house by its short name; the list of houses in order';

CREATE TABLE items (
    house             text             NOT NULL,
    sku               text             NOT NULL COLLATE "C",
    kind              text             NOT NULL,
    version           bigint           NOT NULL,
    name              text             NOT NULL,
    mass_kg           double precision NOT NULL,
    packed_m3         double precision NOT NULL,
    owned             integer          NOT NULL,
    replacement_minor bigint           NOT NULL,
    account           text             NOT NULL,

    frame_opening_width_m  double precision,
    frame_opening_height_m double precision,
    frame_outer_width_m    double precision,
    frame_outer_height_m   double precision,
    frame_supports_min     integer,
    frame_supports_max     integer,
    frame_gust_limit_ms    double precision,

    fabric_fits_width_m       double precision,
    fabric_fits_height_m      double precision,
    fabric_use                text,
    fabric_transmittance      double precision,
    fabric_reflectance        double precision,
    fabric_beam_share         double precision,
    fabric_areal_mass_kg_m2   double precision,
    fabric_solidity           double precision,
    fabric_colour_shift_mired double precision,
    fabric_face_a             text,
    fabric_face_b             text,

    reflector_width_m    double precision,
    reflector_height_m   double precision,
    reflector_face_a     text,
    reflector_diffuse_a  double precision,
    reflector_specular_a double precision,
    reflector_lobe_a_deg double precision,
    reflector_face_b     text,
    reflector_diffuse_b  double precision,
    reflector_specular_b double precision,
    reflector_lobe_b_deg double precision,

    support_class        text,
    support_lowest_m     double precision,
    support_highest_m    double precision,
    support_safe_load_kg double precision,
    support_footprint_m  double precision,
    support_legs         integer,
    support_arm_reach_m  double precision,
    support_operator_sku text COLLATE "C",

    ballast_form text,

    line_length_m    double precision,
    line_safe_pull_n double precision,

    anchor_form        text,
    anchor_safe_pull_n double precision,

    lamp_intensity_cd double precision,
    lamp_beam_deg     double precision,
    lamp_power_w      double precision,
    lamp_supply       text,

    vehicle_payload_kg double precision,
    vehicle_load_m3    double precision,
    vehicle_seats      integer,

    labour_role          text,
    labour_hours_per_day double precision,

    expendable_unit text,

    -- Always 'labour' where an operator is named: the foreign key below then finds labour and nothing else.
    support_operator_kind text GENERATED ALWAYS AS (CASE WHEN support_operator_sku IS NOT NULL THEN 'labour' END) STORED,

    CONSTRAINT items_pkey PRIMARY KEY (house, sku),
    CONSTRAINT items_house_sku_kind_key UNIQUE (house, sku, kind),
    CONSTRAINT items_house_fkey FOREIGN KEY (house) REFERENCES houses (slug),
    -- Checked at the end of the transaction, so that an operator and a machine may change together in any order.
    CONSTRAINT items_support_operator_fkey FOREIGN KEY (house, support_operator_sku, support_operator_kind)
        REFERENCES items (house, sku, kind) DEFERRABLE INITIALLY DEFERRED,

    CONSTRAINT items_sku_form CHECK (sku ~ '^[A-Z0-9][A-Z0-9.-]{0,39}$'),
    CONSTRAINT items_kind_known CHECK (kind IN ('frame', 'fabric', 'reflector', 'support', 'ballast', 'line', 'anchor',
        'lamp', 'vehicle', 'labour', 'accessory', 'expendable')),
    CONSTRAINT items_version_positive CHECK (version > 0),
    CONSTRAINT items_name_length CHECK (char_length(name) BETWEEN 1 AND 120),
    -- Infinity and NaN sort above every number, so that an upper bound shuts them out.
    CONSTRAINT items_mass_range CHECK (mass_kg BETWEEN 0 AND 50000),
    CONSTRAINT items_packed_range CHECK (packed_m3 BETWEEN 0 AND 500),
    CONSTRAINT items_owned_range CHECK (owned BETWEEN 0 AND 1000000),
    CONSTRAINT items_replacement_range CHECK (replacement_minor BETWEEN 0 AND 9999999999999999),
    CONSTRAINT items_account_length CHECK (char_length(account) <= 40),

    CONSTRAINT items_frame_attributes CHECK (num_nonnulls(frame_opening_width_m, frame_opening_height_m, frame_outer_width_m,
        frame_outer_height_m, frame_supports_min, frame_supports_max, frame_gust_limit_ms)
        = CASE WHEN kind = 'frame' THEN 7 ELSE 0 END),
    CONSTRAINT items_frame_sizes CHECK (frame_opening_height_m > 0
        AND frame_opening_height_m <= frame_opening_width_m
        AND frame_outer_height_m <= frame_outer_width_m
        AND frame_opening_width_m <= frame_outer_width_m
        AND frame_opening_height_m <= frame_outer_height_m
        AND frame_outer_width_m <= 60),
    CONSTRAINT items_frame_supports CHECK (frame_supports_min IN (2, 4) AND frame_supports_max IN (2, 4)
        AND frame_supports_min <= frame_supports_max),
    CONSTRAINT items_frame_gust_range CHECK (frame_gust_limit_ms BETWEEN 0 AND 60),

    CONSTRAINT items_fabric_attributes CHECK (num_nonnulls(fabric_fits_width_m, fabric_fits_height_m, fabric_use,
        fabric_transmittance, fabric_reflectance, fabric_beam_share, fabric_areal_mass_kg_m2, fabric_solidity,
        fabric_colour_shift_mired, fabric_face_a, fabric_face_b)
        = CASE WHEN kind = 'fabric' THEN 11 ELSE 0 END),
    CONSTRAINT items_fabric_sizes CHECK (fabric_fits_height_m > 0 AND fabric_fits_height_m <= fabric_fits_width_m
        AND fabric_fits_width_m <= 60),
    CONSTRAINT items_fabric_use_known CHECK (fabric_use IN ('diffusion', 'net', 'solid', 'bounce')),
    CONSTRAINT items_fabric_shares CHECK (fabric_transmittance BETWEEN 0 AND 1 AND fabric_reflectance BETWEEN 0 AND 1
        AND fabric_beam_share BETWEEN 0 AND 1),
    -- The slack is a rounding of binary fractions: 0.7 and 0.3 must pass.
    CONSTRAINT items_fabric_light_conserved CHECK (fabric_transmittance + fabric_reflectance <= 1.000000001),
    CONSTRAINT items_fabric_use_light CHECK ((fabric_use NOT IN ('diffusion', 'net') OR fabric_transmittance > 0)
        AND (fabric_use <> 'bounce' OR fabric_reflectance > 0)),
    CONSTRAINT items_fabric_areal_mass_range CHECK (fabric_areal_mass_kg_m2 > 0 AND fabric_areal_mass_kg_m2 <= 5),
    CONSTRAINT items_fabric_solidity_range CHECK (fabric_solidity > 0 AND fabric_solidity <= 1),
    CONSTRAINT items_fabric_colour_shift_range CHECK (fabric_colour_shift_mired BETWEEN -500 AND 500),
    CONSTRAINT items_fabric_faces CHECK (char_length(fabric_face_a) BETWEEN 1 AND 40
        AND char_length(fabric_face_b) BETWEEN 1 AND 40),

    CONSTRAINT items_reflector_attributes CHECK (num_nonnulls(reflector_width_m, reflector_height_m, reflector_face_a,
        reflector_diffuse_a, reflector_specular_a, reflector_lobe_a_deg, reflector_face_b, reflector_diffuse_b,
        reflector_specular_b, reflector_lobe_b_deg)
        = CASE WHEN kind = 'reflector' THEN 10 ELSE 0 END),
    CONSTRAINT items_reflector_sizes CHECK (reflector_width_m > 0 AND reflector_width_m <= 60
        AND reflector_height_m > 0 AND reflector_height_m <= 60),
    CONSTRAINT items_reflector_shares CHECK (reflector_diffuse_a BETWEEN 0 AND 1 AND reflector_specular_a BETWEEN 0 AND 1
        AND reflector_diffuse_b BETWEEN 0 AND 1 AND reflector_specular_b BETWEEN 0 AND 1),
    CONSTRAINT items_reflector_light_conserved CHECK (reflector_diffuse_a + reflector_specular_a <= 1.000000001
        AND reflector_diffuse_b + reflector_specular_b <= 1.000000001),
    CONSTRAINT items_reflector_lobes CHECK (reflector_lobe_a_deg BETWEEN 0 AND 90 AND reflector_lobe_b_deg BETWEEN 0 AND 90),
    CONSTRAINT items_reflector_faces CHECK (char_length(reflector_face_a) BETWEEN 1 AND 40
        AND char_length(reflector_face_b) BETWEEN 1 AND 40),

    CONSTRAINT items_support_attributes CHECK (num_nonnulls(support_class, support_lowest_m, support_highest_m,
        support_safe_load_kg, support_footprint_m, support_legs, support_arm_reach_m)
        = CASE WHEN kind = 'support' THEN 7 ELSE 0 END),
    CONSTRAINT items_support_class_known CHECK (support_class IN ('stand', 'machine')),
    CONSTRAINT items_support_operator CHECK ((support_operator_sku IS NOT NULL) = (support_class IS NOT DISTINCT FROM 'machine')),
    CONSTRAINT items_support_heights CHECK (support_lowest_m >= 0 AND support_lowest_m <= support_highest_m
        AND support_highest_m > 0 AND support_highest_m <= 100),
    CONSTRAINT items_support_load_range CHECK (support_safe_load_kg > 0 AND support_safe_load_kg <= 50000),
    CONSTRAINT items_support_footprint_range CHECK (support_footprint_m > 0 AND support_footprint_m <= 20),
    CONSTRAINT items_support_legs_range CHECK (support_legs BETWEEN 3 AND 12),
    CONSTRAINT items_support_arm_range CHECK (support_arm_reach_m BETWEEN 0 AND 100),

    CONSTRAINT items_ballast_attributes CHECK ((ballast_form IS NOT NULL) = (kind = 'ballast')),
    CONSTRAINT items_ballast_form_known CHECK (ballast_form IN ('bag', 'block')),

    CONSTRAINT items_line_attributes CHECK (num_nonnulls(line_length_m, line_safe_pull_n)
        = CASE WHEN kind = 'line' THEN 2 ELSE 0 END),
    CONSTRAINT items_line_length_range CHECK (line_length_m > 0 AND line_length_m <= 500),
    CONSTRAINT items_line_pull_range CHECK (line_safe_pull_n > 0 AND line_safe_pull_n <= 1000000),

    CONSTRAINT items_anchor_attributes CHECK (num_nonnulls(anchor_form, anchor_safe_pull_n)
        = CASE WHEN kind = 'anchor' THEN 2 ELSE 0 END),
    CONSTRAINT items_anchor_form_known CHECK (anchor_form IN ('stake', 'weight')),
    CONSTRAINT items_anchor_pull CHECK (anchor_safe_pull_n BETWEEN 0 AND 1000000
        AND (anchor_safe_pull_n = 0) = (anchor_form = 'weight')),

    CONSTRAINT items_lamp_attributes CHECK (num_nonnulls(lamp_intensity_cd, lamp_beam_deg, lamp_power_w, lamp_supply)
        = CASE WHEN kind = 'lamp' THEN 4 ELSE 0 END),
    CONSTRAINT items_lamp_intensity_range CHECK (lamp_intensity_cd > 0 AND lamp_intensity_cd <= 100000000),
    CONSTRAINT items_lamp_beam_range CHECK (lamp_beam_deg > 0 AND lamp_beam_deg <= 180),
    CONSTRAINT items_lamp_power_range CHECK (lamp_power_w > 0 AND lamp_power_w <= 100000),
    CONSTRAINT items_lamp_supply_known CHECK (lamp_supply IN ('mains', 'battery')),

    CONSTRAINT items_vehicle_attributes CHECK (num_nonnulls(vehicle_payload_kg, vehicle_load_m3, vehicle_seats)
        = CASE WHEN kind = 'vehicle' THEN 3 ELSE 0 END),
    CONSTRAINT items_vehicle_payload_range CHECK (vehicle_payload_kg > 0 AND vehicle_payload_kg <= 50000),
    CONSTRAINT items_vehicle_load_range CHECK (vehicle_load_m3 > 0 AND vehicle_load_m3 <= 500),
    CONSTRAINT items_vehicle_seats_range CHECK (vehicle_seats BETWEEN 1 AND 100),

    CONSTRAINT items_labour_attributes CHECK (num_nonnulls(labour_role, labour_hours_per_day)
        = CASE WHEN kind = 'labour' THEN 2 ELSE 0 END),
    CONSTRAINT items_labour_role_known CHECK (labour_role IN ('lead', 'hand', 'operator', 'electrician', 'driver')),
    CONSTRAINT items_labour_hours_range CHECK (labour_hours_per_day > 0 AND labour_hours_per_day <= 24),

    CONSTRAINT items_expendable_attributes CHECK ((expendable_unit IS NOT NULL) = (kind = 'expendable')),
    CONSTRAINT items_expendable_unit_length CHECK (char_length(expendable_unit) BETWEEN 1 AND 40)
);

COMMENT ON COLUMN items.version IS 'the house''s version at the change that made this state; never the same twice for one SKU';
COMMENT ON INDEX items_pkey IS 'one item; a house''s whole catalogue in order';
COMMENT ON INDEX items_house_sku_kind_key IS 'target of items_support_operator_fkey';

CREATE INDEX items_by_operator ON items (house, support_operator_sku) WHERE support_operator_sku IS NOT NULL;
COMMENT ON INDEX items_by_operator IS 'is a labour item still some machine''s operator, when it is deleted';

CREATE TABLE item_rates (
    house         text   NOT NULL,
    sku           text   NOT NULL COLLATE "C",
    valid_from    date   NOT NULL,
    per_day_minor bigint NOT NULL,
    CONSTRAINT item_rates_pkey PRIMARY KEY (house, sku, valid_from),
    CONSTRAINT item_rates_item_fkey FOREIGN KEY (house, sku) REFERENCES items (house, sku) ON DELETE CASCADE,
    CONSTRAINT item_rates_per_day_range CHECK (per_day_minor BETWEEN 0 AND 9999999999999999),
    CONSTRAINT item_rates_valid_from_range CHECK (valid_from BETWEEN DATE '1970-01-01' AND DATE '9999-12-31')
);

COMMENT ON TABLE item_rates IS 'hire per day in minor units of the house''s currency, from a date until the next';
COMMENT ON INDEX item_rates_pkey IS 'the rates of one item or of a house''s whole catalogue, in order; one rate per item and date';

-- A house's version grows with whatever changes its items, by whichever program: snapshots and listings kept in memory
-- are asked by it whether they still hold.
CREATE FUNCTION bump_house_version() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    UPDATE houses SET version = version + 1 WHERE slug IN (SELECT house FROM changed);
    RETURN NULL;
END
$$;

CREATE TRIGGER items_inserted AFTER INSERT ON items REFERENCING NEW TABLE AS changed
    FOR EACH STATEMENT EXECUTE FUNCTION bump_house_version();
CREATE TRIGGER items_updated AFTER UPDATE ON items REFERENCING NEW TABLE AS changed
    FOR EACH STATEMENT EXECUTE FUNCTION bump_house_version();
CREATE TRIGGER items_deleted AFTER DELETE ON items REFERENCING OLD TABLE AS changed
    FOR EACH STATEMENT EXECUTE FUNCTION bump_house_version();
CREATE TRIGGER item_rates_inserted AFTER INSERT ON item_rates REFERENCING NEW TABLE AS changed
    FOR EACH STATEMENT EXECUTE FUNCTION bump_house_version();
CREATE TRIGGER item_rates_updated AFTER UPDATE ON item_rates REFERENCING NEW TABLE AS changed
    FOR EACH STATEMENT EXECUTE FUNCTION bump_house_version();
CREATE TRIGGER item_rates_deleted AFTER DELETE ON item_rates REFERENCING OLD TABLE AS changed
    FOR EACH STATEMENT EXECUTE FUNCTION bump_house_version();
