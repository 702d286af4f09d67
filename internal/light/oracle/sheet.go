package oracle

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// sheet is a panel made ready for rays.
type sheet struct {
	origin           geom.Vec
	along, across    geom.Vec // the edges from the first corner to the second and to the fourth
	perLong, perWide float64  // one over their squares
	normal           geom.Vec // unit, of side A
	side             [2]light.Surface
	straight         float64 // share of the light that goes through in its direction
	scattered        float64 // share that comes out all around on the other side
	mired            float64 // shift of both
	fed, reflects    bool
}

func newSheet(p light.Panel) *sheet {
	s := &sheet{
		origin:    p.Corners[0],
		along:     p.Corners[1].Sub(p.Corners[0]),
		across:    p.Corners[3].Sub(p.Corners[0]),
		side:      [2]light.Surface{p.A, p.B},
		straight:  p.Transmittance * p.BeamShare,
		scattered: p.Transmittance * (1 - p.BeamShare),
		mired:     p.ShiftMired,
		fed:       p.Fed,
	}
	s.perLong, s.perWide = 1/s.along.Dot(s.along), 1/s.across.Dot(s.across)
	s.normal = s.along.Cross(s.across).Unit()
	for _, f := range s.side {
		s.reflects = s.reflects || f.Diffuse > 0 || f.Specular > 0
	}
	return s
}

// at is the point of the sheet at shares u and v of its edges.
func (s *sheet) at(u, v float64) geom.Vec {
	return s.origin.Add(s.along.Scale(u)).Add(s.across.Scale(v))
}

// facing is the outward normal of a side, 0 for A and 1 for B.
func (s *sheet) facing(side int) geom.Vec {
	if side == 0 {
		return s.normal
	}
	return s.normal.Scale(-1)
}

// meet is how many lengths of d along the line from o the sheet's plane lies, and whether the line goes through the sheet.
func (s *sheet) meet(o, d geom.Vec) (along float64, inside bool) {
	down := s.normal.Dot(d)
	if down == 0 {
		return 0, false
	}
	from := s.origin.Sub(o)
	along = s.normal.Dot(from) / down
	q := d.Scale(along).Sub(from)
	u := q.Dot(s.along) * s.perLong
	if u < 0 || u > 1 {
		return along, false
	}
	v := q.Dot(s.across) * s.perWide
	return along, v >= 0 && v <= 1
}

// through is what becomes of a ray from o over d·far, past all sheets but the one it starts or ends on.
func through(sheets []*sheet, but *sheet, o, d geom.Vec, far float64) passage {
	way := passage{share: 1}
	for _, s := range sheets {
		if s == but {
			continue
		}
		if l, inside := s.meet(o, d); inside && l > 0 && l < far*(1-rounding) { // a ray may end on a sheet
			if way = way.past(s); way.share == 0 {
				return way
			}
		}
	}
	return way
}

// source is the unit direction from a point to a hard source, its illuminance there on what faces it, and how far it is.
func source(h light.Hard, from geom.Vec) (toward geom.Vec, lx, far float64) {
	if h.At == nil {
		return h.Dir, h.NormalLx, math.Inf(1)
	}
	d := h.At.Sub(from)
	far = d.Len()
	return d.Scale(1 / far), h.IntensityCd / (far * far), far
}

// lampAt is the unit direction from a point to a placed lamp, its illuminance there on what faces it, and how far it is.
func lampAt(l light.Lamp, from geom.Vec) (toward geom.Vec, lx, far float64) {
	d := l.At.Sub(from)
	far = d.Len()
	toward = d.Scale(1 / far)
	cos := -toward.Dot(l.Aim.Sub(l.At).Unit())
	if cos <= 0 {
		return toward, 0, far
	}
	m := math.Log(0.5) / math.Log(math.Cos(l.BeamDeg/2*math.Pi/180))
	return toward, l.IntensityCd * math.Pow(cos, m) / (far * far), far
}
