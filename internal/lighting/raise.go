package lighting

import (
	"context"
	"math"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/placement"
	"kitspan/internal/shot"
)

// putUp makes the pieces of the array laid last, with what holds them; ok is false where the house has too few, no stand
// finds room, something is in the way, or a reflector stands in the shade at some instant of the window.
func (q *lightSearch) putUp(ctx context.Context, t *array) (up []*Piece, ok bool) {
	s := q.s
	if s.Remaining(t.of.item.SKU) < t.n || t.of.cloth != nil && s.Remaining(t.of.cloth.SKU) < t.n {
		return nil, false
	}
	before := len(s.Pieces)
	defer s.drop(before) // put in one by one, so that each is clear of the last and counts on what the house has left
	place := func(p *Piece) bool {
		if s.darkens(p) {
			return false
		}
		for _, ends := range s.ways(p) {
			if !s.standUp(p, ends) || !s.clearOf(p, nil) {
				continue
			}
			if !q.windless && !s.canHold(p) {
				q.blown++
				continue
			}
			s.add([]*Piece{p})
			up = append(up, p)
			return true
		}
		return false
	}
	for i := range q.laid.n {
		if ctx.Err() != nil {
			return nil, false
		}
		p := q.unit(t, i)
		if !place(p) {
			return nil, false
		}
		if (q.sunny || t.of.specular()) && t.of.lamp == nil && !s.inSun(p) {
			return nil, false
		}
	}
	if t.diffuser != nil {
		if s.Remaining(t.diffuser.frame.SKU) < 1 || s.Remaining(t.diffuser.cloth.SKU) < 1 {
			return nil, false
		}
		p := s.diffuserPiece(t.diffuser, q.diffuserRole, q.laid.diffuser, q.laid.diffuserOuter, t.diffuser.panel(true))
		p.Serves = q.to.serves
		if t.of.lamp != nil {
			p.Lights = q.to.lights
		}
		if !place(p) {
			return nil, false
		}
		for i := range up { // the diffuser may not take the sun from the reflectors that feed it
			if q.sunny && t.of.lamp == nil && !s.inSun(up[i]) && up[i] != p {
				return nil, false
			}
		}
	}
	return slices.Clone(up), true
}

// unit returns one board, framed cloth or lamp of the array laid last.
func (q *lightSearch) unit(t *array, i int) *Piece {
	l := t.of
	p := &Piece{Role: q.role, Face: l.face, Serves: q.to.serves, Items: l.counts(), MassKg: l.massKg}
	if l.lamp != nil {
		lamp := q.laid.lamps[i]
		p.Lamp, p.PowerW, p.Lights = &lamp, l.lamp.PowerW, q.to.lights
		return p
	}
	p = l.piece(q.role, q.laid.rects[i], q.laid.outers[i])
	p.Serves, p.sunny = q.to.serves, q.sunny || l.specular()
	if goal := q.laid.goals[i]; l.specular() {
		if p.Aim = &goal; len(q.s.Light.Directions) > 1 {
			p.Goal = &goal
		}
	}
	return p
}

// piece returns a board or a framed cloth in its place.
func (l *emitter) piece(role finding.Role, work, outer geom.Rect) *Piece {
	return &Piece{
		Role: role, Face: l.face, Items: l.counts(), MassKg: l.massKg, Sheet: work, Outer: outer, panel: l.panel(work),
		AreaM2: l.areaM2, OuterM2: 4 * outer.HalfU * outer.HalfV, framed: l.frame != nil,
	}
}

// diffuserPiece returns a framed cloth in its place.
func (s *Setup) diffuserPiece(v *framedFabric, role finding.Role, work, outer geom.Rect, panel light.Panel) *Piece {
	panel.Corners = work.Corners()
	return &Piece{
		Role: role, Face: v.fabric.FaceA, Serves: shot.MainLabel, Items: v.counts(), MassKg: v.massKg,
		Sheet: work, Outer: outer, panel: panel, AreaM2: v.areaM2, OuterM2: 4 * outer.HalfU * outer.HalfV, framed: true,
	}
}

// ways returns the sets of points at which a piece may be held, the one with the fewest stands first: the middle of a board, of a
// lamp, or of a frame that one stand holds unless the light is to pass there; the middles of a frame's upright sides, two on each
// side, half-way up and down, where the frame wants four.
func (s *Setup) ways(p *Piece) [][]geom.Vec {
	switch {
	case p.Lamp != nil:
		return [][]geom.Vec{{p.Lamp.At}}
	case !p.framed:
		return [][]geom.Vec{{p.Outer.Center}}
	}
	spec := s.stock.Item(p.Items[0].SKU).Spec.(*catalog.Frame)
	arm, up := p.Outer.U.Scale(p.Outer.HalfU), p.Outer.V.Scale(p.Outer.HalfV/2)
	left, right := p.Outer.Center.Sub(arm), p.Outer.Center.Add(arm)
	if spec.SupportsMin > uprightSupports {
		// No stand holds low down: the lower pair holds as low as stands do, or just under the upper one.
		drop := up.Scale(math.Min(2, math.Max(0.2, (p.Outer.Center.Z+up.Z-lowHoldM)/math.Max(up.Z, 1e-9))))
		return [][]geom.Vec{{left.Add(up), right.Add(up), left.Add(up).Sub(drop), right.Add(up).Sub(drop)}}
	}
	var out [][]geom.Vec
	if spec.SupportsMin == 1 && !p.passes() {
		out = append(out, []geom.Vec{p.Outer.Center})
	}
	if spec.SupportsMax >= 2 {
		out = append(out, []geom.Vec{left, right})
	}
	return out
}

