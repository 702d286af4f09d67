//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// forecastRows are rows of a forecast for a draft: instants and gusts in turn.
func forecastRows(at time.Time, every time.Duration, gusts ...float64) []shot.DraftForecastRow {
	var rows []shot.DraftForecastRow
	for i, gust := range gusts {
		rows = append(rows, shot.DraftForecastRow{At: some(at.Add(time.Duration(i) * every).Format(time.RFC3339Nano)), GustMS: &gust})
	}
	return rows
}

// gustAt is the rule once more, told from the rows: the larger of the two around an instant; not ok before the first and after the last.
func gustAt(rows []shot.ForecastRow, t time.Time) (gust float64, ok bool) {
	before, after := -1, -1
	for i := range rows {
		if !rows[i].At.After(t) {
			before = i
		}
		if rows[i].At.After(t) && after < 0 {
			after = i
		}
	}
	if before < 0 || after < 0 {
		return 0, false
	}
	return max(rows[before].GustMS, rows[after].GustMS), true
}

func within(list []finding.Span, t time.Time) bool {
	return slices.ContainsFunc(list, func(s finding.Span) bool { return !t.Before(s.From) && t.Before(s.To) })
}

// byMinute holds an answer to the rule, in the middle of every minute from two days before the window to two days after.
func byMinute(t *testing.T, r *sizing.Result) {
	t.Helper()
	s := &r.Shot
	first, last := s.Window.From.Format("2006-01-02"), s.Window.To.Add(-time.Second).Format("2006-01-02")
	for at := s.Window.From.Truncate(time.Minute).Add(30*time.Second - 48*time.Hour); at.Before(s.Window.To.Add(48 * time.Hour)); at = at.Add(time.Minute) {
		gust, known := gustAt(s.Forecast, at)
		day := at.Format("2006-01-02")
		known = known && day >= first && day <= last
		if spoken := r.Forecast != nil && within([]finding.Span{*r.Forecast}, at); spoken != known {
			t.Fatalf("%s: the forecast speaks of it: %v, want %v", at, spoken, known)
		}
		for k := range r.Options {
			o := &r.Options[k]
			down := map[finding.Role]bool{}
			for i := range o.Pieces {
				v := &o.Pieces[i]
				if stands, want := within(v.Stands, at), known && gust < v.Hold.LowerAtMS; stands != want {
					t.Fatalf("%s, piece %d of %s in a gust of %v, to be lowered at %v: stands %v", at, i, o.Label, gust, v.Hold.LowerAtMS, stands)
				}
				if watched, want := within(v.OnWatch, at), known && gust < v.Hold.LowerAtMS && gust >= v.Hold.WatchAtMS; watched != want {
					t.Fatalf("%s, piece %d of %s in a gust of %v, watched from %v: on watch %v", at, i, o.Label, gust, v.Hold.WatchAtMS, watched)
				}
				down[v.Role] = down[v.Role] || known && gust >= v.Hold.LowerAtMS
			}
			inWindow := !at.Before(o.Window.From) && at.Before(o.Window.To)
			for role, isDown := range down {
				noted := slices.ContainsFunc(o.Notes, func(n finding.Note) bool {
					m, ok := n.(finding.MustBeDown)
					return ok && slices.Contains(m.Roles, role) && within(m.Times, at)
				})
				if noted != (isDown && inWindow) {
					t.Fatalf("%s, %s of %s: noted to be down %v, is %v", at, role, o.Label, noted, isDown)
				}
			}
		}
	}
}

// nightJetty is the jetty about a midnight, by a lamp.
func nightJetty(date, next string) shot.Draft {
	d := jetty()
	d.Window = shot.DraftWindow{Date: &date, Start: some("23:10"), End: some("00:20"), EndDate: &next}
	d.Background.EV100 = some(6.0)
	d.Lamps = []shot.DraftLamp{{Label: some("tower"), AzimuthDeg: some(40.0), ElevationDeg: some(35.0), IlluminanceLx: some(2000.0)}}
	return d
}

