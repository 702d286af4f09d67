package rest

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// examples are the bodies under docs/examples, by file name.
func examples(t testing.TB) map[string]string {
	t.Helper()
	files, err := filepath.Glob("../../docs/examples/*.json")
	if err != nil || len(files) < 8 {
		t.Fatalf("%d examples found (%v), want at least 8", len(files), err)
	}
	out := map[string]string{}
	for _, f := range files {
		body, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(f)] = string(body)
	}
	return out
}

const anglers = "01-two-anglers.json"

// sized is the answer to an example, asked for once by whichever test comes first: some take long.
func (f *face) sized(name, body string) answer {
	f.t.Helper()
	kept, ok := sizedExamples[name]
	if !ok {
		kept = f.do(http.MethodPost, "/v1/sizings", body).want(http.StatusOK)
		sizedExamples[name] = kept
	}
	kept.t = f.t
	return kept
}

var sizedExamples = map[string]answer{}

// A forecast that rises from calm to a storm and falls again: the pieces stand before and after, and in the window they must be down.
func TestTheAnswerSaysWhenPiecesStand(t *testing.T) {
	f := newFace(t, newMemory())
	const rows = `[{"at": "2027-06-18T06:00:00+01:00", "gust_ms": 0.5}, {"at": "2027-06-18T12:00:00+01:00", "gust_ms": 0.5},
		{"at": "2027-06-18T14:00:00+01:00", "gust_ms": 30}, {"at": "2027-06-18T18:00:00+01:00", "gust_ms": 30}, {"at": "2027-06-18T20:00:00+01:00", "gust_ms": 0.5},
		{"at": "2027-06-18T21:00:00+01:00", "gust_ms": 0.5}]`
	type span struct{ From, To string }
	var answer struct {
		ForecastSpan *span `json:"forecast_span"`
		Cautions     []Caution
		Options      []struct {
			Label  string
			Pieces []struct {
				Role    string
				Stands  *[]span
				OnWatch *[]span `json:"on_watch"`
			}
			Notes []struct {
				Code   string
				Roles  []string
				Times  []span
				GustMS float64 `json:"gust_ms"`
			}
		}
	}
	f.do(http.MethodPost, "/v1/sizings", changed(t, "/shot/forecast", rows)).want(http.StatusOK).into(&answer)
	if want := (span{"2027-06-18T06:00:00+01:00", "2027-06-18T21:00:00+01:00"}); answer.ForecastSpan == nil || *answer.ForecastSpan != want {
		t.Errorf("the forecast speaks of %v", answer.ForecastSpan)
	}
	if last := answer.Cautions[len(answer.Cautions)-1]; last.Code != "forecast" || !strings.Contains(last.Text, "measured at the piece") {
		t.Errorf("the last caution is %v", last)
	}
	want := []span{{"2027-06-18T06:00:00+01:00", "2027-06-18T12:00:00+01:00"}, {"2027-06-18T20:00:00+01:00", "2027-06-18T21:00:00+01:00"}}
	first := answer.Options[0]
	roles := map[string]bool{}
	for i, p := range first.Pieces {
		roles[p.Role] = true
		if p.Stands == nil || cmp.Diff(want, *p.Stands) != "" || p.OnWatch == nil || len(*p.OnWatch) != 0 {
			t.Errorf("piece %d stands %v, on watch %v", i, p.Stands, p.OnWatch)
		}
	}
	down := 0
	for _, n := range first.Notes {
		if n.Code != "must_be_down" {
			continue
		}
		down += len(n.Roles)
		if window := []span{{"2027-06-18T16:30:00+01:00", "2027-06-18T17:30:00+01:00"}}; cmp.Diff(window, n.Times) != "" || n.GustMS != 30 {
			t.Errorf("down at %v in gusts of %v m/s", n.Times, n.GustMS)
		}
	}
	if down == 0 || down != len(roles) {
		t.Errorf("%d of %d roles must be down", down, len(roles))
	}
	answer.ForecastSpan, answer.Options = nil, nil
	f.do(http.MethodPost, "/v1/sizings", examples(t)[anglers]).want(http.StatusOK).into(&answer)
	if p := answer.Options[0].Pieces[0]; answer.ForecastSpan != nil || p.Stands != nil || p.OnWatch != nil {
		t.Errorf("without a forecast piece 0 stands %v", p.Stands)
	}
}

