//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package rest

import (
	"encoding/json"
	"math"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"kitspan/api"
)

// everyNumber is a request that says every number that a request can.
const everyNumber = `{
	"house": "quayside",
	"shot": {
		"site": {"latitude_deg": 38.69, "longitude_deg": -9.2, "elevation_m": 3, "pressure_hpa": 1010, "temperature_c": 20, "time_zone": "Europe/Lisbon", "ground_reflectance": 0.3,
			"anchors": [{"label": "rail", "position_m": [4, 5, 1], "safe_pull_n": 2000}]},
		"window": {"date": "2027-06-18", "start": "16:30", "end": "16:40"},
		"sky": {"sun_lx": 90000, "sky_lx": 15000},
		"camera": {"bearing_deg": 258, "height_m": 1.5, "aim_height_m": 1.25},
		"framing": {"width_m": 3, "distance_m": 5.5, "aspect_ratio": 1.7778},
		"zone": {"width_m": 2.6, "depth_m": 0.8, "base_m": 0.6, "top_m": 1.85},
		"look": {"key_stops": -0.5, "contrast_stops": 1.5, "net_stops": 0.5, "back_stops": 0, "soft_deg": 12},
		"background": {"reflectance": 0.18, "placement_stops": 0},
		"exposure": {"iso": 800, "frame_rate_fps": 25, "shutter_angle_deg": 180, "t_stop": 2.8},
		"allowance": {"cover_m": 0.15, "view_m": 0.1, "head_m": 2.1, "ballast_kg": 15, "ballast_high_kg": 30},
		"gust_ms": 8, "safety_factor": 1.5,
		"walk": {"to_m": [0.4, -0.3]},
		"supply": {"position_m": [-4, 1], "volts": 230, "circuit_a": 16},
		"other_zones": [{"label": "b", "center_m": [6, 1.5], "width_m": 1, "depth_m": 1, "base_m": 0, "top_m": 1.85, "key_stops": -1}],
		"lamps": [
			{"label": "far", "azimuth_deg": 10, "elevation_deg": 30, "illuminance_lx": 20000, "angular_radius_deg": 1},
			{"label": "near", "position_m": [-6, 4, 5], "intensity_cd": 500000}
		],
		"forecast": [{"at": "2027-06-18T16:00:00+01:00", "gust_ms": 6, "cloud": 0.1}, {"at": "2027-06-18T17:00:00+01:00", "gust_ms": 9}]
	},
	"crew_ladder": [3],
	"limits": {"crew": 8, "rig_height_m": 8, "mass_kg": 5000, "price_per_day": {"amount": "2000.00", "currency": "EUR"}}
}`

// elsewhere are numbers that contradict others of everyNumber, and what takes their place.
var elsewhere = map[string]string{
	"/shot/mean_wind_ms":            `"gust_ms": 8, "safety_factor"`,
	"/shot/framing/focal_length_mm": `"width_m": 3, "distance_m"`,
	"/shot/framing/sensor_width_mm": `"width_m": 3, "distance_m"`,
	"/shot/background/ev100":        `"reflectance": 0.18, "placement_stops"`,
}

// extremes are what breaks formulas that nobody thought of: numbers that vanish when they are squared or divided by, and
// those that leave the range of floats when they are multiplied.
func extremes(s *openapi3.Schema) []float64 {
	out := []float64{5e-324, 1.001e-9, -1.001e-9, 1e160, 1e308, -math.MaxFloat64}
	if s.Min != nil && s.Max != nil {
		out = append(out, *s.Min, *s.Max)
	}
	return out
}

// Whatever a number of a request is, the answer is a plan whose numbers are all finite, or a fault at a field: never 500.
func TestNoNumberBreaksAPlan(t *testing.T) {
	t.Parallel()
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	f := newFace(t, newMemory())
	numbers := 0
	var walk func(schema *openapi3.Schema, said any, pointer string)
	walk = func(schema *openapi3.Schema, said any, pointer string) {
		switch {
		case schema.Type.Is("object"):
			members, _ := said.(map[string]any)
			for name, ref := range schema.Properties {
				if ref.Value.Type.Is("string") || ref.Value.Type.Is("boolean") {
					continue
				}
				walk(ref.Value, members[name], pointer+"/"+name)
			}
		case schema.Type.Is("array"):
			list, _ := said.([]any)
			if len(list) == 0 && pointer != "/shot/lamps/0/position_m" {
				t.Errorf("%s is not in the request of this test", pointer)
			}
			for i := range list {
				walk(schema.Items.Value, list[i], pointer+"/"+strconv.Itoa(i))
			}
		default:
			if schema.Min == nil || schema.Max == nil {
				t.Errorf("%s has no range in the contract", pointer)
			}
			numbers++
			t.Run(strings.ReplaceAll(pointer[1:], "/", "."), func(t *testing.T) {
				t.Parallel()
				for _, v := range extremes(schema) {
					got := f.do(http.MethodPost, "/v1/sizings", saying(t, pointer, strconv.FormatFloat(v, 'g', -1, 64)))
					if got.status != http.StatusOK && got.status != http.StatusUnprocessableEntity && got.status != http.StatusBadRequest {
						t.Errorf("%s is %g: status %d: %.300s", pointer, v, got.status, got.body)
					}
					if got.status == http.StatusUnprocessableEntity && len(got.places()) == 0 {
						t.Errorf("%s is %g: no fault is placed: %s", pointer, v, got.body)
					}
				}
			})
		}
	}
	var said any
	if err := json.Unmarshal([]byte(everyNumber), &said); err != nil {
		t.Fatal(err)
	}
	f.do(http.MethodPost, "/v1/sizings", everyNumber).want(http.StatusOK)
	walk(doc.Components.Schemas["SizingRequest"].Value, said, "")
	if numbers < 64 {
		t.Errorf("%d numbers were tried, want every one", numbers)
	}
}

// saying is everyNumber with another number at a pointer.
func saying(t *testing.T, pointer, value string) string {
	t.Helper()
	text := everyNumber
	if !strings.HasPrefix(pointer, "/crew_ladder") { // which is sized once more for each of its numbers
		text = strings.Replace(text, "\"crew_ladder\": [3],", "", 1)
	}
	if parts := elsewhere[pointer]; parts != "" {
		head, tail, _ := strings.Cut(parts, ", ")
		text = strings.Replace(text, head+", "+tail, tail, 1)
	}
	var root any
	if err := json.Unmarshal([]byte(text), &root); err != nil {
		t.Fatal(err)
	}
	steps := strings.Split(strings.TrimPrefix(pointer, "/"), "/")
	at := root
	for i, step := range steps {
		last := i == len(steps)-1
		switch in := at.(type) {
		case map[string]any:
			if last {
				in[step] = json.RawMessage(value)
			}
			at = in[step]
		case []any:
			n, err := strconv.Atoi(step)
			if err != nil {
				t.Fatal(err)
			}
			if last {
				in[n] = json.RawMessage(value)
			}
			at = in[n]
		}
	}
	if shot := root.(map[string]any)["shot"].(map[string]any); strings.HasPrefix(pointer, "/shot/framing/focal") || strings.HasPrefix(pointer, "/shot/framing/sensor") {
		for _, other := range []string{"focal_length_mm", "sensor_width_mm"} {
			framing := shot["framing"].(map[string]any)
			if framing[other] == nil {
				framing[other] = 35
			}
		}
	}
	body, err := json.Marshal(root)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}
