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

// The field of the wind curve: from curveFrom m/s at curveLeft on, to curveTo a little before the end of the paper.
const (
	curveFrom   = 2.0
	curveTo     = 12.5
	curveLeft   = 116.0
	curveAfter  = 26.5
	curveTop    = 64.0
	curveBottom = 204.0
	lowBottom   = 174.0 // on the printed sheet
	curveRow    = 22.0
)

// curveX is where a gust lies on the paper.
func (c *canvas) curveX(gustMS float64) float64 {
	return curveLeft + (c.width-curveAfter-curveLeft)*(gustMS-curveFrom)/(curveTo-curveFrom)
}

// WindCurve draws what other gusts take, every piece where it stands: the ballast as a curve, people and money below it, and which
// pieces are to be down.
func WindCurve(r *sizing.Result, o *sizing.Option, u Units) string {
	bottom := curveBottom
	if u.Sheet {
		bottom = lowBottom
	}
	most := 50.0
	for i := range o.Wind {
		most = math.Max(most, o.Wind[i].BallastKg)
	}
	y := func(kg float64) float64 { return bottom - (bottom-curveTop)*kg/most }
	downs := downLines(o, u)
	foot := bottom + 5*curveRow
	caution := wrap(u.say("an estimate: measure on the day, lower early; ring: something is down"), u.width()-32)
	c := newCanvas("curve", u.width(), foot+curveRow*float64(len(downs)+len(caution))+12)
	c.say(pt{16, 24}, "start", smallSize, ink, u.say("ballast in kg, by the gust in metres a second"))
	c.line(pt{c.curveX(curveFrom), bottom}, pt{c.curveX(curveTo), bottom}, pen{stroke: ink, width: 1.6, faint: true}, "")
	if asked := r.Shot.GustMS; asked >= curveFrom && asked <= curveTo {
		c.line(pt{c.curveX(asked), curveTop - 24}, pt{c.curveX(asked), bottom}, pen{stroke: beamInk, width: 1.6, dash: "6 3", faint: true}, attr("data-asked", fmt.Sprint(asked)))
	}
	curveLine(c, o, y)
	c.say(pt{16, bottom + curveRow}, "start", smallSize, ink, u.say("gust"))
	c.say(pt{16, bottom + 2*curveRow}, "start", smallSize, ink, u.say("people"))
	c.say(pt{16, bottom + 3*curveRow}, "start", smallSize, ink, u.say("%s a day", o.TotalPerDay.CurrencyCode()))
	for i := range o.Wind {
		w := &o.Wind[i]
		x := c.curveX(w.GustMS)
		mark := pen{stroke: ink, width: 2, fill: ink, faint: true}
		if len(w.Down) > 0 {
			mark.fill = paper
		}
		c.circle(pt{x, y(w.BallastKg)}, 5, mark, attr("data-step", strconv.Itoa(i))+attr("data-down", strconv.Itoa(len(w.Down))))
		c.say(pt{x, y(w.BallastKg) - 12}, "middle", smallSize, ink, u.Number(text.UpToWhole(w.BallastKg), 0))
		c.say(pt{x, bottom + curveRow}, "middle", smallSize, ink, u.Number(w.GustMS, 0))
		c.say(pt{x, bottom + 2*curveRow}, "middle", smallSize, ink, strconv.Itoa(w.People))
		c.say(pt{x, bottom + (3+float64(i%2))*curveRow}, "middle", smallSize, ink, u.Number(perDay(w), 0)) // they run wide
	}
	c.say(pt{c.width - 16, 24}, "end", smallSize, beamInk, u.say("asked: %s", u.Number(r.Shot.GustMS, 1)))
	for i, s := range downs {
		c.say(pt{16, foot + curveRow*float64(i)}, "start", smallSize, ink, s)
	}
	for i, s := range caution {
		c.say(pt{16, c.height - 14 - curveRow*float64(len(caution)-1-i)}, "start", smallSize, grey, s)
	}
	return c.finish(u.say("Wind curve: %s", r.Shot.Name), curveDesc(o, u), attr("data-most", fmt.Sprint(most)))
}

// curveLine joins the steps.
func curveLine(c *canvas, o *sizing.Option, y func(kg float64) float64) {
	for i := 1; i < len(o.Wind); i++ {
		a, b := &o.Wind[i-1], &o.Wind[i]
		c.line(pt{c.curveX(a.GustMS), y(a.BallastKg)}, pt{c.curveX(b.GustMS), y(b.BallastKg)}, pen{stroke: grey, width: 2.4, faint: true}, "")
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
				names = append(names, text.ShortRole(u.Text, role, false))
			}
		}
		already = w.Down
		if len(names) > 0 {
			out = append(out, wrap(u.say("down from %s on: %s", u.Number(w.GustMS, 0), strings.Join(names, ", ")), u.width()-32)...)
		}
	}
	return out
}

func curveDesc(o *sizing.Option, u Units) string {
	var b strings.Builder
	b.WriteString(u.say("What other gusts take, every piece where it stands."))
	for i := range o.Wind {
		w := &o.Wind[i]
		b.WriteString(" " + u.say("%s metres a second: %s kg of ballast, %d people, %s %s a day.", u.Number(w.GustMS, 0), u.Number(text.UpToWhole(w.BallastKg), 0), w.People,
			w.TotalPerDay.Number(), w.TotalPerDay.CurrencyCode()))
	}
	for _, s := range downLines(o, u) {
		b.WriteString(" " + capital(s) + ".")
	}
	return b.String()
}
