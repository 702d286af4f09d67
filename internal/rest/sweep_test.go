package rest

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// with is the anglers' request with members added at its top.
func with(t *testing.T, members string) string {
	t.Helper()
	var root map[string]json.RawMessage
	if err := json.Unmarshal([]byte(examples(t)[anglers]), &root); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(members), &root); err != nil {
		t.Fatal(err)
	}
	body, err := json.Marshal(root)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}

func TestSweepAnswersEachStep(t *testing.T) {
	f := newFace(t, newMemory())
	first := f.do(http.MethodPost, "/v1/sweeps", with(t, `{"step_min": 105, "from": "03:00", "to": "24:00"}`)).want(http.StatusOK)
	var answer Sweep
	first.into(&answer)
	if answer.StepMin != 105 || answer.From != "03:00" || answer.To != "24:00" || len(answer.Steps) != 12 || len(answer.Cautions) == 0 {
		t.Fatalf("%d min from %s to %s in %d steps, %d cautions", answer.StepMin, answer.From, answer.To, len(answer.Steps), len(answer.Cautions))
	}
	with, without := 0, 0
	for i, s := range answer.Steps {
		if want := 3*60 + 105*i; s.At.Hour()*60+s.At.Minute() != want {
			t.Errorf("step %d at %s", i, s.At)
		}
		switch {
		case s.Overhead != nil && s.PricePerDay != nil && s.Reason == nil:
			with++
			if s.Overhead.AreaM2 <= 0 || cents(t, Money(*s.PricePerDay)) <= 0 {
				t.Errorf("%s: %+v at %+v", s.At, s.Overhead, s.PricePerDay)
			}
		case s.Overhead == nil && s.PricePerDay == nil && s.Reason != nil && strings.HasSuffix(*s.Reason, "."):
			without++
		default:
			t.Errorf("%s: neither an overhead with a price nor a reason", s.At)
		}
	}
	if with < 5 || without < 3 { // from three at night to midnight in June
		t.Errorf("%d steps with an overhead, %d without", with, without)
	}

	// The echo of shot and steps gets the same answer.
	var request, echo map[string]json.RawMessage
	if err := json.Unmarshal([]byte(examples(t)[anglers]), &request); err != nil {
		t.Fatal(err)
	}
	first.into(&echo)
	for _, name := range []string{"shot", "step_min", "from", "to"} {
		request[name] = echo[name]
	}
	again, err := json.Marshal(request)
	if err != nil {
		t.Fatal(err)
	}
	second := f.do(http.MethodPost, "/v1/sweeps", string(again)).want(http.StatusOK)
	if diff := cmp.Diff(string(first.body), string(second.body)); diff != "" {
		t.Errorf("the echo gets another answer (-request +echo):\n%s", diff)
	}
}

func TestSweepIsFromSunriseToSunset(t *testing.T) {
	f := newFace(t, newMemory())
	var answer Sweep
	// A sizing's body is one of a sweep already.
	f.do(http.MethodPost, "/v1/sweeps", with(t, `{"step_min": 120}`)).want(http.StatusOK).into(&answer)
	// Lisbon in the middle of June: almanac, from memory.
	if answer.From != "06:12" || answer.To != "21:05" && answer.To != "21:04" {
		t.Errorf("from %s to %s", answer.From, answer.To)
	}
}

func TestBadSweepsNameTheField(t *testing.T) {
	f := newFace(t, newMemory())
	for name, tc := range map[string]struct {
		members string
		status  int
		want    map[string]string // pointer to what its sentence holds
	}{
		"no step":        {`{"step_min": 0}`, 422, map[string]string{"/step_min": "step_min is 0, out of range; give a value from 1 to 120 minutes"}},
		"half a minute":  {`{"step_min": 0.5}`, 422, map[string]string{"/step_min": "0.5 must be a whole number"}},
		"a huge step":    {`{"step_min": 1e400}`, 422, map[string]string{"/step_min": "out of range"}},
		"a step in text": {`{"step_min": "10"}`, 400, map[string]string{"/step_min": "is text: must be a whole number"}},
		"a null step":    {`{"step_min": null}`, 400, map[string]string{"/step_min": "give a whole number or leave it out"}},
		"no time":        {`{"from": "dawn"}`, 422, map[string]string{"/from": `from is "dawn", no time of day; give HH:MM`}},
		"backwards":      {`{"from": "18:00", "to": "09:00"}`, 422, map[string]string{"/to": "from 18:00 is not before to 09:00"}},
		"after dark":     {`{"from": "22:00"}`, 422, map[string]string{"/from": "(by default, sunset)"}},
		"a slip":         {`{"step_mn": 10}`, 400, map[string]string{"/step_mn": "did you mean step_min?"}},
		"everything at once": {`{"step_min": 121, "to": "25:00", "house": "riverside", "prefer": "x"}`, 422, map[string]string{
			"/step_min": "is 121", "/to": "no time of day", "/house": "there is no house riverside", "/prefer": "give one of"}},
		"beside a faulty shot": {`{"step_min": 121, "shot": {}}`, 422, map[string]string{
			"/step_min": "is 121", "/shot/camera/bearing_deg": "is missing", "/shot/framing/distance_m": "is missing",
			"/shot/framing/width_m": "is missing", "/shot/site/latitude_deg": "is missing", "/shot/site/longitude_deg": "is missing",
			"/shot/site/time_zone": "is missing", "/shot/window/date": "is missing", "/shot/window/end": "is missing", "/shot/window/start": "is missing"}},
	} {
		t.Run(name, func(t *testing.T) {
			f := *f
			f.t = t
			f.do(http.MethodPost, "/v1/sweeps", with(t, tc.members)).want(tc.status).says(tc.want)
		})
	}
}

