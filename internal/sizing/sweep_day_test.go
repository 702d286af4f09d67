//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// TestSweepSaysWhereTheSunStands looks south on a June day at Lisbon: the sun rises in front of the people, passes beside and behind them, and
// sets in front. Where it stands is held to the azimuths, the spans and the bests to the rows.
func TestSweepSaysWhereTheSunStands(t *testing.T) {
	t.Parallel()
	d := jetty()
	d.Camera.BearingDeg = some(180.0)
	res := swept(t, d, shot.DraftSteps{StepMin: some(60), From: some("05:00"), To: some("22:00")})
	seen := map[sizing.SunIs]int{}
	for i := range res.Rows {
		row := &res.Rows[i]
		seen[row.SunIs]++
		off := math.Abs(row.Sun.AzimuthDeg - 180)
		want := sizing.SunInFront
		switch {
		case row.Sun.IlluminanceLx <= 0:
			want = sizing.SunAway
		case off <= 60:
			want = sizing.SunBehind
		case off < 120:
			want = sizing.SunBeside
		}
		if row.SunIs != want {
			t.Errorf("%s: %s with the sun at %.0f°, want %s", row.Sun.At, row.SunIs, row.Sun.AzimuthDeg, want)
		}
		if (row.Whole == nil) != (row.Overhead == nil) || row.Scheme && (row.Overhead == nil || row.SunIs != sizing.SunBehind) {
			t.Errorf("%s: scheme %v, overhead %v, whole %v", row.Sun.At, row.Scheme, row.Overhead, row.Whole)
		}
		within := false
		for _, s := range res.Spans {
			within = within || !row.Sun.At.Before(s.From) && row.Sun.At.Before(s.To)
		}
		if within != row.Scheme {
			t.Errorf("%s: in a span %v, scheme %v", row.Sun.At, within, row.Scheme)
		}
	}
	if seen[sizing.SunBehind] == 0 || seen[sizing.SunBeside] == 0 || seen[sizing.SunInFront] == 0 || seen[sizing.SunAway] == 0 || len(res.Spans) == 0 {
		t.Fatalf("seen %v, %d spans", seen, len(res.Spans))
	}
	for _, b := range res.Best {
		var best *sizing.SweepRow
		for i := range res.Rows {
			if res.Rows[i].Sun.At.Equal(b.At) {
				best = &res.Rows[i]
			}
		}
		if best == nil || !best.Scheme {
			t.Fatalf("best in %s is %s, where the scheme does not hold", b.In, b.At)
		}
		for i := range res.Rows {
			row := &res.Rows[i]
			if !row.Scheme {
				continue
			}
			cheaper, err := row.Whole.TotalPerDay.Cmp(best.Whole.TotalPerDay)
			if err != nil {
				t.Fatal(err)
			}
			if b.In == finding.MeasureFrame && row.Overhead.AreaM2 < best.Overhead.AreaM2 || b.In == finding.MeasureTotal && cheaper < 0 ||
				b.In == finding.MeasurePeople && row.Whole.People < best.Whole.People {
				t.Errorf("best in %s is %s, yet %s is better", b.In, b.At, row.Sun.At)
			}
		}
	}
	if len(res.Best) != 3 {
		t.Errorf("best in %v", res.Best)
	}
}

// TestSweepTakesTheWholePlan sizes steps by themselves, from the same house.
func TestSweepTakesTheWholePlan(t *testing.T) {
	t.Parallel()
	for _, at := range []string{"09:10", "15:10"} {
		step, to := 10, at[:4]+"1"
		d := jetty()
		res := swept(t, d, shot.DraftSteps{StepMin: &step, From: &at, To: &to})
		d.Look.KeySide = &res.Shot.Look.KeySide // said once for the whole day
		d.Window.Start, d.Window.End = &at, some(at[:3]+"20")
		o := option(t, plan(t, d), sizing.LabelOverhead)
		got := res.Rows[0].Whole
		if got == nil || got.People != o.Crew.Total || !got.TotalPerDay.Equal(o.TotalPerDay) || math.Abs(got.KeyStops-o.Levels.KeyStops) > 1e-3 {
			t.Errorf("%s: swept %+v, alone %d people, %s, key %.4f", at, got, o.Crew.Total, o.TotalPerDay, o.Levels.KeyStops)
		}
	}
}
