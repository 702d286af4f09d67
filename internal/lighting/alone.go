package lighting

import (
	"kitspan/internal/light"
	"kitspan/internal/scene"
)

// alone is what is known of arrays by themselves about one aim in one light: what they give, and where they stand clear of people, picture
// and camera. Nothing else that is up is in it, so that searches of all options, by all preferences and for any softness share it.
type alone struct {
	of    *scene.Light
	to    aim
	dims  bool
	gives map[array]*glimpse
	clear map[array]float64 // the first distance from an array's own outward at which it is; over scene.FarM where it nowhere is
}

// glimpse is the light of an array on the face that it is for: at the middle of the zone, and at the first of its corners.
type glimpse struct {
	middle  light.Level
	corners []light.Level
}

// mostAlone is how many arrays in their places are known at most, about all aims together: half a kilobyte each.
const mostAlone = 20000

// aloneFor returns what is known of arrays alone about an aim in the setup's light.
func (s *Setup) aloneFor(to *aim, dims bool) *alone {
	for _, k := range *s.known {
		if k.of == s.Light && k.to == *to && k.dims == dims {
			return k
		}
	}
	k := &alone{of: s.Light, to: *to, dims: dims, gives: map[array]*glimpse{}, clear: map[array]float64{}}
	*s.known = append(*s.known, k)
	return k
}

// makeRoom forgets all that is known where it is too much.
func (s *Setup) makeRoom() {
	n := 0
	for _, k := range *s.known {
		n += len(k.gives) + len(k.clear)
	}
	if n < mostAlone {
		return
	}
	for _, k := range *s.known {
		clear(k.gives)
		clear(k.clear)
	}
}

// see returns what an array gives alone where it stands.
func (q *lightSearch) see(t *array) *glimpse {
	if g := q.alone.gives[*t]; g != nil {
		return g
	}
	q.s.makeRoom()
	q.shine(t)
	g := &glimpse{middle: q.lit.Face(q.to.mid, q.to.face)}
	q.alone.gives[*t] = g
	return g
}

// corner returns what an array gives alone at a corner of the zone.
func (q *lightSearch) corner(t *array, g *glimpse, i int) light.Level {
	for len(g.corners) <= i {
		if q.shone != *t {
			q.shine(t)
		}
		if g.corners == nil {
			g.corners = make([]light.Level, 0, len(q.corners))
		}
		g.corners = append(g.corners, q.lit.Face(q.to.corner(len(g.corners)), q.to.face))
	}
	return g.corners[i]
}
