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
		if machines == 0 && !slices.ContainsFunc(tasks, func(t task) bool { return t.held }) && raise <= liftingLead && max(1, hold)+electricians <= liftingLead {
			lead = 0
		}
		return machines + max(raise+lead, max(1, hold+lead)+electricians)
	}
	return all(jobsAtLeast(tasks)), all(jobsAtMost(tasks))
}

// byPreference is by how much an option is worse than another in what the shot prefers, in m², minor units, kg, hands or minutes; 0
// where they are alike. The shade on the lens has no area that counts.
func byPreference(s *Scene, a, b sizing.Option, stock *catalog.Snapshot) float64 {
	const same = 1e-9
	totalA, okA := minorUnits(a.TotalPerDay)
	totalB, okB := minorUnits(b.TotalPerDay)
	if !okA || !okB {
		return 0
	}
	total := float64(totalA.Int64() - totalB.Int64())
	opening := openingArea(a, stock) - openingArea(b, stock)
	kg, people := a.Load.MassKg-b.Load.MassKg, float64(a.Crew.Total-b.Crew.Total)
	var order []float64
	switch s.Shot.Prefer {
	case shot.PreferSmallest:
		order = []float64{opening, wholeArea(unshaded(a, stock), stock) - wholeArea(unshaded(b, stock), stock), total}
	case shot.PreferCheapest:
		order = []float64{total, opening, kg, people}
	case shot.PreferLightest:
		order = []float64{kg, opening, total, people}
	case shot.PreferFewestHands:
		order = []float64{people, float64(workMinutes(&a) - workMinutes(&b)), total, kg}
	}
	for _, by := range order {
		if math.Abs(by) > same {
			return by
		}
	}
	return 0
}
