package draw_test

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
	"kitspan/internal/web/draw"
)

// forecastOf is the answer to an example with a forecast of its day: calm, a blow about noon, and one in the window.
func forecastOf(t *testing.T, name string) (answer, *sizing.Option) {
	t.Helper()
	house, s, err := oracle.Example("../../../docs/examples/" + name + ".json")
	if err != nil {
		t.Fatal(err)
	}
	calm, ok := sized(t, name, house, s)
	if !ok {
		t.Fatal("no answer")
	}
	day := calm.res.Shot.Window.From
	for i, gust := range []float64{3, 3, 5, 12, 5, 4, 5.5, 9, 3} {
		at := time.Date(day.Year(), day.Month(), day.Day(), 6+2*i, 0, 0, 0, day.Location()).Format(time.RFC3339)
		s.Draft.Forecast = append(s.Draft.Forecast, shot.DraftForecastRow{At: &at, GustMS: &gust})
	}
	a, ok := sized(t, name, house, s)
	if !ok || a.res.Forecast == nil {
		t.Fatal("no answer with a forecast")
	}
	return a, &a.res.Options[0]
}

// Every time at which a piece may stand, or stands on watch, and the window lie where the axis of time says, and none is left out.
func TestTimesOfStandingLieOnTheirAxis(t *testing.T) {
	for _, name := range []string{"01-two-anglers", "05-six-rowers"} {
		a, o := forecastOf(t, name)
		for _, u := range []draw.Units{metric, imperial} {
			svg := draw.Forecast(&a.res, o, u)
			wellMade(t, "forecast", svg)
			timesLieOnTheirAxis(t, &a, o, svg)
			u.Sheet = true
			svg = draw.Forecast(&a.res, o, u)
			wellMadeOn(t, "forecast", svg, 560)
			timesLieOnTheirAxis(t, &a, o, svg)
		}
	}
}

func timesLieOnTheirAxis(t *testing.T, a *answer, o *sizing.Option, svg string) {
	t.Helper()
	var from, to time.Time
	var left, right float64
	drawn := map[string][][2]float64{}
	for _, e := range read(t, svg) {
		if e.name == "svg" {
			from, _ = time.Parse(time.RFC3339, e.attr["data-from"])
			to, _ = time.Parse(time.RFC3339, e.attr["data-to"])
		}
		switch part := e.attr["data-part"]; part {
		case "axis":
			left, right = e.num(t, "x1"), e.num(t, "x2")
		case "window":
			p := e.points(t)
			drawn["window"] = append(drawn["window"], [2]float64{p[0].x, p[1].x})
		case "stands", "watch", "forecast":
			at := part + e.attr["data-piece"]
			drawn[at] = append(drawn[at], [2]float64{e.num(t, "x1"), e.num(t, "x2")})
		}
	}
	x := func(at time.Time) float64 { return left + (right-left)*at.Sub(from).Seconds()/to.Sub(from).Seconds() }
	same := func(name string, want []finding.Span) {
		got := drawn[name]
		if len(got) != len(want) {
			t.Errorf("%s: %d of %d times of %s", a.name, len(got), len(want), name)
			return
		}
		for i, s := range want {
			const rounded = 0.02 // units of paper
			if !(math.Abs(got[i][0]-x(s.From)) < rounded && math.Abs(got[i][1]-x(s.To)) < rounded) {
				t.Errorf("%s: %s is drawn from %v, want from %v to %v", a.name, name, got[i], x(s.From), x(s.To))
			}
		}
	}
	changes := 0
	same("window", []finding.Span{{From: o.Window.From, To: o.Window.To}})
	for i := range o.Pieces {
		same("forecast"+strconv.Itoa(i), []finding.Span{*a.res.Forecast})
		same("stands"+strconv.Itoa(i), o.Pieces[i].Stands)
		same("watch"+strconv.Itoa(i), o.Pieces[i].OnWatch)
		changes += len(o.Pieces[i].Stands) + len(o.Pieces[i].OnWatch)
	}
	if changes < 2*len(o.Pieces) {
		t.Errorf("%s: only %d times of %d pieces", a.name, changes, len(o.Pieces))
	}
}

func TestWithoutAForecastOfTheDayNothingIsDrawn(t *testing.T) {
	r := examples()[0].res
	if svg := draw.Forecast(&r, &r.Options[0], metric); svg != "" {
		t.Errorf("drawn: %.200s", svg)
	}
}

func TestTheForecastsDrawingSaysItInWords(t *testing.T) {
	a, o := forecastOf(t, "01-two-anglers")
	svg := draw.Forecast(&a.res, o, metric)
	golden(t, "01-forecast", svg)
	for _, want := range []string{"not the wind on the spot", "from 06:00 to", "Overhead (1)", "shot, 16:30 to 17:30"} {
		if !strings.Contains(svg, want) {
			t.Errorf("lacks %q", want)
		}
	}
}
