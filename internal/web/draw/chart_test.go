package draw_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"kitspan/internal/lighting"

	"kitspan/internal/scene"

	"github.com/bojanz/currency"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/web/draw"
)

// TestLevelsLieOnTheirScale reads the scale from its own numbers and finds every level on it.
func TestLevelsLieOnTheirScale(t *testing.T) {
	each(t, func(t *testing.T, a *answer, o *sizing.Option, kind, svg string) {
		if kind != "levels" {
			return
		}
		list := read(t, svg)
		// Two marks are known: the background is 0, and the unit is what lies between two numbers of the scale.
		unit, zero := scaleOf(t, list)
		want := map[string]float64{
			"background": 0, "key": o.Levels.KeyStops,
			"fill": math.Log2(o.Levels.FillLx / o.Background.ReferenceLx),
			"back": math.Log2(o.Levels.BackLx / o.Background.ReferenceLx),
		}
		found := 0
		zones := 0
		for _, e := range list {
			what := e.attr["data-level"]
			if what == "" {
				continue
			}
			stops := want[what]
			if what == "zone" {
				stops = o.Levels.OtherZones[zones].KeyStops
				zones++
			} else {
				found++
			}
			const rounded = 0.03 // units of paper: the scale is read from rounded places
			if x := e.num(t, "cx"); math.Abs(x-zero-stops*unit) > rounded {
				t.Errorf("%s of %.2f stops at %.2f, not %.2f", what, stops, x, zero+stops*unit)
			}
		}
		for _, v := range want {
			if math.IsInf(v, 0) || math.IsNaN(v) {
				found++
			}
		}
		if found != len(want) {
			t.Errorf("%d levels of %d", found, len(want))
		}
		if kept := zones == len(o.Levels.OtherZones); !kept {
			t.Errorf("%d zones of %d", zones, len(o.Levels.OtherZones))
		}
	})
}

func scaleOf(t *testing.T, list []element) (unit, zero float64) {
	t.Helper()
	marks := map[int]float64{}
	for _, e := range list {
		n, err := strconv.Atoi(strings.ReplaceAll(strings.TrimPrefix(e.text, "+"), "−", "-"))
		if e.name == "text" && err == nil && e.attr["text-anchor"] == "middle" {
			marks[n] = e.num(t, "x")
		}
	}
	zero, ok := marks[0]
	if !ok || len(marks) < 2 {
		t.Fatalf("marks %v", marks)
	}
	far := 0 // the mark furthest out tells the unit best
	for n := range marks {
		if max(n, -n) > max(far, -far) || max(n, -n) == max(far, -far) && n > far {
			far = n
		}
	}
	return (marks[far] - zero) / float64(far), zero
}

// TestLevelsWithoutLight takes a subject in the dark before a lit background, and the other way round.
func TestLevelsWithoutLight(t *testing.T) {
	r := examples()[0].res
	o := r.Options[0]
	o.Levels.FillLx, o.Levels.KeyStops = 0, math.Inf(-1)
	svg := draw.Levels(&r, &o, metric)
	wellMade(t, "levels", svg)
	if !strings.Contains(svg, "no light") {
		t.Error("the dark is not said")
	}
	o.Background.ReferenceLx = 0
	wellMade(t, "levels", draw.Levels(&r, &o, metric))
	o.Levels = lighting.Levels{}
	wellMade(t, "levels", draw.Levels(&r, &o, metric))
}

// madeDay is a day of five steps: dark, a frame that is large, one small and dear, one small and cheap, then the sun in
// the picture.
func madeDay(t *testing.T) sizing.SweepResult {
	t.Helper()
	rig := func(area float64, price string) *sizing.SweepOverhead {
		a, err := currency.NewAmount(price, "EUR")
		if err != nil {
			t.Fatal(err)
		}
		return &sizing.SweepOverhead{SKU: fmt.Sprintf("F-%.0f", area), AreaM2: area, PerDay: a}
	}
	from := time.Date(2027, 6, 18, 8, 0, 0, 0, time.UTC)
	s := sizing.SweepResult{Steps: shot.Steps{StepMin: 60, From: from}}
	for i, v := range []*sizing.SweepOverhead{nil, rig(12, "10.00"), rig(4, "30.00"), rig(4, "20.00"), nil} {
		row := sizing.SweepRow{Overhead: v, Sun: scene.TrackPoint{At: from.Add(time.Duration(i) * time.Hour), ElevationDeg: float64(10 * i)}}
		s.Rows = append(s.Rows, row)
	}
	s.Rows[0].Without = finding.NothingToSoften{Because: finding.SoftSunDown}
	s.Rows[4].Sun.InView = true
	s.Rows[4].Without = finding.SunInPicture{Nearest: &finding.RuledOut{SKU: "F-99", Name: "F-99", Because: finding.TooHigh, ShortByM: 1, Obstacle: finding.OverSupports{}}}
	return s
}

func TestDayMarksTheBest(t *testing.T) {
	s := madeDay(t)
	svg := draw.Day(&s, metric)
	wellMade(t, "day", svg)
	list := read(t, svg)
	bars := map[string]element{}
	var best, seen []element
	for _, e := range list {
		if k := e.attr["data-step"]; k != "" && e.name != "svg" {
			bars[k] = e
		}
		switch e.attr["data-part"] {
		case "best":
			best = append(best, e)
		case "in-picture":
			seen = append(seen, e)
		}
	}
	if len(bars) != 3 || bars["1"].attr["data-sku"] != "F-12" {
		t.Fatalf("bars %v", bars)
	}
	height := func(k string) float64 { b := bars[k]; p := b.points(t); return p[2].y - p[1].y }
	if math.Abs(height("1")-3*height("2")) > 4*rounding || height("2") != height("3") {
		t.Errorf("bars of %v, %v, %v", height("1"), height("2"), height("3"))
	}
	third := bars["3"]
	if p := third.points(t); len(best) != 1 || math.Abs(best[0].points(t)[0].x-p[0].x) > rounding || math.Abs(best[0].points(t)[1].x-p[1].x) > rounding {
		t.Errorf("best %v, the step %v", best, p)
	}
	if len(seen) != 1 || math.Abs(seen[0].points(t)[0].x-third.points(t)[1].x) > rounding {
		t.Errorf("in the picture %v", seen)
	}
	for _, words := range []string{"smallest frame", "sun in the picture", "A: F-4, 4.0 m²", "B: F-12, 12.0 m²", "a: Nothing to soften: the sun is below the horizon."} {
		if !strings.Contains(svg, ">"+words+"<") {
			t.Errorf("%q is not there", words)
		}
	}
}

func TestDayOfNoSteps(t *testing.T) {
	wellMade(t, "day", draw.Day(&sizing.SweepResult{}, metric))
}
