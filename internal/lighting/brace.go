package lighting

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
func (s *Setup) brace(ctx context.Context) {
	for _, p := range s.Pieces {
		s.take(p, -1)
		p.Anchorage = s.Secure(p, p, s.Holding.GustMS, s.Remaining)
		for i := range s.gear.stands {
			w := &s.gear.stands[i]
			bare := int64(len(p.Masts)) * w.Minor
			if ctx.Err() != nil || p.Anchorage.Holds && bare >= s.standing(p)+p.Anchorage.Minor {
				break // they come cheapest first
			}
			if other, ok := s.onto(p, w); ok {
				p.Masts, p.Anchorage = other.Masts, other.Anchorage
			}
		}
		s.take(p, 1)
	}
}

// canHold reports whether a piece holds the gust beside all that is up, as it stands or on another kind of stand that finds
// room.
func (s *Setup) canHold(p *Piece) bool {
	now := *p
	if now.Anchorage = s.Secure(p, p, s.Holding.GustMS, s.Remaining); now.Anchorage.Holds {
		return true
	}
	for i := range s.gear.stands {
		w := &s.gear.stands[i]
		if !s.mayHold(p, w) {
			continue
		}
		if other, ok := s.onto(&now, w); ok && other.Anchorage.Holds {
			return true
		}
	}
	return false
}

// mayHold reports, without looking for room, whether a piece might hold the gust on a kind of stand: it never refuses one that
// holds, see [anchorage.Planner.AtBest].
func (s *Setup) mayHold(p *Piece, w *anchorage.Support) bool {
	var room [rigging.MaxSupports]rigging.Support
	b := s.RiggingPiece(p, &room)
	for i := range p.Masts {
		room[i] = w.InWind(p.Masts[i].Held.Z, 0)
	}
	return s.Holding.AtBest(&b, s.linesFor(p)).Holds
}

// linesFor returns the fewest lines that a piece gets where they have room; see guyings.
func (s *Setup) linesFor(p *Piece) int {
	if p.Lamp == nil && len(p.Masts) == 1 {
		return 0
	}
	return anchorage.FewestLines(len(p.Masts))
}

// standing returns what a piece's stands cost per day, in minor units.
func (s *Setup) standing(p *Piece) (minor int64) {
	for i := range p.Masts {
		minor += p.Masts[i].Support.Minor
	}
	return minor
}

// Secure returns what makes a piece hold a gust, in m/s, on the stands that it has; it stands, or would stand, in the place of one of
// the setup's. left is how many of an item remain in the house.
func (s *Setup) Secure(p, placeOf *Piece, gustMS float64, left func(sku string) int) anchorage.Anchorage {
	var room [rigging.MaxSupports]rigging.Support
	b := s.RiggingPiece(p, &room)
	return s.Holding.Secure(&b, gustMS, func() []anchorage.LineSet { return s.guyings(p, placeOf) }, left)
}

// guyings returns the layouts of lines that find room about a piece, past all but the one in whose place it stands. A board on one
// stand hides the head of it: lines from there would run through the board.
func (s *Setup) guyings(p, placeOf *Piece) []anchorage.LineSet {
	if p.Lamp == nil && len(p.Masts) == 1 {
		return nil
	}
	own := p.Outer.Grow(-anchorage.TubeClearM)
	return anchorage.LineSets(s.Light.Stage, p.Masts, &p.Outer, func(from, to geom.Vec) bool {
		if p.Lamp == nil && own.CutBy(from, to) {
			return true
		}
		for _, ch := range s.Rigs {
			if ch.Placed.Outer.CutBy(from, to) || anchorage.AmongFeet(to, ch.Masts()) {
				return true
			}
		}
		for _, o := range s.Pieces {
			if o != placeOf && (o.Lamp == nil && o.Outer.CutBy(from, to) || anchorage.AmongFeet(to, o.Masts)) {
				return true
			}
		}
		return false
	})
}

// onto returns a piece put onto stands of another kind, where they find room and that holds the gust for less, or longer where
// neither holds it.
func (s *Setup) onto(p *Piece, w *anchorage.Support) (other Piece, ok bool) {
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
	other.Anchorage = s.Secure(&other, p, s.Holding.GustMS, s.Remaining)
	mine, theirs := other.Anchorage, p.Anchorage
	mine.Minor += s.standing(&other)
	theirs.Minor += s.standing(p)
	return other, mine.Better(&theirs)
}

// RiggingPiece returns a piece as package rigging takes it; room is memory for its supports.
func (s *Setup) RiggingPiece(p *Piece, room *[rigging.MaxSupports]rigging.Support) rigging.Piece {
	if p.Lamp != nil {
		return s.Holding.Piece(rigging.BoxPanel(s.stock.Item(p.Items[0].SKU).PackedM3, p.Lamp.At.Z), p.MassKg, 0, p.Masts, room)
	}
	house, solidity := 0.0, 1.0
	for _, c := range p.Items {
		switch spec := s.stock.Item(c.SKU).Spec.(type) {
		case *catalog.Frame:
			house = spec.GustLimitMS
		case *catalog.Fabric:
			solidity = anchorage.SolidityOf(spec)
		}
	}
	return s.Holding.Piece(rigging.PanelOf(&p.Outer, solidity), p.MassKg, house, p.Masts, room)
}
