package postgres_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"

	"kitspan/internal/catalog"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

func TestTableOfItemsHasAColumnForEveryField(t *testing.T) {
	t.Parallel()
	pool := pgtest.New(t)
	types := map[string]string{}
	rows, err := pool.Query(t.Context(), `
		SELECT column_name::text, data_type::text FROM information_schema.columns
		WHERE table_name = 'items' AND is_generated = 'NEVER'`)
	if err != nil {
		t.Fatal(err)
	}
	var name, kind string
	if _, err := pgx.ForEachRow(rows, []any{&name, &kind}, func() error { types[name] = kind; return nil }); err != nil {
		t.Fatal(err)
	}
	want := map[string]string{
		"house": "text", "sku": "text", "kind": "text", "version": "bigint", "name": "text", "mass_kg": "double precision",
		"packed_m3": "double precision", "owned": "integer", "replacement_minor": "bigint", "account": "text",
	}
	for _, k := range catalog.Kinds() {
		for _, f := range catalog.NewSpec(k).Fields() {
			switch f.Value.(type) {
			case *float64:
				want[string(k)+"_"+f.Name] = "double precision"
			case *int:
				want[string(k)+"_"+f.Name] = "integer"
			case *string:
				want[string(k)+"_"+f.Name] = "text"
			}
		}
	}
	if d := cmp.Diff(want, types); d != "" {
		t.Errorf("columns (-fields +table):\n%s", d)
	}
}