// says holds the faults of a problem against what the sentence at each pointer must hold.
func (a answer) says(want map[string]string) {
	a.t.Helper()
	var p Problem
	a.into(&p)
	got := map[string]string{}
	for _, f := range deref(p.Errors) {
		got[deref(f.Pointer)] = f.Detail
		if part, ok := want[deref(f.Pointer)]; ok && strings.Contains(f.Detail, part) {
			got[deref(f.Pointer)] = part
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		a.t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestReachAnswersEachFrame(t *testing.T) {
	f := newFace(t, newMemory())
	var answer Reach
	f.do(http.MethodPost, "/v1/reaches", with(t, `{"frames": ["QG-FRAME-12X12", "QG-FRAME-03X03", "QG-FRAME-08X08"]}`)).want(http.StatusOK).into(&answer)
	if len(answer.Frames) != 3 || len(answer.Cautions) == 0 {
		t.Fatalf("%d frames, %d cautions", len(answer.Frames), len(answer.Cautions))
	}
	large, tiny, small := answer.Frames[0], answer.Frames[1], answer.Frames[2]
	if large.Sku != "QG-FRAME-12X12" || tiny.Sku != "QG-FRAME-03X03" || small.Sku != "QG-FRAME-08X08" {
		t.Errorf("in the order %s, %s, %s", large.Sku, tiny.Sku, small.Sku)
	}
	if small.WidestZoneM <= 0 || large.WidestZoneM <= small.WidestZoneM || large.WidestShotM <= small.WidestShotM ||
		large.Because != nil || small.Because != nil {
		t.Errorf("large %+v, small %+v", large, small)
	}
	if tiny.WidestZoneM != 0 || tiny.Because == nil || !strings.HasSuffix(*tiny.Because, ".") {
		t.Errorf("tiny %+v", tiny)
	}
	// All the house has, and no more, is a fair question; without a hard light it takes no search.
	var all []string
	for sku, item := range newMemory().items["quayside"] {
		if item.Kind() == "frame" {
			all = append(all, sku)
		}
	}
	names, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	overcast := strings.Replace(with(t, `{"frames": `+string(names)+`}`), `"clear"`, `"overcast"`, 1)
	f.do(http.MethodPost, "/v1/reaches", overcast).want(http.StatusOK).into(&answer)
	if len(answer.Frames) != len(all) {
		t.Errorf("%d of %d frames", len(answer.Frames), len(all))
	}
}

func TestBadReachesNameTheField(t *testing.T) {
	f := newFace(t, newMemory())
	many := `"QG-FRAME-12X12"` + strings.Repeat(`, "QG-FRAME-12X12"`, 50)
	tooMany := map[string]string{"/frames": "has 51 elements: give at most 50"}
	for i := 1; i < 50; i++ { // the fifty that are read
		tooMany["/frames/"+strconv.Itoa(i)] = "as frames[0] is"
	}
	for name, tc := range map[string]struct {
		members string
		status  int
		want    map[string]string
	}{
		"no frames":     {`{}`, 422, map[string]string{"/frames": "frames is missing or empty; give the SKUs of 1 to 50 frames"}},
		"an empty list": {`{"frames": []}`, 422, map[string]string{"/frames": "is missing or empty"}},
		"too many":      {`{"frames": [` + many + `]}`, 422, tooMany},
		"one alone":     {`{"frames": "QG-FRAME-12X12"}`, 400, map[string]string{"/frames": "is text: must be an array"}},
		"a number":      {`{"frames": [12]}`, 400, map[string]string{"/frames/0": "is a number: must be text"}},
		"each its own": {`{"frames": ["QG-FRAME-12X12", "NP-FRAME-1X1", "QG-STAND-LOW", "QG-FRAME-12X12"]}`, 422, map[string]string{
			"/frames/1": "which house quayside does not have", "/frames/2": "of kind support", "/frames/3": "as frames[0] is"}},
		"of an unknown house": {`{"house": "riverside", "frames": ["A", "A"]}`, 422, map[string]string{
			"/house": "there is no house riverside", "/frames/1": "give each frame once"}},
		"steps": {`{"frames": ["QG-FRAME-12X12"], "step_min": 10}`, 400, map[string]string{"/step_min": "is not known here"}},
	} {
		t.Run(name, func(t *testing.T) {
			f := *f
			f.t = t
			f.do(http.MethodPost, "/v1/reaches", with(t, tc.members)).want(tc.status).says(tc.want)
		})
	}
}

// TestSweepsAndReachesAreReadAsSizingsAre: the same limits of body and content type, and no token.
func TestSweepsAndReachesAreReadAsSizingsAre(t *testing.T) {
	f := newFace(t, newMemory())
	for _, path := range []string{"/v1/sweeps", "/v1/reaches"} {
		body := with(t, `{}`)
		f.do(http.MethodPost, path, body, "Content-Type", "text/plain").want(http.StatusUnsupportedMediaType)
		f.do(http.MethodPost, path, `{"house": "`+strings.Repeat("a", MaxBody)+`"}`).want(http.StatusRequestEntityTooLarge)
		f.do(http.MethodPost, path, body+"{}").want(http.StatusBadRequest)
		f.do(http.MethodGet, path, "").want(http.StatusMethodNotAllowed)
	}
}

func TestHalfAHandIsToldOnce(t *testing.T) {
	f := newFace(t, newMemory())
	f.do(http.MethodPost, "/v1/sizings", changed(t, "/limits/crew", "2.5")).want(422).
		says(map[string]string{"/limits/crew": "2.5 must be a whole number"})
}
