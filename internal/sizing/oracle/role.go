package oracle

import (
	"math"

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

// byPreference is by how much an option is worse than another in what the shot prefers, in m², minor units, kg or hands; 0
// where they are alike.
func byPreference(prefer string, a, b sizing.Option, stock *catalog.Snapshot) float64 {
	const sameM2 = 1e-9
	switch prefer {
	case shot.PreferSmallest:
		if by := openingArea(a, stock) - openingArea(b, stock); math.Abs(by) > sameM2 {
			return by
		}
		if by := wholeArea(a, stock) - wholeArea(b, stock); math.Abs(by) > sameM2 {
			return by
		}
	case shot.PreferCheapest:
		costA, okA := minorUnits(a.Kit.PerDay)
		costB, okB := minorUnits(b.Kit.PerDay)
		if okA && okB {
			return float64(costA.Int64() - costB.Int64())
		}
	case shot.PreferLightest:
		if by := a.Load.MassKg - b.Load.MassKg; math.Abs(by) > sameM2 {
			return by
		}
	case shot.PreferFewestHands:
		if by := a.Crew.Total - b.Crew.Total; by != 0 {
			return float64(by)
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
		costA, okA := minorUnits(a.Kit.PerDay)
		costB, okB := minorUnits(b.Kit.PerDay)
		if okA && okB {
			return float64(costA.Int64() - costB.Int64())
		}
	}
	return 0
}
