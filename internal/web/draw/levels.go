package draw

import (
	"fmt"
	"math"
	"strings"

	"kitspan/internal/sizing"
)

// level is one row of the scale.
type level struct {
	name  string
	stops float64
	asked *float64
	what  string // data-level
}

// Rows of the levels' drawing.
const (
	levelRow   = 34.0
	lowRow     = 26.0  // on the printed sheet
	levelLeft  = 176.0 // where the scale begins
	levelAfter = 96.0  // is left behind its end
	levelTop   = 62.0
)

// Levels draws the light on the subject in stops against the background, on one scale.
func Levels(r *sizing.Result, o *sizing.Option, u Units) string {
	rows := levelRows(r, o, u)
	low, high := -1.0, 1.0
	for _, l := range rows {
		if !finite(l.stops) {
			continue
		}
		low, high = math.Min(low, math.Floor(l.stops)), math.Max(high, math.Ceil(l.stops))
		if l.asked != nil {
			low, high = math.Min(low, math.Floor(*l.asked)), math.Max(high, math.Ceil(*l.asked))
		}
	}
	s := stopsScale{low, high, u.width() - levelAfter}
	tall := levelRow
	if u.Sheet {
		tall = lowRow
	}
	bottom := levelTop + tall*float64(len(rows))
	c := newCanvas("levels", u.width(), bottom+54)
	s.draw(c, u, bottom)
	for i, l := range rows {
		s.row(c, u, l, levelTop+tall*(float64(i)+0.5))
	}
	s.contrast(c, u, rows, r.Shot.Look.ContrastStops, o.Levels.ContrastStops, bottom)
	return c.finish(u.say("Levels: %s", r.Shot.Name), levelDesc(o, u, rows), attr("data-low", fmt.Sprint(low))+attr("data-high", fmt.Sprint(high)))
}

