package sizing

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

// putUp makes the pieces of the train laid last, with what holds them; ok is false where the house has too few, no stand
// finds room, something is in the way, or a reflector stands in the shade at some instant of the window.
func (q *lightSearch) putUp(ctx context.Context, t *train) (up []*piece, ok bool) {
	s := q.s
	if s.left(t.of.item.SKU) < t.n || t.of.cloth != nil && s.left(t.of.cloth.SKU) < t.n {
		return nil, false
	}
	before := len(s.pieces)
	defer s.drop(before) // put in one by one, so that each is clear of the last and counts on what the house has left
	place := func(p *piece, ends []geom.Vec) bool {
		if !s.hold(p, ends) || !s.clearOf(p, nil) || s.darkens(p) {
			return false
		}
		if !q.windless && !s.canHold(p) {
			q.blown++
			return false
		}
		s.add([]*piece{p})
		up = append(up, p)
		return true
	}
	for i := range q.laid.n {
		if ctx.Err() != nil {
			return nil, false
		}
		p := q.unit(t, i)
		if !place(p, s.ends(p)) {
			return nil, false
		}
		if (q.sunny || t.of.specular()) && t.of.lamp == nil && !s.inSun(p) {
			return nil, false
		}
	}
	if t.veil != nil {
		if s.left(t.veil.frame.SKU) < 1 || s.left(t.veil.cloth.SKU) < 1 {
			return nil, false
		}
		p := s.veilPiece(t.veil, q.diffuserRole, q.laid.veil, q.laid.veilTo, t.veil.panel(true))
		p.serves = q.to.serves
		if !place(p, s.ends(p)) {
			return nil, false
		}
		for i := range up { // the veil may not take the sun from the reflectors that feed it
			if q.sunny && t.of.lamp == nil && !s.inSun(up[i]) && up[i] != p {
				return nil, false
			}
		}
	}
	return slices.Clone(up), true
}

// unit is one board, framed cloth or lamp of the train laid last.
func (q *lightSearch) unit(t *train, i int) *piece {
	l := t.of
	p := &piece{role: q.role, face: l.face, serves: q.to.serves, items: l.counts(1), massKg: l.massKg}
	if l.lamp != nil {
		lamp := q.laid.lamps[i]
		p.lamp, p.powerW = &lamp, l.lamp.PowerW
		return p
	}
	p.sheet, p.outer = q.laid.rects[i], q.laid.outers[i]
	p.panel = l.panel(p.sheet)
	p.areaM2, p.outerM2 = l.areaM2, 4*p.outer.HalfU*p.outer.HalfV
	p.framed, p.sunny = l.frame != nil, q.sunny || l.specular()
	if goal := q.laid.goals[i]; l.specular() && len(q.s.sc.Directions) > 1 {
		p.goal = &goal
	}
	return p
}

// veilPiece is a framed cloth in its place.
func (s *setup) veilPiece(v *veil, role finding.Role, work, outer geom.Rect, panel light.Panel) *piece {
	panel.Corners = work.Corners()
	return &piece{
		role: role, face: v.fabric.FaceA, serves: shot.MainLabel, items: v.counts(), massKg: v.massKg,
		sheet: work, outer: outer, panel: panel, areaM2: v.areaM2, outerM2: 4 * outer.HalfU * outer.HalfV, framed: true,
	}
}

// ends are the points at which a piece is held: the middles of a frame's upright sides (two on each side, half-way up
// and down, where the frame wants four), or the middle of a board or a lamp, on one stand.
func (s *setup) ends(p *piece) []geom.Vec {
	switch {
	case p.lamp != nil:
		return []geom.Vec{p.lamp.At}
	case !p.framed:
		return []geom.Vec{p.outer.Center}
	}
	arm, up := p.outer.U.Scale(p.outer.HalfU), p.outer.V.Scale(p.outer.HalfV/2)
	left, right := p.outer.Center.Sub(arm), p.outer.Center.Add(arm)
	if s.stock.Item(p.items[0].SKU).Spec.(*catalog.Frame).SupportsMin > uprightSupports {
		// No stand holds low down: the lower pair holds as low as stands do, or just under the upper one.
		drop := up.Scale(math.Min(2, math.Max(0.2, (p.outer.Center.Z+up.Z-lowHoldM)/math.Max(up.Z, 1e-9))))
		return []geom.Vec{left.Add(up), right.Add(up), left.Add(up).Sub(drop), right.Add(up).Sub(drop)}
	}
	return []geom.Vec{left, right}
}

