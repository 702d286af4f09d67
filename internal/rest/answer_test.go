package rest

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/bojanz/currency"
	"github.com/getkin/kin-openapi/openapi3"
	"github.com/google/go-cmp/cmp"

	"kitspan/api"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/lighting"
	"kitspan/internal/rigging"
	"kitspan/internal/sizing"
)

// madeUp is a result with a number of its own in every member that a reflector or a lamp fills.
func madeUp(t *testing.T) sizing.Result {
	t.Helper()
	var req SizingRequest
	if _, err := DecodeJSON([]byte(examples(t)[anglers]), &req); err != nil {
		t.Fatal(err)
	}
	draft, _ := draftOf(&req)
	shot, faults := draft.Resolve()
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	reaim := 7.26
	euro, err := currency.NewAmount("1.00", "EUR")
	if err != nil {
		t.Fatal(err)
	}
	mid := time.Date(2027, 6, 18, 16, 0, 0, 0, time.UTC)
	hold := sizing.Hold{
		AreaM2: 9, PressurePa: 40.00004, Coefficient: 1.8, ForceN: 648.04,
		Hold: rigging.Hold{
			SafeToMS: 8.12345999, GoesAtMS: 9.94915999, LowerAtMS: 7.95932799, WatchAtMS: 5.96949599, Governs: rigging.GovernsSliding, Support: 1,
		},
		RopeGoneMS: 5.20999,
	}
	none := sizing.Hold{Hold: rigging.Hold{Governs: rigging.GovernsNone, Support: -1}}
	return sizing.Result{Shot: shot, Cautions: []finding.Caution{finding.CautionWind}, Options: []sizing.Option{{
		Label: sizing.LabelLamps, State: finding.DoesIt, Trade: finding.Trade{Total: euro}, Window: shot.Window, ReaimMin: &reaim, PowerW: 1200.04,
		Crew: rigging.Crew{Raise: 4, Hold: 1, Work: 5, Electricians: 1, Operators: 2, Total: 5, RigMin: 45, StrikeMin: 30}, Order: []finding.Work{{Role: finding.RoleLamp, Pieces: 1, Hands: 1}},
		Load: sizing.Load{MassKg: 100, VolumeM3: 2}, Haul: []sizing.Trips{{Count: catalog.Count{SKU: "V", Quantity: 2}, Trips: 3}},
		Power: sizing.Power{
			MainsW: 1200.04, Volts: 230, LongestRunM: 12.345, GeneratorVA: 1666.7,
			Circuits: []sizing.Circuit{{Lamps: []int{3}, Watts: 1200, Amps: 5.797, CableRunsM: []float64{12.345}, Overloaded: true}},
		},
		Notes: []finding.Note{finding.MachinesApart{}, finding.NoTransport{MassKg: 9000, VolumeM3: 40, Trips: 4}},
		Wind:  []sizing.WindStep{{GustMS: 12, BallastKg: 84.00004, People: 4, Down: []finding.Role{finding.RoleOverhead}}},
		Pieces: []sizing.Piece{
			{Role: finding.RoleOverhead, Covers: []string{"sun"}, MarginM: 0.25, Hold: hold,
				Supports: []sizing.Support{{SKU: "S", HeightM: 2, FootprintM: 1, Legs: 3, Ballast: catalog.Count{SKU: "B", Quantity: 5}, EachLeg: 1, AtMast: 2, MastNM: 310.04}},
				Lines: []sizing.GuyLine{
					{SKU: "R", From: geom.Vec{Z: 2}, To: geom.Vec{X: 2}, Anchor: catalog.Count{SKU: "A", Quantity: 3}, PullN: 412.34},
					{SKU: "R", Support: rigging.OnFrame, From: geom.Vec{Y: 1, Z: 2}, To: geom.Vec{Y: 3, Z: 1}, Point: "railing"},
				}},
			{Role: finding.RoleReflector, Corners: [4]geom.Vec{{X: 1}, {X: 2}, {X: 2, Z: 1}, {X: 1, Z: 1}}, Hold: none},
			{Role: finding.RoleNet, MarginM: 0.1, Hold: none},
			{Role: finding.RoleLamp, Hold: none, Items: []catalog.Count{{SKU: "L", Quantity: 1}},
				Lamp: &sizing.LampPlace{Position: geom.Vec{X: 3.00004, Y: -2, Z: 2.5}, Aim: geom.Vec{Z: 1.5}}},
		},
		Levels: lighting.Levels{
			At: mid, KeyLx: 40000.04, FillLx: 14000, BackLx: 9000, KeyStops: -0.50004, ContrastStops: 1.5,
			SoftnessDeg: 40.25, KeySoftnessDeg: 12.5, KeyFrom: finding.FromRole(finding.RoleReflector), KeyShiftMired: new(12.344), UniformityStops: 0.3,
			OtherZones: []lighting.ZoneLevels{{Label: "far", KeyLx: 20000, KeyStops: -1.5, UniformityStops: 0.2}},
		},
		Trim: []lighting.TrimStep{{DistanceM: 2, KeyLx: 40000, KeyStops: -0.5, ContrastStops: 1.5}, {DistanceM: 4, KeyLx: 10000, KeyStops: -2.5}},
	}, {Label: sizing.LabelReflectors, State: finding.DoesLess, Trade: finding.Trade{Total: euro}, Window: shot.Window, Levels: lighting.Levels{KeyFrom: finding.FromNone}}}}
}

