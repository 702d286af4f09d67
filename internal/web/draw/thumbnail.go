package draw

import (
	"math"
	"strings"

	"kitspan/internal/shot"
	"kitspan/internal/sun"
)

// Sizes of a thumbnail, and how far beyond the people its view goes, of the distance to the lens.
const (
	thumbWidth, thumbHeight = 200, 130
	thumbEdge               = 14.0
	thumbBeyond             = 0.35
)

// Thumbnail draws a shot small, from above with north up: the lens and its view, the people and where they walk, other people, lamps, and from
// where the sun shines in the middle of the window. It has no words: what it is of stands beside it.
func Thumbnail(s *shot.Shot) string {
	sin, cos := math.Sincos(s.Camera.BearingDeg * math.Pi / 180)
	// on is a point so far to the right of the subject and beyond it, as the lens sees it; north is up and y runs down.
	on := func(right, beyond float64) pt { return pt{right*cos + beyond*sin, right*sin - beyond*cos} }
	d, w := s.Framing.DistanceM, s.Framing.WidthM/2
	far := w * (1 + thumbBeyond)
	lens := on(0, -d)
	view := []pt{lens, on(-far, thumbBeyond*d), on(far, thumbBeyond*d)}
	box := func(x, y, width, depth float64) []pt {
		var list []pt
		for _, c := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
			p := on(c[0]*width/2, c[1]*depth/2)
			list = append(list, pt{p.x + x, p.y - y})
		}
		return list
	}
	people := [][]pt{box(0, 0, s.Zone.WidthM, s.Zone.DepthM)}
	for i := range s.OtherZones {
		z := &s.OtherZones[i]
		people = append(people, box(z.CenterX, z.CenterY, z.WidthM, z.DepthM))
	}
	var lamps []pt
	for i := range s.Lamps {
		if at := s.Lamps[i].Position; at != nil {
			lamps = append(lamps, pt{at.X, -at.Y})
		}
	}
	all := append(append([]pt{}, view...), lamps...)
	for _, p := range people {
		all = append(all, p...)
	}
	lo, hi := all[0], all[0]
	for _, p := range all {
		lo, hi = pt{math.Min(lo.x, p.x), math.Min(lo.y, p.y)}, pt{math.Max(hi.x, p.x), math.Max(hi.y, p.y)}
	}
	scale := math.Min((thumbWidth-2*thumbEdge)/math.Max(hi.x-lo.x, 1e-3), (thumbHeight-2*thumbEdge)/math.Max(hi.y-lo.y, 1e-3))
	at := func(p pt) pt {
		return pt{thumbWidth/2 + (p.x-(lo.x+hi.x)/2)*scale, thumbHeight/2 + (p.y-(lo.y+hi.y)/2)*scale}
	}
	every := func(list []pt) []pt {
		out := make([]pt, len(list))
		for i, p := range list {
			out[i] = at(p)
		}
		return out
	}
	c := newCanvas("thumbnail", thumbWidth, thumbHeight)
	c.shape(every(view), false, pen{stroke: grey, width: 1, fill: cloth}, attr("data-part", "view"))
	for _, p := range people {
		c.shape(every(p), false, pen{stroke: ink, width: 1.5, fill: beamInk, opacity: 0.35}, attr("data-part", "people"))
	}
	if s.Walks() {
		c.arrow(at(pt{}), at(pt{s.Walk.X, -s.Walk.Y}), pen{stroke: ink, width: 1.5}, attr("data-part", "walk"))
	}
	for _, p := range lamps {
		c.circle(at(p), 4, pen{stroke: ink, width: 1, fill: sunInk}, attr("data-part", "lamp"))
	}
	c.circle(at(lens), 4.5, pen{fill: ink}, attr("data-part", "lens"))
	if !s.Site.Roofed {
		if p := sun.At(s.Window.Mid(), s.Site.UnderSun()); p.ElevationDeg > 0 {
			sin, cos := math.Sincos(p.AzimuthDeg * math.Pi / 180)
			from, reach := at(pt{}), 40.0
			if low := math.Hypot(thumbWidth/2, thumbHeight/2); reach > low {
				reach = low
			}
			disc := pt{from.x + reach*sin, from.y - reach*cos}
			disc = pt{math.Min(math.Max(disc.x, thumbEdge), thumbWidth-thumbEdge), math.Min(math.Max(disc.y, thumbEdge), thumbHeight-thumbEdge)}
			c.arrow(disc, disc.add(from.sub(disc).scale(0.7)), pen{stroke: sunInk, width: 1.5}, attr("data-part", "sun"))
			c.circle(disc, 6, pen{stroke: sunInk, width: 1.5, fill: sunInk}, "")
		}
	}
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 130" class="thumbnail" aria-hidden="true" fill="none" stroke-linejoin="round">`)
	b.Write(c.body)
	b.WriteString("</svg>")
	return b.String()
}