// lowHoldM is how low a stand for heavy loads mostly holds (common practice, no source).
const lowHoldM = 1.4

// hold puts the cheapest stand that reaches, carries its share and finds room under each of the points.
func (s *setup) hold(p *piece, ends []geom.Vec) bool { return s.holdOn(p, ends, s.gear.stands) }

// holdOn is hold with some of the stands, in their order.
func (s *setup) holdOn(p *piece, ends []geom.Vec, stands []anchorage.Support) bool {
	st := s.sc.St
	p.masts = p.masts[:0]
	topM := p.topM()
	for _, at := range ends {
		found := false
		for i := range stands {
			w := &stands[i]
			used := 0
			for k := range p.masts {
				if p.masts[k].Support.Item == w.Item {
					used++
				}
			}
			if at.Z < w.Spec.LowestM || at.Z > w.Limits.HighestM || topM > w.Limits.TopM || p.massKg/float64(len(ends))*s.safety > w.Spec.SafeLoadKg ||
				s.left(w.Item.SKU)-used < 1 {
				continue
			}
			m, ok := anchorage.PutBase(st, at, w, &p.outer, p.masts)
			if !ok || !s.offZones(m.Base, w.Spec.FootprintM) {
				continue
			}
			p.masts, found = append(p.masts, m), true
			break
		}
		if !found {
			return false
		}
	}
	return true
}

// offZones says whether a circle of feet is off every further zone; putBase keeps it off the main one.
func (s *setup) offZones(base geom.Vec, footM float64) bool {
	for i := range s.zones {
		z := &s.zones[i]
		if !aside([]geom.Vec{base}, z.Mid, geom.Vec{X: z.Half.X + footM - stepOffM, Y: z.Half.Y + footM - stepOffM}) {
			return false
		}
	}
	return true
}

// inSun says whether a reflector is in the full light of the driver all through the window, as it is aimed for mid-window
// and, where it is aimed anew, as it is aimed then.
func (s *setup) inSun(p *piece) bool {
	if s.sc.Driver < 0 {
		return true
	}
	for _, way := range s.sunWays(p.outer.Center) {
		for _, r := range [2]geom.Rect{p.outer, p.aimed(way)} {
			if r.Normal().Dot(way) < leastCos {
				return false
			}
		}
		for _, ch := range s.choices {
			if s.shadedBy(p, func(geom.Vec) geom.Rect { return ch.Placed.Outer }, way) {
				return false
			}
		}
		for _, o := range s.pieces {
			if o != p && o.lamp == nil && s.shadedBy(p, o.aimed, way) {
				return false
			}
		}
	}
	return true
}

// shadedBy reports whether something stands between a reflector and the driver, both as printed and as aimed by then.
func (s *setup) shadedBy(p *piece, o func(way geom.Vec) geom.Rect, way geom.Vec) bool {
	there, then := p.outer, p.aimed(way)
	other := o(way)
	if h := &s.sc.Hard[s.sc.Driver]; h.At != nil {
		return shadesFrom(&other, &there, *h.At) || p.goal != nil && shadesFrom(&other, &then, *h.At)
	}
	return shades(&other, &there, way) || p.goal != nil && shades(&other, &then, way)
}

// aimed is a piece's sheet when the source stands in a direction: turned with it where it is aimed anew.
func (p *piece) aimed(way geom.Vec) geom.Rect {
	if p.goal == nil {
		return p.outer
	}
	sh := placement.Size{HalfU: p.outer.HalfU, HalfV: p.outer.HalfV, OutU: p.outer.HalfU, OutV: p.outer.HalfV}
	r, _ := sheetToward(p.outer.Center, halving(p.goal.Sub(p.outer.Center).Unit(), way), sh)
	return r
}

// sunWays are the directions to the driver over the window as seen from a point.
func (s *setup) sunWays(p geom.Vec) []geom.Vec {
	if h := &s.sc.Hard[s.sc.Driver]; h.At != nil {
		return []geom.Vec{h.At.Sub(p).Unit()}
	}
	return s.sc.Directions
}

// darkens says whether a piece would take the sun from a reflector that stands, at some instant of the window.
func (s *setup) darkens(p *piece) bool {
	if s.sc.Driver < 0 || p.lamp != nil {
		return false
	}
	for _, o := range s.pieces {
		if !o.sunny && o.goal == nil {
			continue
		}
		for _, way := range s.sunWays(o.outer.Center) {
			if s.shadedBy(o, p.aimed, way) {
				return true
			}
		}
	}
	return false
}
