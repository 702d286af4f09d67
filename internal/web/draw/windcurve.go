package draw

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// The field of the wind curve: from curveFrom m/s at curveLeft on, curveUnit to a metre a second.
const (
	curveFrom   = 2.0
	curveLeft   = 116.0
	curveUnit   = 55.0
	curveTop    = 64.0
	curveBottom = 204.0
	curveRow    = 22.0
)

func curveX(gustMS float64) float64 { return curveLeft + curveUnit*(gustMS-curveFrom) }

// WindCurve draws what other gusts take, every piece where it stands: the ballast as a curve, people and money below it, and which
// pieces are to be down.
func WindCurve(r *sizing.Result, o *sizing.Option, u Units) string {
	most := 50.0
	for i := range o.Wind {
		most = math.Max(most, o.Wind[i].BallastKg)
	}
	y := func(kg float64) float64 { return curveBottom - (curveBottom-curveTop)*kg/most }
	downs := downLines(o, u)
	foot := curveBottom + 5*curveRow
	c := newCanvas("curve", foot+curveRow*float64(len(downs))+34)
	c.say(pt{16, 24}, "start", smallSize, ink, "ballast in kg, by the gust in metres a second")
	c.line(pt{curveX(curveFrom), curveBottom}, pt{curveX(12.5), curveBottom}, pen{stroke: ink, width: 1.6, faint: true}, "")
	if asked := r.Shot.GustMS; asked >= curveFrom && asked <= 12.5 {
		c.line(pt{curveX(asked), curveTop - 24}, pt{curveX(asked), curveBottom}, pen{stroke: beamInk, width: 1.6, dash: "6 3", faint: true}, attr("data-asked", fmt.Sprint(asked)))
	}
	curveLine(c, o, y)
	c.say(pt{16, curveBottom + curveRow}, "start", smallSize, ink, "gust")
	c.say(pt{16, curveBottom + 2*curveRow}, "start", smallSize, ink, "people")
	c.say(pt{16, curveBottom + 3*curveRow}, "start", smallSize, ink, o.TotalPerDay.CurrencyCode()+" a day")
	for i := range o.Wind {
		w := &o.Wind[i]
		x := curveX(w.GustMS)
		mark := pen{stroke: ink, width: 2, fill: ink, faint: true}
		if len(w.Down) > 0 {
			mark.fill = paper
		}
		c.circle(pt{x, y(w.BallastKg)}, 5, mark, attr("data-step", strconv.Itoa(i))+attr("data-down", strconv.Itoa(len(w.Down))))
		c.say(pt{x, y(w.BallastKg) - 12}, "middle", smallSize, ink, u.Number(w.BallastKg, 0))
		c.say(pt{x, curveBottom + curveRow}, "middle", smallSize, ink, u.Number(w.GustMS, 0))
		c.say(pt{x, curveBottom + 2*curveRow}, "middle", smallSize, ink, strconv.Itoa(w.People))
		c.say(pt{x, curveBottom + (3+float64(i%2))*curveRow}, "middle", smallSize, ink, u.Number(perDay(w), 0)) // they run wide
	}
	c.say(pt{paperWidth - 16, 24}, "end", smallSize, beamInk, "asked: "+u.Number(r.Shot.GustMS, 1))
	for i, s := range downs {
		c.say(pt{16, foot + curveRow*float64(i)}, "start", smallSize, ink, s)
	}
	c.say(pt{16, c.height - 14}, "start", smallSize, grey, "an estimate: measure on the day, lower early; ring: something is down")
	return c.finish("Wind curve: "+r.Shot.Name, curveDesc(o, u), attr("data-most", fmt.Sprint(most)))
}

// curveLine joins the steps.
func curveLine(c *canvas, o *sizing.Option, y func(kg float64) float64) {
	for i := 1; i < len(o.Wind); i++ {
		a, b := &o.Wind[i-1], &o.Wind[i]
		c.line(pt{curveX(a.GustMS), y(a.BallastKg)}, pt{curveX(b.GustMS), y(b.BallastKg)}, pen{stroke: grey, width: 2.4, faint: true}, "")
	}
}

// perDay is what a step costs, for a label.
func perDay(w *sizing.WindStep) float64 {
	v, err := strconv.ParseFloat(w.TotalPerDay.Number(), 64)
	if err != nil {
		return 0
	}
	return v
}

// downLines say from which gust on which pieces are down.
func downLines(o *sizing.Option, u Units) []string {
	var out []string
	var already []finding.Role
	for i := range o.Wind {
		w := &o.Wind[i]
		var names []string
		for _, role := range w.Down {
			if !slices.Contains(already, role) {
				names = append(names, text.ShortRole(role, false))
			}
		}
		already = w.Down
		if len(names) > 0 {
			out = append(out, wrap("down from "+u.Number(w.GustMS, 0)+" on: "+strings.Join(names, ", "), smallSize, paperWidth-32)...)
		}
	}
	return out
}

func curveDesc(o *sizing.Option, u Units) string {
	var b strings.Builder
	b.WriteString("What other gusts take, every piece where it stands.")
	for i := range o.Wind {
		w := &o.Wind[i]
		fmt.Fprintf(&b, " %s metres a second: %s kg of ballast, %d people, %s %s a day.", u.Number(w.GustMS, 0), u.Number(w.BallastKg, 0), w.People,
			w.TotalPerDay.Number(), w.TotalPerDay.CurrencyCode())
	}
	for _, s := range downLines(o, u) {
		b.WriteString(" " + strings.ToUpper(s[:1]) + s[1:] + ".")
	}
	return b.String()
}