// levelRows are the background and the faces that the answer has levels of; key and fill are the second and the third.
func levelRows(r *sizing.Result, o *sizing.Option, u Units) []level {
	v := &o.Levels
	against := func(lx float64) float64 { return math.Log2(lx / o.Background.ReferenceLx) }
	look := &r.Shot.Look
	rows := []level{
		{u.say("background"), 0, nil, "background"},
		{u.say("key"), v.KeyStops, &look.KeyStops, "key"},
		{u.say("fill"), against(v.FillLx), nil, "fill"},
		{u.say("hair and shoulders"), against(v.BackLx), look.BackStops, "back"},
	}
	for i := range v.OtherZones {
		z := &v.OtherZones[i]
		l := level{clip(u.say("key, %s", z.Label), smallSize, levelLeft-24), z.KeyStops, nil, "zone"}
		for k := range r.Shot.OtherZones {
			if r.Shot.OtherZones[k].Label == z.Label {
				l.asked = &r.Shot.OtherZones[k].KeyStops
			}
		}
		rows = append(rows, l)
	}
	return rows
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func levelDesc(o *sizing.Option, u Units, rows []level) string {
	var b strings.Builder
	if o.Levels.At.IsZero() {
		b.WriteString(u.say("Stops against the background:"))
	} else {
		b.WriteString(u.say("Stops against the background at %s:", o.Levels.At.Format("15:04")))
	}
	for _, l := range rows {
		fmt.Fprintf(&b, " %s %s;", l.name, stopsWords(u, l.stops))
	}
	b.WriteString(" " + u.say("contrast %s.", stopsWords(u, o.Levels.ContrastStops)))
	return b.String()
}

func stopsWords(u Units, v float64) string {
	if !finite(v) {
		return u.say("no light")
	}
	return u.signed(v, 1)
}

// stopsScale is where stops lie on the paper, up to right.
type stopsScale struct{ low, high, right float64 }

func (s stopsScale) x(v float64) float64 {
	return levelLeft + (s.right-levelLeft)*(v-s.low)/(s.high-s.low)
}

// draw is the scale with its stops; where there are many not each is numbered.
func (s stopsScale) draw(c *canvas, u Units, bottom float64) {
	every := 1.0
	for (s.high-s.low)/every > 10 {
		every++
	}
	c.say(pt{16, 24}, "start", smallSize, grey, u.say("darker"))
	c.say(pt{c.width - 16, 24}, "end", smallSize, grey, u.say("brighter"))
	c.say(pt{(levelLeft + s.right) / 2, 24}, "middle", smallSize, ink, u.say("stops against the background"))
	axis := pen{stroke: ink, width: 1.6, faint: true}
	c.line(pt{levelLeft, levelTop}, pt{s.right, levelTop}, axis, "")
	for v := s.low; v <= s.high; v++ {
		if math.Mod(v-s.low, every) != 0 && v != 0 {
			continue
		}
		x := s.x(v)
		grid := pen{stroke: paleGrey, width: 0.8, faint: true}
		if v == 0 {
			grid = pen{stroke: ink, width: 1.2, dash: "5 3", faint: true}
		}
		c.line(pt{x, levelTop}, pt{x, bottom}, grid, "")
		c.line(pt{x, levelTop - 6}, pt{x, levelTop}, axis, "")
		if v == 0 || math.Abs(v) >= every {
			c.say(pt{x, levelTop - 10}, "middle", smallSize, ink, u.signed(v, 0))
		}
	}
}

// row is one level: its name, a bar from the background to it, a mark, its value, and what was asked.
func (s stopsScale) row(c *canvas, u Units, l level, y float64) {
	c.say(pt{16, y + 5}, "start", smallSize, ink, l.name)
	if !finite(l.stops) {
		c.say(pt{levelLeft + 8, y + 5}, "start", smallSize, ink, u.say("no light"))
		return
	}
	x, zero := s.x(l.stops), s.x(0)
	if l.stops != 0 {
		c.line(pt{zero, y}, pt{x, y}, pen{stroke: grey, width: 3, faint: true}, "")
	}
	if l.asked != nil {
		a := s.x(*l.asked)
		c.shape([]pt{{a, y - 9}, {a + 5, y - 14}, {a - 5, y - 14}}, false, pen{stroke: beamInk, width: 1.2, fill: paper, faint: true}, attr("data-asked", l.what))
	}
	c.circle(pt{x, y}, 6, pen{stroke: ink, width: 2, fill: paper, faint: true}, attr("data-level", l.what))
	words := stopsWords(u, l.stops)
	if l.what == "background" {
		words = u.Number(0, 0)
	}
	if l.asked != nil {
		words = u.say("%s (asked %s)", words, u.signed(*l.asked, 1))
	}
	w := textWidth(words, smallSize)
	// On the side that the bar does not take, where there is room.
	left, right := x-12-w >= 16+textWidth(l.name, smallSize)+8, x+12+w <= c.width-8
	if left && (x < zero || !right) {
		c.say(pt{x - 12, y + 5}, "end", smallSize, ink, words)
		return
	}
	c.say(pt{math.Min(math.Max(x, zero)+12, c.width-8-w), y + 5}, "start", smallSize, ink, words)
}

// contrast is a bracket under the rows from the fill to the key.
func (s stopsScale) contrast(c *canvas, u Units, rows []level, asked, got, bottom float64) {
	key, fill := rows[1].stops, rows[2].stops
	y := bottom + 14
	words := u.say("contrast %s stops (asked %s)", u.Number(got, 1), u.Number(asked, 1))
	if !finite(key) || !finite(fill) {
		c.say(pt{levelLeft, y + 22}, "start", smallSize, ink, u.say("contrast: no light on the fill side"))
		return
	}
	a, b := s.x(fill), s.x(key)
	p := pen{stroke: ink, width: 1.4}
	c.shape([]pt{{a, y - 8}, {a, y}, {b, y}, {b, y - 8}}, true, p, attr("data-part", "contrast"))
	w := textWidth(words, smallSize) / 2
	mid := math.Max(math.Min((a+b)/2, c.width-8-w), 8+w)
	c.say(pt{mid, y + 20}, "middle", smallSize, ink, words)
}
