package rest

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/google/go-cmp/cmp"

	"kitspan/api"
	"kitspan/internal/catalog"
	"kitspan/internal/geom"
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
	mid := time.Date(2027, 6, 18, 16, 0, 0, 0, time.UTC)
	return sizing.Result{Shot: shot, Cautions: []string{"Made up."}, Options: []sizing.Option{{
		Label: sizing.LabelLamps, Window: shot.Window, ReaimMin: &reaim, PowerW: 1200.04,
		Pieces: []sizing.Piece{
			{Role: sizing.RoleOverhead, Covers: []string{"sun"}, MarginM: 0.25},
			{Role: sizing.RoleReflector, Corners: [4]geom.Vec{{X: 1}, {X: 2}, {X: 2, Z: 1}, {X: 1, Z: 1}}},
			{Role: sizing.RoleNet, MarginM: 0.1},
			{Role: sizing.RoleLamp, Items: []catalog.Count{{SKU: "L", Quantity: 1}},
				Lamp: &sizing.LampPlace{Position: geom.Vec{X: 3.00004, Y: -2, Z: 2.5}, Aim: geom.Vec{Z: 1.5}}},
		},
		Levels: sizing.Levels{
			At: mid, KeyLx: 40000.04, FillLx: 14000, BackLx: 9000, KeyStops: -0.50004, ContrastStops: 1.5,
			SoftnessDeg: 40.25, UniformityStops: 0.3,
			OtherZones: []sizing.ZoneLevels{{Label: "far", KeyLx: 20000, KeyStops: -1.5, UniformityStops: 0.2}},
		},
		Trim: []sizing.TrimStep{{DistanceM: 2, KeyLx: 40000, KeyStops: -0.5, ContrastStops: 1.5}, {DistanceM: 4, KeyLx: 10000, KeyStops: -2.5}},
	}, {Label: sizing.LabelReflectors, Window: shot.Window}}}
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
		o.(map[string]any)["price_per_day"] = map[string]any{"amount": "0.00", "currency": "EUR"}
	}
	if err := doc.Components.Schemas["Sizing"].Value.VisitJSON(whole, openapi3.MultiErrors()); err != nil {
		t.Errorf("the answer breaks the contract: %v", err)
	}
	options := whole.(map[string]any)["options"].([]any)
	lamps, reflectors := options[0].(map[string]any), options[1].(map[string]any)
	for name, want := range map[string]any{
		"label": "lamps", "power_w": 1200.0, "crew": map[string]any{"reaim_min": 7.3},
		"levels": map[string]any{
			"at": "2027-06-18T16:00:00Z", "key_lx": 40000.0, "fill_lx": 14000.0, "back_lx": 9000.0, "key_stops": -0.5,
			"contrast_stops": 1.5, "softness_deg": 40.25, "uniformity_stops": 0.3,
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
		"label": "reflectors-only", "power_w": 0.0, "crew": map[string]any{"reaim_min": nil}, "sensitivity": []any{},
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
		"overhead":  {"margin_m": 0.25, "covers": []any{"sun"}, "position_m": nil, "aim_m": nil},
		"net":       {"margin_m": 0.1, "covers": []any{}, "position_m": nil, "aim_m": nil},
		"reflector": {"margin_m": nil, "covers": []any{}, "position_m": nil, "aim_m": nil},
		"lamp":      {"margin_m": nil, "covers": []any{}, "position_m": []any{3.0, -2.0, 2.5}, "aim_m": []any{0.0, 0.0, 1.5}},
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
	} {
		result := madeUp(t)
		spoil(&result.Options[0])
		if _, err := SizingJSON(result); err == nil || !strings.Contains(err.Error(), "1 numbers") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
