package rest

import (
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"kitspan/api"
	"kitspan/internal/shot"
)

// The ranges that the contract names are the ones that the engine keeps: just outside is a fault at that field, the
// bound itself is none.
func TestContractNamesTheEnginesRanges(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	f := newFace(t, newMemory())
	checked := 0
	var walk func(schema *openapi3.Schema, pointer string)
	walk = func(schema *openapi3.Schema, pointer string) {
		for name, ref := range schema.Properties {
			at, s := pointer+"/"+name, ref.Value
			if s.Type.Is("object") {
				walk(s, at)
			}
			if !s.Type.Is("number") && !s.Type.Is("integer") {
				continue
			}
			if s.Min == nil || s.Max == nil {
				t.Errorf("%s has no range in the contract", at)
				continue
			}
			checked++
			step := 0.001
			if s.Type.Is("integer") {
				step = 1
			}
			below := *s.Min - step
			if s.ExclusiveMin.IsTrue() {
				below = *s.Min
			}
			for _, outside := range []float64{below, *s.Max + step} {
				if got := f.faultAt(t, at, outside); !got {
					t.Errorf("%s takes %v, out of the contract's range", at, outside)
				}
			}
			inside := []float64{*s.Max}
			if !s.ExclusiveMin.IsTrue() {
				inside = append(inside, *s.Min)
			}
			for _, v := range inside {
				if f.faultAt(t, at, v) && !contradicts[at] {
					t.Errorf("%s refuses %v, in the contract's range", at, v)
				}
			}
		}
	}
	walk(doc.Components.Schemas["SizingRequest"].Value, "")
	if checked < 40 {
		t.Errorf("%d ranges checked, want every number of a shot", checked)
	}
}

// contradicts are fields whose bounds the anglers' shot cannot take for another reason: what else it says.
var contradicts = map[string]bool{
	"/shot/framing/focal_length_mm": true, "/shot/framing/sensor_width_mm": true, // beside width_m
	"/shot/mean_wind_ms":              true, // beside gust_ms
	"/shot/zone/top_m":                true, // not above the base
	"/shot/zone/base_m":               true,
	"/shot/allowance/ballast_high_kg": true, // under that of other stands
}

// faultAt reports whether a value is refused at its field.
func (f *face) faultAt(t *testing.T, pointer string, v float64) bool {
	t.Helper()
	var req SizingRequest
	excess, err := DecodeJSON([]byte(changed(t, pointer, strconv.FormatFloat(v, 'f', -1, 64))), &req)
	if err != nil {
		t.Fatal(err)
	}
	draft, faults := draftOf(&req)
	_, unsound := draft.Resolve()
	for _, u := range unsound {
		faults = append(faults, Fault{Pointer: u.Pointer})
	}
	for _, got := range append(faults, excess...) {
		if got.Pointer == pointer || strings.HasPrefix(got.Pointer, pointer+"/") {
			return true
		}
	}
	return false
}

// The same of what a sweep and a reach ask beside a shot.
func TestContractNamesTheRangesOfSweepsAndReaches(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	var req SizingRequest
	if _, err := DecodeJSON([]byte(examples(t)[anglers]), &req); err != nil {
		t.Fatal(err)
	}
	draft, _ := draftOf(&req)
	asked, _ := draft.Resolve()
	step := doc.Components.Schemas["SweepRequest"].Value.Properties["step_min"].Value
	least, most := int(*step.Min), int(*step.Max)
	for minutes, sound := range map[int]bool{least - 1: false, least: true, most: true, most + 1: false} {
		if _, faults := (shot.DraftSteps{StepMin: &minutes}).Resolve(asked); (len(faults) == 0) != sound {
			t.Errorf("a step of %d minutes: %v", minutes, faults)
		}
	}
	if s, _ := (shot.DraftSteps{}).Resolve(asked); float64(s.StepMin) != step.Default {
		t.Errorf("a step left out is %d minutes, in the contract %v", s.StepMin, step.Default)
	}
	frames := doc.Components.Schemas["ReachRequest"].Value.Properties["frames"].Value
	for n, sound := range map[int]bool{
		int(frames.MinItems) - 1: false, int(frames.MinItems): true, int(*frames.MaxItems): true, int(*frames.MaxItems) + 1: false,
	} {
		skus := make([]string, n)
		for i := range skus {
			skus[i] = strconv.Itoa(i)
		}
		if faults := shot.FrameFaults(skus, nil); (len(faults) == 0) != sound {
			t.Errorf("%d frames: %v", n, faults)
		}
	}
}
