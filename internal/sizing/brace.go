package sizing

import (
	"context"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/rigging"
)

// brace makes the pieces beside the overheads hold the gust, one after the other, where need be on other stands than the
// cheapest that reach: with its ballast a stand on wider feet may cost less, or hold what the other does not.
func (s *setup) brace(ctx context.Context) {
	for _, p := range s.pieces {
		s.take(p, -1)
		p.anchorage = s.fasten(p, p, s.ties.GustMS, s.left)
		for i := range s.gear.stands {
			w := &s.gear.stands[i]
			bare := int64(len(p.masts)) * w.Minor
			if ctx.Err() != nil || p.anchorage.Holds && bare >= s.standing(p)+p.anchorage.Minor {
				break // they come cheapest first
			}
			if other, ok := s.onto(p, w); ok {
				p.masts, p.anchorage = other.masts, other.anchorage
			}
		}
		s.take(p, 1)
	}
}

// canHold reports whether a piece holds the gust beside all that is up, as it stands or on another kind of stand that finds
// room.
func (s *setup) canHold(p *piece) bool {
	now := *p
	if now.anchorage = s.fasten(p, p, s.ties.GustMS, s.left); now.anchorage.Holds {
		return true
	}
	for i := range s.gear.stands {
		w := &s.gear.stands[i]
		if !s.mayHold(p, w) {
			continue
		}
		if other, ok := s.onto(&now, w); ok && other.anchorage.Holds {
			return true
		}
	}
	return false
}

// mayHold reports, without looking for room, whether a piece might hold the gust on a kind of stand: what holds is never
// refused, see [anchorage.Planner.AtBest].
func (s *setup) mayHold(p *piece, w *anchorage.Support) bool {
	var room [rigging.MaxSupports]rigging.Support
	b := s.burden(p, &room)
	for i := range p.masts {
		room[i] = w.InWind(p.masts[i].Held.Z, 0)
	}
	return s.ties.AtBest(&b, s.linesFor(p)).Holds
}

// linesFor is the fewest lines that a piece gets where they have room; see [setup.guyings].
func (s *setup) linesFor(p *piece) int {
	if p.lamp == nil && len(p.masts) == 1 {
		return 0
	}
	return anchorage.LinesOn(len(p.masts))
}

// standing is what a piece's stands cost per day, in minor units.
func (s *setup) standing(p *piece) (minor int64) {
	for i := range p.masts {
		minor += p.masts[i].Support.Minor
	}
	return minor
}

// fasten is what makes a piece hold a gust on the stands that it has; it stands, or would stand, in the place of one of the
// setup's.
func (s *setup) fasten(p, placeOf *piece, gustMS float64, left func(sku string) int) anchorage.Anchorage {
	var room [rigging.MaxSupports]rigging.Support
	b := s.burden(p, &room)
	return s.ties.Secure(&b, gustMS, func() []anchorage.LineSet { return s.guyings(p, placeOf) }, left)
}

// guyings are the orders of lines that find room about a piece, past all but the one in whose place it stands. A board on one
// stand hides the head of it: lines from there would run through the board.
func (s *setup) guyings(p, placeOf *piece) []anchorage.LineSet {
	if p.lamp == nil && len(p.masts) == 1 {
		return nil
	}
	own := p.outer.Grow(-anchorage.TubeClearM)
	return anchorage.LineSets(s.sc.St, p.masts, &p.outer, func(from, to geom.Vec) bool {
		if p.lamp == nil && own.CutBy(from, to) {
			return true
		}
		for _, ch := range s.choices {
			if ch.Placed.Outer.CutBy(from, to) || anchorage.AmongFeet(to, ch.Masts()) {
				return true
			}
		}
		for _, o := range s.pieces {
			if o != placeOf && (o.lamp == nil && o.outer.CutBy(from, to) || anchorage.AmongFeet(to, o.masts)) {
				return true
			}
		}
		return false
	})
}

// onto is a piece put onto stands of another kind, where they find room and that holds the gust for less, or longer where
// neither holds it.
func (s *setup) onto(p *piece, w *anchorage.Support) (other piece, ok bool) {
	other = *p
	if !slices.ContainsFunc(p.masts, func(m anchorage.Mast) bool { return m.Support.Item != w.Item }) {
		return other, false
	}
	other.masts = nil
	other.anchorage = anchorage.Anchorage{}
	if !s.holdOn(&other, s.ends(p), []anchorage.Support{*w}) || !s.clearOf(&other, p) {
		return other, false
	}
	for i := range other.masts {
		other.masts[i].Support = w
	}
	other.anchorage = s.fasten(&other, p, s.ties.GustMS, s.left)
	mine, theirs := other.anchorage, p.anchorage
	mine.Minor += s.standing(&other)
	theirs.Minor += s.standing(p)
	return other, mine.Better(&theirs)
}

// burden is a piece as rigging reckons with it; room is memory for its supports.
func (s *setup) burden(p *piece, room *[rigging.MaxSupports]rigging.Support) rigging.Piece {
	if p.lamp != nil {
		return s.ties.Burden(rigging.BoxPanel(s.stock.Item(p.items[0].SKU).PackedM3, p.lamp.At.Z), p.massKg, 0, p.masts, room)
	}
	house, solidity := 0.0, 1.0
	for _, c := range p.items {
		switch spec := s.stock.Item(c.SKU).Spec.(type) {
		case *catalog.Frame:
			house = spec.GustLimitMS
		case *catalog.Fabric:
			solidity = anchorage.SolidityOf(spec)
		}
	}
	return s.ties.Burden(anchorage.PanelOf(&p.outer, solidity), p.massKg, house, p.masts, room)
}