func TestPiecesStandByTheForecastMinuteForMinute(t *testing.T) {
	t.Parallel()
	for name, d := range map[string]shot.Draft{
		"an afternoon": jetty(), "a midnight": nightJetty("2027-06-18", "2027-06-19"),
		"clocks put back": nightJetty("2027-10-30", "2027-10-31"), "clocks put on": nightJetty("2027-03-27", "2027-03-28"),
	} {
		t.Run(name, func(t *testing.T) {
			calm := plan(t, d)
			var figures []float64 // at which something changes
			for i := range calm.Options {
				for k := range calm.Options[i].Pieces {
					h := &calm.Options[i].Pieces[k].Hold
					figures = append(figures, h.LowerAtMS, h.WatchAtMS)
				}
			}
			if len(figures) == 0 {
				t.Fatal("nothing stands")
			}
			changes := 0
			for seed := range uint64(8) {
				rng := rand.New(rand.NewPCG(seed, 1))
				at := calm.Shot.Window.From.Add(-time.Duration(rng.IntN(30*3600)) * time.Second)
				d.Forecast = nil
				for range 1 + rng.IntN(30) {
					gust := rng.Float64() * 12
					if rng.IntN(3) == 0 {
						gust = math.Min(figures[rng.IntN(len(figures))], 40)
					}
					d.Forecast = append(d.Forecast, forecastRows(at, 0, gust)...)
					at = at.Add(time.Duration(1+rng.IntN(3*3600)) * time.Second)
				}
				r := plan(t, d)
				byMinute(t, &r)
				for i := range r.Options {
					for k := range r.Options[i].Pieces {
						changes += len(r.Options[i].Pieces[k].Stands)
					}
				}
			}
			if changes < 20 {
				t.Errorf("only %d times of standing were looked at", changes)
			}
		})
	}
}

// Nothing is chosen by a forecast: without what is said of it the answer is the same.
func TestAForecastChangesNothingThatIsChosen(t *testing.T) {
	d := jetty()
	want := plan(t, d)
	d.Forecast = forecastRows(want.Shot.Window.From.Add(-5*time.Hour), time.Hour, 2, 2, 3, 6, 12, 30, 12, 3)
	got := plan(t, d)
	if got.Forecast == nil || got.Cautions[len(got.Cautions)-1] != finding.CautionForecast {
		t.Errorf("the forecast speaks of %v, the cautions are %v", got.Forecast, got.Cautions)
	}
	got.Forecast, got.Shot.Forecast, got.Cautions = nil, nil, got.Cautions[:len(got.Cautions)-1]
	for i := range got.Options {
		o := &got.Options[i]
		for k := range o.Pieces {
			o.Pieces[k].Stands, o.Pieces[k].OnWatch = nil, nil
		}
		n := len(o.Notes)
		o.Notes = slices.DeleteFunc(o.Notes, func(n finding.Note) bool { _, down := n.(finding.MustBeDown); return down })
		if len(o.Notes) == n && len(o.Pieces) > 0 && o.Label != sizing.LabelOtherHour {
			t.Errorf("%s stands in gusts of 30 m/s: %v", o.Label, o.Notes)
		}
	}
	if !reflect.DeepEqual(got, want) {
		t.Error("the answer is another one")
	}
}

// What the forecast does not reach is noted, and nothing is said of it.
func TestAShortForecastIsNoted(t *testing.T) {
	from := plan(t, jetty()).Shot.Window.From
	for name, tc := range map[string]struct {
		at    time.Time
		gusts []float64
		short bool
		span  time.Duration // of the day that it speaks of
	}{
		"all of the window":      {from, []float64{3, 3}, false, time.Hour},
		"an end before the end":  {from.Add(-time.Minute), []float64{3, 3}, true, time.Hour},
		"a begin after it began": {from.Add(time.Minute), []float64{3, 3}, true, time.Hour},
		"the day before":         {from.Add(-24 * time.Hour), []float64{3, 3}, true, 0},
		"one row":                {from, []float64{3}, true, 0},
		"all day and more":       {from.Add(-30 * time.Hour), slices.Repeat([]float64{3}, 80), false, 24 * time.Hour},
	} {
		d := jetty()
		d.Forecast = forecastRows(tc.at, time.Hour, tc.gusts...)
		r := plan(t, d)
		for i := range r.Options {
			o := &r.Options[i]
			if n, ok := noted[finding.ForecastShort](*o); o.Label != sizing.LabelOtherHour && ok != tc.short || ok && !n.From.Equal(tc.at) {
				t.Errorf("%s: %s is noted %v", name, o.Label, o.Notes)
			}
			if len(o.Pieces) > 0 && (o.Pieces[0].Stands != nil) != (tc.span > 0) {
				t.Errorf("%s: piece 0 of %s stands %v", name, o.Label, o.Pieces[0].Stands)
			}
		}
		if r.Forecast == nil != (tc.span == 0) || r.Forecast != nil && r.Forecast.To.Sub(r.Forecast.From) != tc.span {
			t.Errorf("%s: it speaks of %v", name, r.Forecast)
		}
	}
}