// What the program's own checks let through by mistake, or another program writes, the schema refuses by name.
func TestSchemaRefusesByName(t *testing.T) {
	t.Parallel()
	_, pool := seeded(t)
	const (
		frame, fabric, board = "QG-FRAME-08X08", "QG-FABRIC-FULL-08X08", "QG-BOARD-WHITE-120"
		stand, lift          = "QG-STAND-COMBO", "QG-LIFT-BOOM-16"
	)
	tried := map[string]bool{}
	for _, c := range []struct{ want, sku, set string }{
		{"items_sku_form", frame, `sku = 'qg'`},
		{"items_kind_known", "QG-GRIP-HEAD", `kind = 'bicycle'`},
		{"items_version_positive", frame, `version = 0`},
		{"items_name_length", frame, `name = ''`},
		{"items_name_length", frame, `name = repeat('x', 121)`},
		{"items_mass_range", frame, `mass_kg = -0.001`},
		{"items_mass_range", frame, `mass_kg = 'NaN'`},
		{"items_mass_range", frame, `mass_kg = 'Infinity'`},
		{"items_packed_range", frame, `packed_m3 = -1`},
		{"items_owned_range", frame, `owned = -1`},
		{"items_replacement_range", frame, `replacement_minor = -1`},
		{"items_account_length", frame, `account = repeat('x', 41)`},
		{"items_frame_attributes", frame, `frame_outer_width_m = NULL`},
		{"items_frame_attributes", stand, `frame_outer_width_m = 3`},
		{"items_frame_sizes", frame, `frame_opening_width_m = 0, frame_opening_height_m = 0`},
		{"items_frame_sizes", frame, `frame_outer_width_m = 'NaN'`},
		{"items_frame_sizes", frame, `frame_opening_width_m = 2.5`},
		{"items_frame_sizes", frame, `frame_opening_height_m = 2.4`},
		{"items_frame_supports", frame, `frame_supports_min = 3`},
		{"items_frame_supports", frame, `frame_supports_min = 4, frame_supports_max = 2`},
		{"items_frame_gust_range", frame, `frame_gust_limit_ms = -1`},
		{"items_fabric_attributes", fabric, `fabric_use = NULL`},
		{"items_fabric_sizes", fabric, `fabric_fits_height_m = 3`},
		{"items_fabric_use_known", fabric, `fabric_use = 'curtain'`},
		{"items_fabric_shares", fabric, `fabric_beam_share = 1.1`},
		{"items_fabric_shares", fabric, `fabric_transmittance = -0.1`},
		{"items_fabric_light_conserved", fabric, `fabric_transmittance = 0.6, fabric_reflectance = 0.41`},
		{"items_fabric_use_light", fabric, `fabric_transmittance = 0`},
		{"items_fabric_use_light", fabric, `fabric_use = 'bounce', fabric_reflectance = 0`},
		{"items_fabric_areal_mass_range", fabric, `fabric_areal_mass_kg_m2 = 0`},
		{"items_fabric_solidity_range", fabric, `fabric_solidity = 0`},
		{"items_fabric_colour_shift_range", fabric, `fabric_colour_shift_mired = 'NaN'`},
		{"items_fabric_faces", fabric, `fabric_face_b = ''`},
		{"items_reflector_attributes", board, `reflector_face_a = NULL`},
		{"items_reflector_sizes", board, `reflector_width_m = 0`},
		{"items_reflector_shares", board, `reflector_specular_b = -0.1`},
		{"items_reflector_light_conserved", board, `reflector_specular_a = 0.5`},
		{"items_reflector_lobes", board, `reflector_lobe_a_deg = 91`},
		{"items_reflector_colour_shifts", board, `reflector_colour_shift_b_mired = 501`},
		{"items_reflector_faces", board, `reflector_face_a = ''`},
		{"items_support_attributes", stand, `support_legs = NULL`},
		{"items_support_class_known", stand, `support_class = 'tree'`},
		{"items_support_operator", stand, `support_operator_sku = 'QG-CREW-OPERATOR'`},
		{"items_support_operator", lift, `support_operator_sku = NULL`},
		{"items_support_operator_fkey", lift, `support_operator_sku = 'QG-CREW-NOBODY'`},
		{"items_support_operator_fkey", lift, `support_operator_sku = 'QG-BAG-07'`},
		{"items_support_heights", stand, `support_lowest_m = 9`},
		{"items_support_load_range", stand, `support_safe_load_kg = 0`},
		{"items_support_footprint_range", stand, `support_footprint_m = 0`},
		{"items_support_legs_range", stand, `support_legs = 2`},
		{"items_support_arm_range", stand, `support_arm_reach_m = -1`},
		{"items_ballast_attributes", "QG-BAG-07", `ballast_form = NULL`},
		{"items_ballast_form_known", "QG-BAG-07", `ballast_form = 'barrel'`},
		{"items_line_attributes", "QG-LINE-10", `line_length_m = NULL`},
		{"items_line_length_range", "QG-LINE-10", `line_length_m = 0`},
		{"items_line_pull_range", "QG-LINE-10", `line_safe_pull_n = 0`},
		{"items_anchor_attributes", "QG-STAKE-060", `anchor_form = NULL`},
		{"items_anchor_form_known", "QG-STAKE-060", `anchor_form = 'tree'`},
		{"items_anchor_pull", "QG-STAKE-060", `anchor_safe_pull_n = 0`},
		{"items_anchor_pull", "QG-ANCHOR-BLOCK-250", `anchor_safe_pull_n = 1`},
		{"items_lamp_attributes", "QG-LAMP-PANEL-0400", `lamp_supply = NULL`},
		{"items_lamp_intensity_range", "QG-LAMP-PANEL-0400", `lamp_intensity_cd = 0`},
		{"items_lamp_beam_range", "QG-LAMP-PANEL-0400", `lamp_beam_deg = 181`},
		{"items_lamp_power_range", "QG-LAMP-PANEL-0400", `lamp_power_w = 0`},
		{"items_lamp_supply_known", "QG-LAMP-PANEL-0400", `lamp_supply = 'steam'`},
		{"items_vehicle_attributes", "QG-VAN-06", `vehicle_seats = NULL`},
		{"items_vehicle_payload_range", "QG-VAN-06", `vehicle_payload_kg = 0`},
		{"items_vehicle_load_range", "QG-VAN-06", `vehicle_load_m3 = 0`},
		{"items_vehicle_seats_range", "QG-VAN-06", `vehicle_seats = 0`},
		{"items_vehicle_driver_known", "QG-VAN-06", `vehicle_driver = 'horse'`},
		{"items_labour_attributes", "QG-CREW-HAND", `labour_role = NULL`},
		{"items_labour_role_known", "QG-CREW-HAND", `labour_role = 'poet'`},
		{"items_labour_hours_range", "QG-CREW-HAND", `labour_hours_per_day = 25`},
		{"items_expendable_attributes", "QG-GLOVES", `expendable_unit = NULL`},
		{"items_expendable_unit_length", "QG-GLOVES", `expendable_unit = ''`},
		{"items_house_fkey", "QG-GRIP-HEAD", `house = 'nowhere'`},
		{"items_pkey", "QG-GRIP-HEAD", `sku = 'QG-GRIP-ARM'`},
	} {
		// One statement is one transaction: deferred keys are checked at its end.
		tag, err := pool.Exec(t.Context(), `WITH gone AS (DELETE FROM item_rates WHERE sku = $1) UPDATE items SET `+c.set+` WHERE house = 'quayside' AND sku = $1`, c.sku)
		if got := postgres.Constraint(err); got != c.want {
			t.Errorf("%s, %s: refused by %q (%v, %d rows), want %s", c.sku, c.set, got, err, tag.RowsAffected(), c.want)
		}
		tried[c.want] = true
	}
	for _, c := range []struct{ want, sql string }{
		{"houses_slug_form", `UPDATE houses SET slug = 'Quay side' WHERE slug = 'quayside'`},
		{"houses_name_length", `UPDATE houses SET name = ''`},
		{"houses_currency_form", `UPDATE houses SET currency = 'euro'`},
		{"houses_time_zone_given", `UPDATE houses SET time_zone = ''`},
		{"houses_version_positive", `UPDATE houses SET version = 0`},
		{"houses_pkey", `INSERT INTO houses VALUES ('quayside', 'Q', 'EUR', 'Europe/Lisbon')`},
		{"item_rates_pkey", `INSERT INTO item_rates VALUES ('quayside', 'QG-BAG-07', '2026-01-01', 1)`},
		{"item_rates_item_fkey", `INSERT INTO item_rates VALUES ('quayside', 'QG-NONE', '2026-01-01', 1)`},
		{"item_rates_per_day_range", `INSERT INTO item_rates VALUES ('quayside', 'QG-BAG-07', '2028-01-01', -1)`},
		{"item_rates_valid_from_range", `INSERT INTO item_rates VALUES ('quayside', 'QG-BAG-07', 'infinity', 1)`},
		{"item_creations_pkey", `INSERT INTO item_creations VALUES ('quayside', 'k', '\x01', 1), ('quayside', 'k', '\x01', 1)`},
		{"item_creations_house_fkey", `INSERT INTO item_creations VALUES ('nowhere', 'k', '\x01', 1)`},
		{"item_creations_key_length", `INSERT INTO item_creations VALUES ('quayside', '', '\x01', 1)`},
		{"item_creations_digest_length", `INSERT INTO item_creations VALUES ('quayside', 'k', '', 1)`},
		{"staff_sessions_pkey", `INSERT INTO staff_sessions VALUES (repeat('x', 43), '\x01', now()), (repeat('x', 43), '\x01', now())`},
		{"staff_sessions_token_hash_length", `INSERT INTO staff_sessions VALUES ('a token', '\x01', now())`},
		{"staff_sessions_data_length", `INSERT INTO staff_sessions VALUES (repeat('x', 43), '', now())`},
		{"staff_sessions_data_length", `INSERT INTO staff_sessions VALUES (repeat('x', 43), convert_to(repeat('x', 4097), 'UTF8'), now())`},
		{"import_files_pkey", `INSERT INTO import_files VALUES ('quayside', 'f', 'h', 'line', '\x01', NULL, NULL, NULL, now(), now() + INTERVAL '1 hour'), ('quayside', 'f', 'h', 'line', '\x01', NULL, NULL, NULL, now(), now() + INTERVAL '1 hour')`},
		{"import_files_house_fkey", `INSERT INTO import_files VALUES ('nowhere', 'f', 'h', 'line', '\x01', NULL, NULL, NULL, now(), now() + INTERVAL '1 hour')`},
		{"import_files_id_length", `INSERT INTO import_files VALUES ('quayside', '', 'h', 'line', '\x01', NULL, NULL, NULL, now(), now() + INTERVAL '1 hour')`},
		{"import_files_holder_length", `INSERT INTO import_files VALUES ('quayside', 'f', '', 'line', '\x01', NULL, NULL, NULL, now(), now() + INTERVAL '1 hour')`},
		{"import_files_kind_known", `INSERT INTO import_files VALUES ('quayside', 'f', 'h', 'gold', '\x01', NULL, NULL, NULL, now(), now() + INTERVAL '1 hour')`},
		{"import_files_done", `INSERT INTO import_files VALUES ('quayside', 'f', 'h', 'line', '', NULL, NULL, NULL, now(), now() + INTERVAL '1 hour')`},
		{"import_files_done", `INSERT INTO import_files VALUES ('quayside', 'f', 'h', 'line', '\x01', 1, NULL, NULL, now(), now() + INTERVAL '1 hour')`},
		{"import_files_done", `INSERT INTO import_files VALUES ('quayside', 'f', 'h', 'line', '\x01', 1, 1, 1, now(), now() + INTERVAL '1 hour')`},
		{"import_files_counts", `INSERT INTO import_files VALUES ('quayside', 'f', 'h', 'line', '', -1, 0, 0, now(), now() + INTERVAL '1 hour')`},
		{"import_files_expiry", `INSERT INTO import_files VALUES ('quayside', 'f', 'h', 'line', '\x01', NULL, NULL, NULL, now(), now())`},
		{"import_files_size", `INSERT INTO import_files SELECT 'quayside', 'f', 'h', 'line', convert_to(repeat('x', 8388609), 'UTF8'), NULL, NULL, NULL, now(), now() + INTERVAL '1 hour'`},
	} {
		_, err := pool.Exec(t.Context(), c.sql)
		if got := postgres.Constraint(err); got != c.want {
			t.Errorf("%s: refused by %q (%v), want %s", c.sql, got, err, c.want)
		}
		tried[c.want] = true
	}
	// A sound catalogue cannot break this one alone: (house, sku) is the primary key already.
	tried["items_house_sku_kind_key"] = true
	var all []string
	rows, err := pool.Query(t.Context(), `
		SELECT conname::text FROM pg_constraint
		WHERE conrelid IN (SELECT oid FROM pg_class WHERE relnamespace = 'public'::regnamespace
			AND relname !~ '^(schema_migrations|jobs|job_.*|plan_runs|river_.*)$') -- those have tests of their own
			AND contype NOT IN ('t', 'n')
		ORDER BY conname`)
	if err != nil {
		t.Fatal(err)
	}
	if all, err = pgx.CollectRows(rows, pgx.RowTo[string]); err != nil {
		t.Fatal(err)
	}
	for _, name := range all {
		if !tried[name] {
			t.Errorf("constraint %s is not tried", name)
		}
	}
}