// changed is the anglers' request with one member set to a JSON text; an empty text takes the member out.
func changed(t *testing.T, pointer, value string) string {
	t.Helper()
	var root any
	if err := json.Unmarshal([]byte(examples(t)[anglers]), &root); err != nil {
		t.Fatal(err)
	}
	steps := strings.Split(strings.TrimPrefix(pointer, "/"), "/")
	at := root.(map[string]any)
	for _, s := range steps[:len(steps)-1] {
		if at[s] == nil {
			at[s] = map[string]any{}
		}
		at = at[s].(map[string]any)
	}
	if last := steps[len(steps)-1]; value == "" {
		delete(at, last)
	} else {
		at[last] = json.RawMessage(value)
	}
	body, err := json.Marshal(root)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}

func TestBadShotsNameTheFieldByPointer(t *testing.T) {
	f := newFace(t, newMemory())
	for name, tc := range map[string]struct {
		at, value string // what is changed in the anglers' shot
		status    int
		places    []string // default: at
	}{
		"unknown field":                {"/shot/framing/widht_m", "3", 400, nil},
		"wrong type":                   {"/shot/framing/width_m", `"3"`, 400, nil},
		"null":                         {"/shot/framing/width_m", `null`, 400, nil},
		"a width of zero":              {"/shot/framing/width_m", "0", 422, nil},
		"a negative width":             {"/shot/framing/width_m", "-3", 422, nil},
		"a distance of zero":           {"/shot/framing/distance_m", "0", 422, nil},
		"a huge number":                {"/shot/framing/distance_m", "1e300", 422, nil},
		"a zone wider than 200 m":      {"/shot/zone/width_m", "200.1", 422, nil},
		"a zone of no depth":           {"/shot/zone/depth_m", "0", 422, nil},
		"a zone upside down":           {"/shot/zone/top_m", "0.5", 422, nil},
		"end before start":             {"/shot/window/end", `"16:00"`, 422, nil},
		"end at the start":             {"/shot/window/end", `"16:30"`, 422, nil},
		"an impossible date":           {"/shot/window/date", `"2027-02-30"`, 422, nil},
		"a time that is none":          {"/shot/window/start", `"25:00"`, 422, nil},
		"an unknown zone name":         {"/shot/site/time_zone", `"Europe/Atlantis"`, 422, nil},
		"a latitude beyond the pole":   {"/shot/site/latitude_deg", "90.5", 422, nil},
		"a longitude beyond the line":  {"/shot/site/longitude_deg", "181", 422, nil},
		"an unknown word":              {"/shot/look/soften", `"maybe"`, 422, nil},
		"an unknown preference":        {"/prefer", `"fanciest"`, 422, nil},
		"an unknown house":             {"/house", `"riverside"`, 422, nil},
		"a house of odd bytes":         {"/house", `"a\u0000b"`, 422, nil},
		"a missing house":              {"/house", "", 422, nil},
		"a missing latitude":           {"/shot/site/latitude_deg", "", 422, nil},
		"a missing bearing":            {"/shot/camera/bearing_deg", "", 422, nil},
		"a missing distance":           {"/shot/framing/distance_m", "", 422, nil},
		"neither width nor lens":       {"/shot/framing/width_m", "", 422, nil},
		"width and lens":               {"/shot/framing/focal_length_mm", "50", 422, nil},
		"gust and mean wind":           {"/shot/mean_wind_ms", "5", 422, nil},
		"a limit in another currency":  {"/limits/price_per_day/currency", `"USD"`, 422, nil},
		"a limit in no currency":       {"/limits/price_per_day/currency", `"XQQ"`, 422, nil},
		"a limit of too many decimals": {"/limits/price_per_day/amount", `"900.001"`, 422, nil},
		"a limit of no decimals":       {"/limits/price_per_day/amount", `"900"`, 422, nil},
		"a negative limit":             {"/limits/price_per_day/amount", `"-1.00"`, 422, nil},
		"a limit with an exponent":     {"/limits/price_per_day/amount", `"9e2"`, 422, nil},
		"a limit as a number":          {"/limits/price_per_day/amount", `900`, 400, nil},
		"a crew of nobody":             {"/limits/crew", "0", 422, nil},
		"half a hand":                  {"/limits/crew", "2.5", 422, nil},
		"a lamp without a name":        {"/shot/lamps", `[{"azimuth_deg": 1, "elevation_deg": 10, "illuminance_lx": 5}]`, 422, []string{"/shot/lamps/0/label"}},
		"a gust over 40 m/s":           {"/shot/gust_ms", "40.5", 422, nil},
		"less ballast on high stands":  {"/shot/allowance/ballast_high_kg", "14", 422, nil},
		"a fixed point without a pull": {"/shot/site/anchors", `[{"label": "rail", "position_m": [4, 5, 1]}]`, 422, []string{"/shot/site/anchors/0/safe_pull_n"}},
		"a forecast that goes back": {"/shot/forecast", `[{"at": "2027-06-18T16:00:00Z", "gust_ms": 5}, {"at": "2027-06-18T16:30:00+01:00", "gust_ms": 5}]`, 422,
			[]string{"/shot/forecast/1/at"}},
		"a forecast of a storm": {"/shot/forecast", `[{"at": "2027-06-18T16:00:00Z", "gust_ms": 41, "cloud": 80}]`, 422,
			[]string{"/shot/forecast/0/cloud", "/shot/forecast/0/gust_ms"}},
		"no window": {"/shot/window", "", 422,
			[]string{"/shot/window/date", "/shot/window/end", "/shot/window/start"}},
		"no shot": {"/shot", "", 422, []string{
			"/shot/camera/bearing_deg", "/shot/framing/distance_m", "/shot/framing/width_m", "/shot/site/latitude_deg",
			"/shot/site/longitude_deg", "/shot/site/time_zone", "/shot/window/date", "/shot/window/end", "/shot/window/start"}},
	} {
		t.Run(name, func(t *testing.T) {
			f := *f
			f.t = t
			places := tc.places
			if places == nil {
				places = []string{tc.at}
			}
			got := f.do(http.MethodPost, "/v1/sizings", changed(t, tc.at, tc.value)).want(tc.status).places()
			if diff := cmp.Diff(places, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// The clock goes from 01:00 to 02:00 in Lisbon on 2027-03-28 and back from 02:00 to 01:00 on 2027-10-31 (the last
// Sundays of March and October: Directive 2000/84/EC).
func TestClockChanges(t *testing.T) {
	f := newFace(t, newMemory())
	skipped := changed(t, "/shot/window", `{"date": "2027-03-28", "start": "01:30", "end": "12:00"}`)
	if got := f.do(http.MethodPost, "/v1/sizings", skipped).want(422).places(); len(got) != 1 || got[0] != "/shot/window/start" {
		t.Errorf("a skipped time: faults at %v", got)
	}
	twice := changed(t, "/shot/window", `{"date": "2027-10-31", "start": "01:30", "end": "09:00"}`)
	var answer Sizing
	f.do(http.MethodPost, "/v1/sizings", twice).want(200).into(&answer)
	if got := answer.Sources[0].Track[0].At.UTC().Format("15:04"); got != "00:30" {
		t.Errorf("a time that occurs twice starts at %s UTC, want the first, 00:30", got)
	}
}

func TestFaultsOfEveryKindAreReportedTogether(t *testing.T) {
	f := newFace(t, newMemory())
	body := `{"house": "riverside", "prefer": "x", "limits": {"crew": 1e99, "price_per_day": {"amount": "1"}},
		"shot": {"site": {"latitude_deg": 95, "longitude_deg": 1e999, "time_zone": "UTC"}, "framing": {"width_m": -1, "distance_m": 5}}}`
	want := []string{"/house", "/limits/crew", "/limits/price_per_day/currency", "/prefer", "/shot/camera/bearing_deg",
		"/shot/framing/width_m", "/shot/site/latitude_deg", "/shot/site/longitude_deg",
		"/shot/window/date", "/shot/window/end", "/shot/window/start"}
	if diff := cmp.Diff(want, f.do(http.MethodPost, "/v1/sizings", body).want(422).places()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestBodiesThatAreNotRead(t *testing.T) {
	f := newFace(t, newMemory())
	body := examples(t)[anglers]
	for name, tc := range map[string]struct {
		body    string
		headers []string
		status  int
	}{
		"no content type":        {body, []string{"Content-Type", ""}, 415},
		"a form":                 {body, []string{"Content-Type", "application/x-www-form-urlencoded"}, 415},
		"another alphabet":       {body, []string{"Content-Type", "application/json; charset=latin1"}, 415},
		"compressed":             {body, []string{"Content-Encoding", "gzip"}, 415},
		"UTF-8 by name":          {body, []string{"Content-Type", "application/json; charset=UTF-8"}, 200},
		"over a megabyte":        {`{"house": "` + strings.Repeat("a", MaxBody) + `"}`, nil, 413},
		"trailing data":          {body + "{}", nil, 400},
		"NaN":                    {changed(t, "/shot/gust_ms", "7777"), nil, 422},
		"empty":                  {"", []string{"Content-Type", "application/json"}, 400},
		"white space to the end": {body + strings.Repeat(" ", 1000), nil, 200},
	} {
		t.Run(name, func(t *testing.T) {
			f := *f
			f.t = t
			f.do(http.MethodPost, "/v1/sizings", tc.body, tc.headers...).want(tc.status)
		})
	}
	t.Run("NaN names its field", func(t *testing.T) {
		broken := strings.Replace(body, `"gust_ms": 8`, `"gust_ms": NaN`, 1)
		f := *f
		f.t = t
		if got := f.do(http.MethodPost, "/v1/sizings", broken).want(400).places(); len(got) != 1 || got[0] != "/shot/gust_ms" {
			t.Errorf("faults at %v", got)
		}
	})
}

// Things that are answers, not errors.
func TestHopelessShotsAreAnswered(t *testing.T) {
	f := newFace(t, newMemory())
	for name, body := range map[string]string{
		"the sun below the horizon":  changed(t, "/shot/window", `{"date": "2027-06-18", "start": "01:00", "end": "02:00"}`),
		"nothing to soften":          changed(t, "/shot/site/roofed", "true"),
		"wider than any frame":       changed(t, "/shot/zone/width_m", "200"),
		"a limit that nothing meets": changed(t, "/limits/price_per_day/amount", `"0.01"`),
		"the pole in winter": changed(t, "/shot/site",
			`{"latitude_deg": 90, "longitude_deg": 0, "time_zone": "UTC"}`),
	} {
		t.Run(name, func(t *testing.T) {
			f := *f
			f.t = t
			var answer Sizing
			f.do(http.MethodPost, "/v1/sizings", body).want(200).into(&answer)
			if len(answer.Options) == 0 && len(answer.RuledOut) == 0 {
				t.Error("neither an option nor a reason")
			}
			if len(answer.Cautions) == 0 {
				t.Error("no cautions")
			}
		})
	}
}

// cents reads an amount of a currency with two decimals without the program's own money.
func cents(t *testing.T, m Money) int64 {
	t.Helper()
	var whole, part int64
	if n, err := fmt.Sscanf(m.Amount, "%d.%02d", &whole, &part); n != 2 || err != nil || m.Currency != "EUR" {
		t.Fatalf("%v is no amount of euros", m)
	}
	return whole*100 + part
}