// passes reports whether light, or the picture, is to pass through the middle of a piece.
func (p *Piece) passes() bool {
	return p.Role == finding.RoleNet || p.Role == finding.RoleReflectorDiffuser || p.Role == finding.RoleLampDiffuser
}

// ends returns the points at which a piece is held by as many stands as it has, or by the fewest where it has none yet.
func (s *Setup) ends(p *Piece) []geom.Vec {
	ways := s.ways(p)
	for _, ends := range ways {
		if len(ends) == len(p.Masts) {
			return ends
		}
	}
	return ways[0]
}

// lowHoldM is how low a stand for heavy loads mostly holds (common practice, no source).
const lowHoldM = 1.4

// standUp puts the cheapest stand that reaches, carries its share and finds room under each of the points.
func (s *Setup) standUp(p *Piece, ends []geom.Vec) bool { return s.standOn(p, ends, s.gear.stands) }

// standOn does the same as standUp with some of the stands, in their order, off the plans of some boxes.
func (s *Setup) standOn(p *Piece, ends []geom.Vec, stands []anchorage.Support, off ...geom.Box) bool {
	st := s.Light.Stage
	p.Masts = p.Masts[:0]
	topM := p.TopM()
	for _, at := range ends {
		found := false
		for i := range stands {
			w := &stands[i]
			used := 0
			for k := range p.Masts {
				if p.Masts[k].Support.Item == w.Item {
					used++
				}
			}
			if at.Z < w.Spec.LowestM || at.Z > w.Limits.HighestM || topM > w.Limits.TopM || p.MassKg/float64(len(ends))*s.safety > w.Spec.SafeLoadKg ||
				s.Remaining(w.Item.SKU)-used < 1 {
				continue
			}
			m, ok := anchorage.PutBase(st, at, w, &p.Outer, p.Masts, off...)
			if !ok || !s.offZones(m.Base, w.Spec.FootprintM) {
				continue
			}
			p.Masts, found = append(p.Masts, m), true
			break
		}
		if !found {
			return false
		}
	}
	return true
}

// offZones reports whether a circle of feet is off every further zone; [anchorage.PutBase] keeps it off the main one.
func (s *Setup) offZones(base geom.Vec, footM float64) bool {
	for i := range s.zones {
		z := &s.zones[i]
		if !aside([]geom.Vec{base}, z.Mid, geom.Vec{X: z.Half.X + footM - stepOffM, Y: z.Half.Y + footM - stepOffM}) {
			return false
		}
	}
	return true
}

// inSun reports whether a reflector is in the full light of the driver all through the window, as it is aimed for mid-window
// and, where it is aimed anew, as it is aimed then.
func (s *Setup) inSun(p *Piece) bool {
	if s.Light.Driver < 0 {
		return true
	}
	for _, way := range s.sunWays(p.Outer.Center) {
		for _, r := range [2]geom.Rect{p.Outer, p.aimed(way)} {
			if r.Normal().Dot(way) < leastCos {
				return false
			}
		}
		for _, ch := range s.Rigs {
			if s.shadedBy(p, func(geom.Vec) geom.Rect { return ch.Placed.Outer }, way) {
				return false
			}
		}
		for _, o := range s.Pieces {
			if o != p && o.Lamp == nil && s.shadedBy(p, o.aimed, way) {
				return false
			}
		}
	}
	return true
}

// shadedBy reports whether something stands between a reflector and the driver, both as printed and as aimed by then.
func (s *Setup) shadedBy(p *Piece, o func(way geom.Vec) geom.Rect, way geom.Vec) bool {
	there, then := p.Outer, p.aimed(way)
	other := o(way)
	if h := &s.Light.Hard[s.Light.Driver]; h.At != nil {
		return shadesFrom(&other, &there, *h.At) || p.Goal != nil && shadesFrom(&other, &then, *h.At)
	}
	return shades(&other, &there, way) || p.Goal != nil && shades(&other, &then, way)
}

// aimed returns a piece's sheet when the source stands in a direction: turned with it where it is aimed anew.
func (p *Piece) aimed(way geom.Vec) geom.Rect {
	if p.Goal == nil {
		return p.Outer
	}
	sh := placement.Size{HalfU: p.Outer.HalfU, HalfV: p.Outer.HalfV, OutU: p.Outer.HalfU, OutV: p.Outer.HalfV}
	r, _ := sheetToward(p.Outer.Center, halving(p.Goal.Sub(p.Outer.Center).Unit(), way), sh)
	return r
}

// sunWays returns the directions to the driver over the window as seen from a point.
func (s *Setup) sunWays(p geom.Vec) []geom.Vec {
	if h := &s.Light.Hard[s.Light.Driver]; h.At != nil {
		return []geom.Vec{h.At.Sub(p).Unit()}
	}
	return s.Light.Swept
}

// darkens reports whether a piece would take the sun from a reflector that stands, at some instant of the window.
func (s *Setup) darkens(p *Piece) bool {
	if s.Light.Driver < 0 || p.Lamp != nil {
		return false
	}
	for _, o := range s.Pieces {
		if !o.sunny && o.Goal == nil {
			continue
		}
		for _, way := range s.sunWays(o.Outer.Center) {
			if s.shadedBy(o, p.aimed, way) {
				return true
			}
		}
	}
	return false
}