// Whoever changes a row, by whatever way, moves the house on.
func TestEveryChangeMovesTheHouseOn(t *testing.T) {
	t.Parallel()
	c, pool := seeded(t)
	for _, sql := range []string{
		`UPDATE items SET owned = owned + 1 WHERE sku = 'QG-BAG-07'`,
		`UPDATE item_rates SET per_day_minor = per_day_minor + 1 WHERE sku = 'QG-BAG-07'`,
		`INSERT INTO item_rates VALUES ('quayside', 'QG-BAG-07', '2031-01-01', 1)`,
		`DELETE FROM item_rates WHERE sku = 'QG-BAG-07'`,
		`DELETE FROM items WHERE sku = 'QG-BAG-07'`,
		`INSERT INTO items (house, sku, kind, version, name, mass_kg, packed_m3, owned, replacement_minor, account)
			VALUES ('quayside', 'NEW', 'accessory', 1, 'Thing', 1, 1, 1, 1, '')`,
	} {
		before, other := houseVersion(t, c, "quayside"), houseVersion(t, c, "northpier")
		exec(t, pool, sql)
		if after := houseVersion(t, c, "quayside"); after <= before {
			t.Errorf("%s: house at %d before and %d after", sql, before, after)
		}
		if after := houseVersion(t, c, "northpier"); after != other {
			t.Errorf("%s: moved the other house on", sql)
		}
	}
	before := houseVersion(t, c, "quayside")
	exec(t, pool, `UPDATE items SET owned = 1 WHERE sku = 'NOBODY'`)
	if after := houseVersion(t, c, "quayside"); after != before {
		t.Error("a statement that changed nothing moved the house on")
	}
}

// What an index is for is commented beside it.
func TestEveryIndexHasAComment(t *testing.T) {
	t.Parallel()
	pool := pgtest.New(t)
	rows, err := pool.Query(t.Context(), `
		SELECT indexrelid::regclass::text FROM pg_index
		WHERE indrelid IN (SELECT oid FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relname <> 'schema_migrations')
			AND obj_description(indexrelid, 'pg_class') IS NULL`)
	if err != nil {
		t.Fatal(err)
	}
	bare, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	if slices.Sort(bare); len(bare) > 0 {
		t.Errorf("indexes without a comment: %v", bare)
	}
}
