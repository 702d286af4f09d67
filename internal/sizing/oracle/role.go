package oracle

import (
	"math"
	"math/big"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// softens reports whether pieces of a role are there to stop hard light.
func softens(r finding.Role) bool { return r == finding.RoleOverhead || r == finding.RoleSide }

// softeners are an option's overheads and sides.
func softeners(o sizing.Option) []sizing.Piece {
	var list []sizing.Piece
	for _, p := range o.Pieces {
		if softens(p.Role) {
			list = append(list, p)
		}
	}
	return list
}

// openingArea is the total area of the openings of an option's overheads and sides, m².
func openingArea(o sizing.Option, stock *catalog.Snapshot) float64 {
	sum := 0.0
	for _, p := range softeners(o) {
		sum += sheetArea(p, stock)
	}
	return sum
}

// wholeArea is the total area of the openings and boards of all of an option's pieces, m².
func wholeArea(o sizing.Option, stock *catalog.Snapshot) float64 {
	sum := 0.0
	for _, p := range o.Pieces {
		sum += sheetArea(p, stock)
	}
	return sum
}

// sheetArea is the area of a piece's opening or board, m²; 0 for a lamp.
func sheetArea(p sizing.Piece, stock *catalog.Snapshot) float64 {
	w, h := sheetSize(p, stock)
	return w * h
}

// sheetSize is the width and height of a piece's opening or board as the catalogue has them, metres.
func sheetSize(p sizing.Piece, stock *catalog.Snapshot) (w, h float64) {
	switch found, _ := partsOf(p, stock); {
	case found.frame != nil:
		return found.frame.OpeningWidthM, found.frame.OpeningHeightM
	case found.board != nil:
		return found.board.WidthM, found.board.HeightM
	}
	return 0, 0
}

// unshaded is an option without the shades on its lens, which count for nothing in a comparison: its pieces and its mass alone.
func unshaded(o sizing.Option, stock *catalog.Snapshot) sizing.Option {
	var shades []sizing.Piece
	rest := slices.DeleteFunc(slices.Clone(o.Pieces), func(p sizing.Piece) bool {
		if p.Role == finding.RoleCameraShade {
			shades = append(shades, p)
		}
		return p.Role == finding.RoleCameraShade
	})
	o.Pieces = rest
	for sku, n := range used(sizing.Option{Pieces: shades}) {
		o.Load.MassKg -= float64(n) * stock.Item(sku).MassKg
	}
	return o
}

// plainHire is an option's hire without the shades on its lens, in minor units.
func plainHire(o sizing.Option, stock *catalog.Snapshot, on catalog.Date) (*big.Int, bool) {
	whole, ok := minorUnits(o.Kit.PerDay)
	if !ok {
		return nil, false
	}
	for _, p := range o.Pieces {
		if p.Role != finding.RoleCameraShade {
			continue
		}
		hire, err := Hire(p, stock, on)
		if err != nil {
			return nil, false
		}
		whole.Sub(whole, hire)
	}
	return whole, true
}

// people is how many an option takes in all without the shades on its lens, at least and at most.
func people(s *Scene, o sizing.Option, stock *catalog.Snapshot) (least, most int) {
	rest := unshaded(o, stock)
	if len(rest.Pieces) == len(o.Pieces) {
		return o.Crew.Total, o.Crew.Total
	}
	o = rest
	tasks, machines, mains, ok := tasksOf(s, o, stock)
	switch {
	case !ok: // told by CheckHold
		return 0, math.MaxInt
	case len(tasks) == 0:
		return 0, 0
	}
	electricians := (mains + lampsPerHand - 1) / lampsPerHand
	all := func(jobs []job) int {
		raise, hold, lead := bestMoment(jobs), staying(jobs), 1
		if machines == 0 && raise <= liftingLead && max(1, hold)+electricians <= liftingLead {
			lead = 0
		}
		return machines + max(raise+lead, max(1, hold+lead)+electricians)
	}
	return all(jobsAtLeast(tasks)), all(jobsAtMost(tasks))
}

// byPreference is by how much an option is worse than another in what the shot prefers, in m², minor units, kg or hands; 0
// where they are alike. Shades on the lens do not count.
func byPreference(s *Scene, a, b sizing.Option, stock *catalog.Snapshot, on catalog.Date) float64 {
	const sameM2 = 1e-9
	costA, okA := plainHire(a, stock, on)
	costB, okB := plainHire(b, stock, on)
	leastA, mostA := people(s, a, stock)
	leastB, mostB := people(s, b, stock)
	a, b = unshaded(a, stock), unshaded(b, stock)
	switch s.Shot.Prefer {
	case shot.PreferSmallest:
		if by := openingArea(a, stock) - openingArea(b, stock); math.Abs(by) > sameM2 {
			return by
		}
		if by := wholeArea(a, stock) - wholeArea(b, stock); math.Abs(by) > sameM2 {
			return by
		}
	case shot.PreferCheapest:
		if okA && okB {
			return float64(costA.Int64() - costB.Int64())
		}
	case shot.PreferLightest:
		if by := a.Load.MassKg - b.Load.MassKg; math.Abs(by) > sameM2 {
			return by
		}
	case shot.PreferFewestHands:
		if leastA != mostA || leastB != mostB || leastA != leastB {
			return math.Max(0, float64(leastA-mostB)) // where it is not known to a person, the rest does not decide
		}
		if by := a.Load.MassKg - b.Load.MassKg; math.Abs(by) > sameM2 {
			return by
		}
		if by := openingArea(a, stock) - openingArea(b, stock); math.Abs(by) > sameM2 {
			return by
		}
		if by := wholeArea(a, stock) - wholeArea(b, stock); math.Abs(by) > sameM2 {
			return by
		}
		if okA && okB {
			return float64(costA.Int64() - costB.Int64())
		}
	}
	return 0
}
