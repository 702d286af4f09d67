package draw

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// Rows of the wind's drawing.
const (
	windRow  = 30.0
	windLeft = 70.0
	windTop  = 62.0
	// windWords is the room on the right for what a row says.
	windWords = 276.0
)

// Wind draws in which gusts each piece may stand, is watched, is to be down and goes, on one scale with the gust asked.
func Wind(r *sizing.Result, o *sizing.Option, u Units) string {
	asked, most := r.Shot.GustMS, 10.0
	for i := range o.Pieces {
		most = math.Max(most, math.Min(o.Pieces[i].Hold.GoesAtMS, 2*asked))
	}
	most = 5 * math.Ceil(math.Max(most, 1.25*asked)/5)
	right := paperWidth - windWords
	x := func(gust float64) float64 { return windLeft + (right-windLeft)*math.Min(gust, most)/most }
	bottom := windTop + windRow*float64(len(o.Pieces))
	c := newCanvas("wind", paperWidth, bottom+60)
	c.say(pt{windLeft, 24}, "start", smallSize, ink, u.say("gust at the piece, metres a second"))
	axis := pen{stroke: ink, width: 1.6, faint: true}
	c.line(pt{windLeft, windTop}, pt{right, windTop}, axis, "")
	for v := 0.0; v <= most; v += 5 {
		c.line(pt{x(v), windTop}, pt{x(v), bottom}, pen{stroke: paleGrey, width: 0.8, faint: true}, "")
		c.say(pt{x(v), windTop - 10}, "middle", smallSize, ink, u.Number(v, 0))
	}
	for i := range o.Pieces {
		h, y := &o.Pieces[i].Hold, windTop+windRow*(float64(i)+0.5)
		c.say(pt{16, y + 5}, "start", smallSize, ink, strconv.Itoa(i+1))
		c.line(pt{x(0), y}, pt{x(h.WatchAtMS), y}, pen{stroke: ink, width: 7, faint: true}, "")
		c.line(pt{x(h.WatchAtMS), y}, pt{x(h.LowerAtMS), y}, pen{stroke: grey, width: 7, faint: true}, "")
		c.line(pt{x(h.LowerAtMS), y}, pt{x(h.GoesAtMS), y}, pen{stroke: grey, width: 3, dash: "2 3", faint: true}, "")
		c.line(pt{x(h.SafeToMS), y - 8}, pt{x(h.SafeToMS), y + 8}, pen{stroke: ink, width: 2, faint: true}, attr("data-safe", strconv.Itoa(i)))
		c.circle(pt{x(h.GoesAtMS), y}, 5, pen{stroke: ink, width: 2, fill: paper, faint: true}, attr("data-goes", strconv.Itoa(i)))
		words := u.say("lower %s, goes %s", u.Number(text.DownToTenth(h.LowerAtMS), 1), u.Number(text.DownToTenth(h.GoesAtMS), 1))
		if h.LowerAtMS < asked {
			words = u.say("%s: too little", words)
		}
		c.say(pt{right + 16, y + 5}, "start", smallSize, ink, words)
	}
	c.line(pt{x(asked), windTop - 4}, pt{x(asked), bottom + 6}, pen{stroke: beamInk, width: 1.6, dash: "6 3", faint: true}, attr("data-asked", fmt.Sprint(asked)))
	c.say(pt{x(asked), bottom + 24}, "middle", smallSize, beamInk, u.say("asked: %s", u.Number(asked, 1)))
	c.say(pt{16, bottom + 46}, "start", smallSize, grey, u.say("dark: may stand; grey: watched; dotted: to be down; tick: safe to; ring: goes"))
	return c.finish(u.say("Wind: %s", r.Shot.Name), windDesc(o, u, asked), attr("data-most", fmt.Sprint(most)))
}

func windDesc(o *sizing.Option, u Units, asked float64) string {
	var b strings.Builder
	b.WriteString(u.say("Asked is a gust of %s metres a second.", u.Number(asked, 1)))
	for i := range o.Pieces {
		h := &o.Pieces[i].Hold
		b.WriteString(" " + u.say("Piece %d is watched from %s, to be lowered at %s, safe to %s, and goes at %s.", i+1, u.Number(text.DownToTenth(h.WatchAtMS), 1),
			u.Number(text.DownToTenth(h.LowerAtMS), 1), u.Number(text.DownToTenth(h.SafeToMS), 1), u.Number(text.DownToTenth(h.GoesAtMS), 1)))
	}
	return b.String()
}
