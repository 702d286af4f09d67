//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package rest

import (
	"encoding/json"
	"fmt"
	"net/http"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestExamplesAreSizedAndTheirEchoGetsTheSameAnswer(t *testing.T) {
	f := newFace(t, newMemory())
	for name, body := range examples(t) {
		t.Run(name, func(t *testing.T) {
			f := *f
			f.t = t
			first := f.sized(name, body)
			var request, answer map[string]json.RawMessage
			if err := json.Unmarshal([]byte(body), &request); err != nil {
				t.Fatal(err)
			}
			first.into(&answer)
			request["shot"] = answer["shot"]
			again, err := json.Marshal(request)
			if err != nil {
				t.Fatal(err)
			}
			second := f.do(http.MethodPost, "/v1/sizings", string(again)).want(http.StatusOK)
			if diff := cmp.Diff(string(first.body), string(second.body)); diff != "" {
				t.Errorf("the echo gets another answer (-request +echo):\n%s", diff)
			}
		})
	}
}

// Fixed points, forecast and least ballast come back as they were said, in the zone of the place, and mean the same when sent again. The
// clocks of Monrovia were 44 min 30 s behind UTC until 1972, which no offset of RFC 3339 can say.
func TestFixedPointsAndForecastsAreEchoed(t *testing.T) {
	const (
		points   = `[{"label":"rail","position_m":[4,-5.5,0],"safe_pull_n":2000},{"label":"bollard","position_m":[-4,5,0.4],"safe_pull_n":50000}]`
		forecast = `[{"at":"1971-06-18T11:00:00Z","gust_ms":0},{"at":"1971-06-18T14:30:00.25+02:00","gust_ms":7.1,"cloud":1}]`
	)
	body := `{"house": "quayside", "shot": {"site": {"latitude_deg": 6.3, "longitude_deg": -10.8, "time_zone": "%s", "anchors": ` + points + `},
		"window": {"date": "1971-06-18", "start": "11:00", "end": "11:10"}, "camera": {"bearing_deg": 258}, "framing": {"width_m": 1, "distance_m": 3},
		"allowance": {"ballast_kg": 0, "ballast_high_kg": 45.5}, "forecast": ` + forecast + `}}`
	f := newFace(t, newMemory())
	for zone, want := range map[string]string{
		"Africa/Monrovia": `[{"at":"1971-06-18T11:00:00Z","gust_ms":0},{"at":"1971-06-18T12:30:00.25Z","cloud":1,"gust_ms":7.1}]`,
		"Africa/Cairo":    `[{"at":"1971-06-18T14:00:00+03:00","gust_ms":0},{"at":"1971-06-18T15:30:00.25+03:00","cloud":1,"gust_ms":7.1}]`, // with summer time
	} {
		var answer struct{ Shot json.RawMessage }
		first := f.do(http.MethodPost, "/v1/sizings", fmt.Sprintf(body, zone)).want(http.StatusOK)
		first.into(&answer)
		var echo struct {
			Site      struct{ Anchors json.RawMessage }
			Forecast  json.RawMessage
			Allowance map[string]float64
		}
		if err := json.Unmarshal(answer.Shot, &echo); err != nil {
			t.Fatal(err)
		}
		if string(echo.Site.Anchors) != points || string(echo.Forecast) != want || echo.Allowance["ballast_kg"] != 0 || echo.Allowance["ballast_high_kg"] != 45.5 {
			t.Errorf("%s: %s", zone, answer.Shot)
		}
		again := f.do(http.MethodPost, "/v1/sizings", `{"house": "quayside", "shot": `+string(answer.Shot)+`}`).want(http.StatusOK)
		if diff := cmp.Diff(string(first.body), string(again.body)); diff != "" {
			t.Errorf("%s: the echo gets another answer (-request +echo):\n%s", zone, diff)
		}
	}
}

func TestMoneyAddsUp(t *testing.T) {
	f := newFace(t, newMemory())
	for name, body := range examples(t) {
		var answer Sizing
		f.sized(name, body).into(&answer)
		for _, o := range answer.Options {
			var total int64
			for _, l := range o.Kit {
				if cents(t, l.DayRate)*int64(l.Quantity) != cents(t, l.LinePerDay) {
					t.Errorf("%s %s: %d × %s is not %s", name, l.Sku, l.Quantity, l.DayRate.Amount, l.LinePerDay.Amount)
				}
				total += cents(t, l.LinePerDay)
			}
			if total != cents(t, o.PricePerDay) {
				t.Errorf("%s %s: lines add up to %d, price_per_day %s", name, o.Label, total, o.PricePerDay.Amount)
			}
		}
	}
}
