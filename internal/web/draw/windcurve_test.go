package draw_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"kitspan/internal/sizing"
)

// Every step of the curve lies where its gust and its ballast put it, by the first and the last of them, and is a ring where
// something is down.
func TestStepsLieOnTheCurve(t *testing.T) {
	each(t, func(t *testing.T, _ *answer, o *sizing.Option, kind, svg string) {
		if kind != "curve" {
			return
		}
		var x, y []float64
		most := math.NaN()
		for _, e := range read(t, svg) {
			if v, ok := e.attr["data-most"]; ok {
				most, _ = strconv.ParseFloat(v, 64)
			}
			v, ok := e.attr["data-step"]
			if !ok {
				continue
			}
			if i, err := strconv.Atoi(v); err != nil || i != len(x) {
				t.Fatalf("step %q in place %d", v, len(x))
			}
			w := &o.Wind[len(x)]
			x, y = append(x, e.num(t, "cx")), append(y, e.num(t, "cy"))
			if ring := e.attr["fill"] != e.attr["stroke"]; ring != (len(w.Down) > 0) {
				t.Errorf("%v m/s: a ring %v, down are %v", w.GustMS, ring, w.Down)
			}
		}
		if len(x) != len(o.Wind) || len(x) < 2 {
			t.Fatalf("%d steps of %d", len(x), len(o.Wind))
		}
		last := len(x) - 1
		perMS := (x[last] - x[0]) / (o.Wind[last].GustMS - o.Wind[0].GustMS)
		perKg := 140 / most // the field is 140 high
		for i := range x {
			w := &o.Wind[i]
			if want := x[0] + perMS*(w.GustMS-o.Wind[0].GustMS); math.Abs(x[i]-want) > 0.03 || perMS <= 0 {
				t.Errorf("%v m/s at %.2f, not %.2f", w.GustMS, x[i], want)
			}
			if want := y[0] - perKg*(w.BallastKg-o.Wind[0].BallastKg); math.Abs(y[i]-want) > 0.03 {
				t.Errorf("%v kg at %.2f, not %.2f", w.BallastKg, y[i], want)
			}
			for _, say := range []string{w.TotalPerDay.Number(), strconv.Itoa(w.People) + " people"} {
				if !strings.Contains(svg, say) {
					t.Errorf("%q is not told", say)
				}
			}
		}
	})
}
