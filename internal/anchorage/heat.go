package anchorage

import "kitspan/internal/geom"

// Heat weakens ropes: what is kept free of them about a lamp's head, to every side of its middle, over it, and under it as far as the head
// reaches, metres (common practice, no source).
const (
	heatBesideM = 1.0
	heatOverM   = 1.5
	heatUnderM  = 0.25
)

// InHeat reports whether a rope would run beside or over the head of a lamp, given by its middle, as near as its heat reaches.
func InHeat(head, from, to geom.Vec) bool {
	room := geom.Box{
		Mid:  head.Add(geom.Vec{Z: (heatOverM - heatUnderM) / 2}),
		Half: geom.Vec{X: heatBesideM, Y: heatBesideM, Z: (heatOverM + heatUnderM) / 2},
	}
	return room.CutBy(from, to)
}

// HeatedBy reports whether a rope runs in the heat of a lamp, given by the middle of its head.
func (f *Anchorage) HeatedBy(head geom.Vec) bool {
	for i := range f.Ropes {
		if InHeat(head, f.Ropes[i].From, f.Ropes[i].To) {
			return true
		}
	}
	return false
}
