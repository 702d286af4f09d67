package oracle

import (
	"math"
	"math/rand/v2"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// SlackM is by how much every condition must be more than kept for a find to count against the engine, metres.
const SlackM = 0.02

// Find is a placement that the search found.
type Find struct {
	SKU    string
	SlackM float64 // that every condition on the frame itself has
	Piece  sizing.Piece
}

// maxTries is how many placements of one frame are tried with real stands before the search gives up on it.
const maxTries = 240

// Place looks for a placement of a frame that stops the given sources with at least the given slack on every
// condition, held by the stands of the house. What it returns as whole passes all checks of a piece with allowances
// that much stricter. bare is the best placement of the frame alone, as if it could hang by itself up to the height of the tallest
// stand; nil where not even that is found.
func (h *Search) Place(sku string, covers []string, slackM float64) (whole, bare *Find) {
	item := h.stock.Item(sku)
	f, ok := item.Spec.(*catalog.Frame)
	if !ok || item.Owned < 1 {
		return nil, nil
	}
	cloth := h.heaviestCloth(f)
	if cloth == nil {
		return nil, nil
	}
	l, ok := h.limitsOf(f, item.MassKg+cloth.MassKg)
	if !ok {
		return nil, nil
	}
	spots := h.spots(f, covers, l, slackM)
	for i, sp := range spots {
		if bare == nil {
			bare = &Find{SKU: sku, SlackM: sp.slack, Piece: h.piece(item, cloth, sp, covers, nil)}
		}
		if i == maxTries {
			break
		}
		supports := h.stand(f, item.MassKg+cloth.MassKg, sp.plate(), slackM)
		if supports == nil {
			continue
		}
		found := &Find{SKU: sku, SlackM: sp.slack, Piece: h.piece(item, cloth, sp, covers, supports)}
		if len(h.Doubts(found, slackM)) == 0 {
			return found, bare
		}
	}
	return nil, bare
}

// Doubts holds a find to all checks of a piece under allowances stricter by the slack; empty where it passes.
func (h *Search) Doubts(f *Find, slackM float64) []Violation {
	strict := *h.scene
	strict.Shot.Allowance.CoverM += slackM
	strict.Shot.Allowance.ViewM += slackM
	strict.Shot.Allowance.HeadM += slackM
	return CheckPiece(&strict, f.Piece, h.stock, rand.New(rand.NewPCG(1, 1)))
}

// heaviestCloth is the heaviest diffusion that the house has for a frame, so that a find does not hang on which one the
// engine takes; nil where there is none.
func (h *Search) heaviestCloth(f *catalog.Frame) *catalog.Item {
	var heaviest *catalog.Item
	for i := range h.stock.Items() {
		item := &h.stock.Items()[i]
		c, ok := item.Spec.(*catalog.Fabric)
		if !ok || c.Use != catalog.UseDiffusion || item.Owned < 1 {
			continue
		}
		fits := c.FitsWidthM == f.OpeningWidthM && c.FitsHeightM == f.OpeningHeightM ||
			c.FitsWidthM == f.OpeningHeightM && c.FitsHeightM == f.OpeningWidthM
		if fits && (heaviest == nil || item.MassKg > heaviest.MassKg) {
			heaviest = item
		}
	}
	return heaviest
}

// limitsOf is how high the stands of the house can hold a frame of a mass; ok is false where none can carry it.
func (h *Search) limitsOf(f *catalog.Frame, massKg float64) (l limits, ok bool) {
	l = limits{coverM: h.scene.Shot.Allowance.CoverM, corners: f.SupportsMin > 2, heldTo: math.Inf(-1)}
	for _, item := range h.stands(massKg / float64(f.SupportsMax)) {
		l.heldTo = math.Max(l.heldTo, item.Spec.(*catalog.Support).HighestM)
	}
	return l, !math.IsInf(l.heldTo, -1)
}

// stands are the house's stands that carry a mass each with the shot's safety factor.
func (h *Search) stands(shareKg float64) []*catalog.Item {
	var list []*catalog.Item
	for i := range h.stock.Items() {
		item := &h.stock.Items()[i]
		spec, ok := item.Spec.(*catalog.Support)
		if ok && spec.Class == catalog.ClassStand && item.Owned > 0 && spec.SafeLoadKg >= shareKg*h.scene.Shot.SafetyFactor {
			list = append(list, item)
		}
	}
	return list
}

// nearPerClimb is how many near misses are kept for each place that is climbed from: many lie side by side.
const nearPerClimb = 12

// spots are the turns of the lattice, and the local bests of the best of them, at which a frame keeps every condition of
// its own with more than the slack; most slack first.
func (h *Search) spots(f *catalog.Frame, covers []string, l limits, slackM float64) []spot {
	a, turns := h.orients(covers)
	// Turns that fail by less than this are kept to climb from: a step of the lattice moves an edge some decimetres.
	const nearM = 0.4
	var list []spot
	floor := slackM - nearM
	near := make([]float64, 0, h.fine.Refined*nearPerClimb) // the best slacks so far, ascending
	for i := range turns {
		for _, z := range sizes(f) {
			sp, ok := h.best(&turns[i], z, l, floor)
			if !ok {
				continue
			}
			list = append(list, sp)
			if len(near) == cap(near) {
				near = slices.Delete(near, 0, 1)
			}
			at, _ := slices.BinarySearch(near, sp.slack)
			if near = slices.Insert(near, at, sp.slack); len(near) == cap(near) {
				floor = math.Max(floor, math.Min(near[0], slackM))
			}
		}
	}
	bySlack := func(a, b spot) int {
		switch {
		case a.slack > b.slack:
			return -1
		case a.slack < b.slack:
			return 1
		}
		return 0
	}
	slices.SortStableFunc(list, bySlack)
	for _, sp := range apart(list, h.fine.Refined, 2*h.fine.StepDeg) {
		list = append(list, h.climb(a, sp, l))
	}
	slices.SortStableFunc(list, bySlack)
	end := slices.IndexFunc(list, func(sp spot) bool { return sp.slack <= slackM })
	if end < 0 {
		end = len(list)
	}
	return list[:end]
}

// apart takes the first few of a list that are turned at least some degrees from each other or lie the other way round.
func apart(list []spot, n int, deg float64) []spot {
	var kept []spot
	for _, sp := range list {
		near := slices.ContainsFunc(kept, func(k spot) bool {
			return k.size.swapped == sp.size.swapped && angleDeg(k.o.n, sp.o.n) < deg
		})
		if !near {
			kept = append(kept, sp)
		}
		if len(kept) == n {
			break
		}
	}
	return kept
}

// climb follows a spot to the local best by halving steps of yaw, tilt and parting plane.
func (h *Search) climb(a *aim, sp spot, l limits) spot {
	turn := h.fine.StepDeg / 2
	part := math.Pi / float64(h.fine.Sides)
	for turn > 0.1 {
		better := false
		for _, d := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {0, 0}} {
			tilt := math.Min(sp.o.tiltDeg+d[1]*turn, 90)
			yaw := sp.o.yawDeg
			if tilt < 0 {
				tilt, yaw = -tilt, yaw+180
			}
			// Near the level a yaw of one step turns the normal less than a tilt does; widen it, but not over a quarter.
			yaw += d[0] * math.Min(turn/math.Max(math.Sin(tilt*math.Pi/180), 0.05), 20)
			o, ok := a.newOrient(yaw, tilt)
			if !ok {
				continue
			}
			if next, ok := h.best(&o, sp.size, l, sp.slack+1e-6, sp.theta-part, sp.theta, sp.theta+part); ok {
				sp, better = next, true
			}
		}
		if !better {
			turn, part = turn/2, part/2
		}
	}
	return sp
}

// piece writes a spot down as the engine would.
func (h *Search) piece(item, cloth *catalog.Item, sp spot, covers []string, supports []sizing.Support) sizing.Piece {
	f, pl := item.Spec.(*catalog.Frame), sp.plate()
	p := sizing.Piece{
		Role: finding.RoleOverhead, Face: cloth.Spec.(*catalog.Fabric).FaceA, Serves: "main", Covers: covers,
		Items:       []catalog.Count{{SKU: item.SKU, Quantity: 1}, {SKU: cloth.SKU, Quantity: 1}},
		OuterAreaM2: f.OuterWidthM * f.OuterHeightM,
		Supports:    supports,
	}
	for i, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		p.Corners[i] = toGeom(pl.corner(s[0], s[1], false))
	}
	c := castAll(h.scene, pl, covers, h.scene.Shot.Allowance.CoverM, rand.New(rand.NewPCG(1, 1)))
	p.MarginM = c.LeastM
	p.ViewClearanceM, _ = h.scene.View.leastOfPiece(p, pl)
	return p
}
