package lighting

import (
	"context"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/overhead"
)

// brace makes the pieces beside the overheads hold the gust, one after the other, where need be on other stands than the
// cheapest that reach: with its ballast a stand on wider feet may cost less, or hold what the other does not.
func (s *Setup) brace(ctx context.Context) {
	for _, p := range s.Pieces {
		s.take(p, -1)
		p.Anchorage = s.Secure(p, p, s.Holding.GustMS, s.Remaining, true)
		for i := range s.gear.stands {
			w := &s.gear.stands[i]
			bare := int64(len(p.Masts)) * w.Minor
			if ctx.Err() != nil || p.Anchorage.Holds && bare >= s.standing(p)+p.Anchorage.Minor+p.Anchorage.EffortMinor {
				break // they come cheapest first
			}
			if other, ok := s.onto(p, w, true); ok {
				p.Masts, p.Anchorage = other.Masts, other.Anchorage
			}
		}
		b := s.Held(p)
		p.Anchorage = s.Holding.Spare(&b, &p.Anchorage, s.Remaining)
		s.take(p, 1)
	}
}

// canHold reports whether a piece holds the gust beside all that is up, as it stands or on another kind of stand that finds
// room.
func (s *Setup) canHold(p *Piece) bool {
	now := *p
	if now.Anchorage = s.Secure(p, p, s.Holding.GustMS, s.Remaining, false); now.Anchorage.Holds {
		return true
	}
	for i := range s.gear.stands {
		w := &s.gear.stands[i]
		if !s.mayHold(p, w) {
			continue
		}
		if _, ok := s.onto(&now, w, false); ok {
			return true
		}
	}
	return false
}

// mayHold reports, without looking for room, whether a piece might hold the gust on a kind of stand: it never refuses one that
// holds, see [anchorage.Planner.AtBest].
func (s *Setup) mayHold(p *Piece, w *anchorage.Support) bool {
	b := s.Held(p)
	b.Masts = slices.Clone(b.Masts)
	for i := range b.Masts {
		b.Masts[i].Support = w
	}
	return s.Holding.AtBest(&b, s.takesRopes(p))
}

// takesRopes reports whether a piece may be held by ropes. A board on one stand hides the head of it: ropes from there would run
// through the board.
func (s *Setup) takesRopes(p *Piece) bool { return p.Lamp != nil || len(p.Masts) > 1 }

// standing returns what a piece's stands cost per day, in minor units.
func (s *Setup) standing(p *Piece) (minor int64) {
	for i := range p.Masts {
		minor += p.Masts[i].Support.Minor
	}
	return minor
}

// Secure returns what makes a piece hold a gust, in m/s, on the stands that it has; it stands, or would stand, in the place of one of
// the setup's. left is how many of an item remain in the house.
func (s *Setup) Secure(p, placeOf *Piece, gustMS float64, left func(sku string) int, longest bool) anchorage.Anchorage {
	b := s.Held(p)
	return s.Holding.Secure(&b, gustMS, s.Around(p, placeOf), left, longest)
}

// Around returns what the ropes of a piece have to keep clear of, all but the piece in whose place it stands; nil for one that
// gets none.
func (s *Setup) Around(p, placeOf *Piece) *anchorage.Surroundings {
	if !s.takesRopes(p) {
		return nil
	}
	own := p.Outer.Grow(-anchorage.TubeClearM)
	return &anchorage.Surroundings{Stage: s.Light.Stage, Cut: func(from, to geom.Vec) bool {
		if p.Lamp == nil && own.CutBy(from, to) {
			return true
		}
		for _, ch := range s.Rigs {
			if ch.Placed.Outer.CutBy(from, to) || anchorage.AmongFeet(to, ch.Masts()) {
				return true
			}
		}
		for _, o := range s.Pieces {
			if o != placeOf && o.inWayOf(from, to) {
				return true
			}
		}
		return false
	}}
}

// AroundRig returns what the ropes of one of the overheads have to keep clear of once everything is up.
func (s *Setup) AroundRig(r *overhead.Rig) *anchorage.Surroundings {
	out := r.Around(slices.DeleteFunc(slices.Clone(s.Rigs), func(o *overhead.Rig) bool { return o == r }))
	cut := out.Cut
	out.Cut = func(from, to geom.Vec) bool {
		return cut(from, to) || slices.ContainsFunc(s.Pieces, func(o *Piece) bool { return o.inWayOf(from, to) })
	}
	return out
}

// inWayOf reports whether a piece is in the way of a rope from a point to its anchor.
func (p *Piece) inWayOf(from, anchor geom.Vec) bool {
	return p.cutBy(from, anchor) || anchorage.AmongFeet(anchor, p.Masts)
}

// cutBy reports whether a rope would run through a piece's sheet, or in the heat of a lamp.
func (p *Piece) cutBy(from, to geom.Vec) bool {
	if p.Lamp != nil {
		return anchorage.InHeat(p.Lamp.At, from, to)
	}
	return p.Outer.CutBy(from, to)
}

// onto returns a piece put onto stands of another kind, where they find room and that holds the gust for less, or longer where
// neither holds it; without longest, where it holds the gust at all.
func (s *Setup) onto(p *Piece, w *anchorage.Support, longest bool) (other Piece, ok bool) {
	other = *p
	if !slices.ContainsFunc(p.Masts, func(m anchorage.Mast) bool { return m.Support.Item != w.Item }) {
		return other, false
	}
	other.Masts = nil
	other.Anchorage = anchorage.Anchorage{}
	if !s.standOn(&other, s.ends(p), []anchorage.Support{*w}) || !s.clearOf(&other, p) {
		return other, false
	}
	for i := range other.Masts {
		other.Masts[i].Support = w
	}
	other.Anchorage = s.Secure(&other, p, s.Holding.GustMS, s.Remaining, longest && !p.Anchorage.Holds)
	if !longest {
		return other, other.Anchorage.Holds
	}
	mine, theirs := other.Anchorage, p.Anchorage
	mine.Minor += s.standing(&other)
	theirs.Minor += s.standing(p)
	return other, mine.Better(&theirs)
}

// Held returns a piece as what is to be held in the wind.
func (s *Setup) Held(p *Piece) anchorage.Piece {
	if p.Lamp != nil {
		return anchorage.Piece{
			Outer: anchorage.Boxed(s.stock.Item(p.Items[0].SKU).PackedM3, p.Lamp.At), Solidity: 1, Round: true, MassKg: p.MassKg, Masts: p.Masts,
		}
	}
	out := anchorage.Piece{Outer: p.Outer, Solidity: 1, MassKg: p.MassKg, Masts: p.Masts}
	for _, c := range p.Items {
		switch spec := s.stock.Item(c.SKU).Spec.(type) {
		case *catalog.Frame:
			out.HouseMS = spec.GustLimitMS
		case *catalog.Fabric:
			out.Solidity = anchorage.SolidityOf(spec)
		}
	}
	return out
}