// TestAnswerSaysWhatReflectorsAndLampsDo reads the JSON as another program does.
func TestAnswerSaysWhatReflectorsAndLampsDo(t *testing.T) {
	t.Parallel()
	body, err := SizingJSON(madeUp(t))
	if err != nil {
		t.Fatal(err)
	}
	var whole any
	if err := json.Unmarshal(body, &whole); err != nil {
		t.Fatal(err)
	}
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	// An option must have a price in a currency; this one has none.
	for _, o := range whole.(map[string]any)["options"].([]any) {
		for _, member := range []string{"price_per_day", "labour_per_day", "transport_per_day", "total_per_day"} {
			o.(map[string]any)[member] = map[string]any{"amount": "0.00", "currency": "EUR"}
		}
		for _, step := range o.(map[string]any)["wind"].([]any) {
			step.(map[string]any)["total_per_day"] = map[string]any{"amount": "0.00", "currency": "EUR"}
		}
	}
	if err := doc.Components.Schemas["Sizing"].Value.VisitJSON(whole, openapi3.MultiErrors()); err != nil {
		t.Errorf("the answer breaks the contract: %v", err)
	}
	options := whole.(map[string]any)["options"].([]any)
	lamps, reflectors := options[0].(map[string]any), options[1].(map[string]any)
	for name, want := range map[string]any{
		"label": "lamps", "power_w": 1200.0, "crew": map[string]any{
			"raise": 4.0, "hold": 1.0, "work": 5.0, "electricians": 1.0, "operators": 2.0, "total": 5.0, "rig_min": 45.0, "strike_min": 30.0,
			"reaim_min": 7.3, "order": []any{"Look at the ground and overhead, mark bases and anchors, keep everybody else off.", "A lamp: 1 person raises it.", "Strike in the reverse order."},
		},
		"load": map[string]any{"mass_kg": 100.0, "volume_m3": 2.0, "vehicles": []any{map[string]any{"sku": "V", "quantity": 2.0, "trips": 3.0}}},
		"power": map[string]any{
			"mains_w": 1200.0, "battery_w": 0.0, "volts": 230.0, "longest_run_m": 12.35, "generator_va": 1666.7,
			"circuits": []any{map[string]any{"pieces": []any{3.0}, "watts": 1200.0, "amps": 5.8, "cable_runs_m": []any{12.35}, "overloaded": true}},
		},
		"total_without": []any{"machine_carriers", "transport"},
		"wind": []any{map[string]any{
			"gust_ms": 12.0, "ballast_kg": 84.0, "people": 4.0, "down": []any{"overhead"}, "total_per_day": map[string]any{"amount": "0.00", "currency": "EUR"},
		}},
		"levels": map[string]any{
			"at": "2027-06-18T16:00:00Z", "key_lx": 40000.0, "fill_lx": 14000.0, "back_lx": 9000.0, "key_stops": -0.5,
			"contrast_stops": 1.5, "softness_deg": 40.25, "key_softness_deg": 12.5, "key_from": "reflector", "key_shift_mired": 12.34, "uniformity_stops": 0.3,
			"other_zones": []any{map[string]any{"label": "far", "key_lx": 20000.0, "key_stops": -1.5, "uniformity_stops": 0.2}},
		},
		"sensitivity": []any{
			map[string]any{"distance_m": 2.0, "key_lx": 40000.0, "key_stops": -0.5, "contrast_stops": 1.5},
			map[string]any{"distance_m": 4.0, "key_lx": 10000.0, "key_stops": -2.5, "contrast_stops": 0.0},
		},
	} {
		if diff := cmp.Diff(want, lamps[name]); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
	for name, want := range map[string]any{
		"label": "reflectors-only", "power_w": 0.0, "sensitivity": []any{}, "wind": []any{}, "labour": []any{}, "transport": []any{},
		"crew": map[string]any{
			"raise": 0.0, "hold": 0.0, "work": 0.0, "electricians": 0.0, "operators": 0.0, "total": 0.0, "rig_min": 0.0, "strike_min": 0.0,
			"reaim_min": nil, "order": []any{},
		},
		"load": map[string]any{"mass_kg": 0.0, "volume_m3": 0.0, "vehicles": []any{}},
	} {
		if diff := cmp.Diff(want, reflectors[name]); diff != "" {
			t.Errorf("%s where nothing is placed (-want +got):\n%s", name, diff)
		}
	}

	pieces := map[string]map[string]any{}
	for _, v := range lamps["pieces"].([]any) {
		pieces[v.(map[string]any)["role"].(string)] = v.(map[string]any)
	}
	for role, want := range map[string]map[string]any{
		"overhead": {"margin_m": 0.25, "covers": []any{"sun"}, "position_m": nil, "aim_m": nil,
			"hold": map[string]any{ // limits are rounded down
				"area_m2": 9.0, "pressure_pa": 40.0, "coefficient": 1.8, "force_n": 648.0, "safe_to_ms": 8.1234, "lower_at_ms": 7.9593, "watch_at_ms": 5.9694, "goes_at_ms": 9.9491,
				"rope_gone_ms": 5.2099, "governs": "sliding", "support": 1.0,
			},
			"supports": []any{map[string]any{
				"sku": "S", "base_m": []any{0.0, 0.0}, "height_m": 2.0, "footprint_m": 1.0, "arm_m": nil, "legs": 3.0,
				"ballast": []any{map[string]any{"sku": "B", "quantity": 5.0}}, "on_each_leg": 1.0, "at_mast": 2.0, "mast_moment_nm": 310.0,
			}},
			"lines": []any{
				map[string]any{
					"sku": "R", "from": "support", "support": 0.0, "from_m": []any{0.0, 0.0, 2.0}, "to_m": []any{2.0, 0.0, 0.0}, "pull_n": 412.3,
					"anchor": map[string]any{"sku": "A", "quantity": 3.0}, "anchor_label": nil,
				},
				map[string]any{
					"sku": "R", "from": "frame", "support": nil, "from_m": []any{0.0, 1.0, 2.0}, "to_m": []any{0.0, 3.0, 1.0}, "pull_n": 0.0,
					"anchor": nil, "anchor_label": "railing",
				},
			}},
		"net": {"margin_m": 0.1, "covers": []any{}, "position_m": nil, "aim_m": nil},
		"reflector": {"margin_m": nil, "covers": []any{}, "position_m": nil, "aim_m": nil, "lines": []any{},
			"hold": map[string]any{
				"area_m2": 0.0, "pressure_pa": 0.0, "coefficient": 0.0, "force_n": 0.0, "safe_to_ms": 0.0, "lower_at_ms": 0.0, "watch_at_ms": 0.0, "goes_at_ms": 0.0,
				"rope_gone_ms": nil, "governs": "none", "support": nil,
			}},
		"lamp": {"margin_m": nil, "covers": []any{}, "position_m": []any{3.0, -2.0, 2.5}, "aim_m": []any{0.0, 0.0, 1.5}},
	} {
		for name, value := range want {
			if diff := cmp.Diff(value, pieces[role][name]); diff != "" {
				t.Errorf("%s of a %s (-want +got):\n%s", name, role, diff)
			}
		}
		if _, has := pieces[role]["margin_m"]; !has {
			t.Errorf("a %s has no margin_m, not even null", role)
		}
		if _, has := pieces[role]["corners_m"]; has == (role == "lamp") {
			t.Errorf("a %s has corners_m: %t", role, has)
		}
	}
}

func TestLevelsThatAreNotFiniteAreNoAnswer(t *testing.T) {
	t.Parallel()
	for name, spoil := range map[string]func(*sizing.Option){
		"key":         func(o *sizing.Option) { o.Levels.KeyStops = math.Inf(-1) },
		"other zone":  func(o *sizing.Option) { o.Levels.OtherZones[0].KeyStops = math.NaN() },
		"sensitivity": func(o *sizing.Option) { o.Trim[1].ContrastStops = math.Inf(1) },
		"power":       func(o *sizing.Option) { o.PowerW = math.NaN() },
		"re-aiming":   func(o *sizing.Option) { *o.ReaimMin = math.Inf(1) },
		"lamp":        func(o *sizing.Option) { o.Pieces[3].Lamp.Aim.Y = math.NaN() },
		"limit":       func(o *sizing.Option) { o.Pieces[0].Hold.SafeToMS = math.NaN() },
		"pull":        func(o *sizing.Option) { o.Pieces[0].Lines[0].PullN = math.Inf(1) },
	} {
		result := madeUp(t)
		spoil(&result.Options[0])
		if _, err := SizingJSON(result); err == nil || !strings.Contains(err.Error(), "1 numbers") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
