package oracle

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/sizing"
)

// CheckHold holds what the wind does to a piece, and up to which gust it says it stands, to the same worked out from its
// corners, its supports and what holds them.
func CheckHold(s *Scene, p sizing.Piece, stock *catalog.Snapshot) []Violation {
	r, ok := rig(s, p, stock)
	if !ok {
		return []Violation{broken(RuleWind, 1, "%s: what holds it is not to be read: %v, lines %v", p.Role, p.Supports, p.Lines)}
	}
	bad := r.checkForce(s.Shot.GustMS)
	bad = append(bad, r.checkGusts()...)
	bad = append(bad, r.checkBallast(s.Shot.GustMS, stock)...)
	return append(bad, checkLines(&r, s)...)
}

// alike reports whether two numbers are the same but for rounding.
func alike(a, b float64) bool {
	return math.Abs(a-b) <= sameGust*math.Max(1, math.Max(math.Abs(a), math.Abs(b)))
}

// checkForce holds area, pressure, coefficient and force at the gust asked, the greater of the table's two rows.
func (r *rigged) checkForce(gustMS float64) []Violation {
	var bad []Violation
	h, role := r.piece.Hold, r.piece.Role
	wrong := func(what string, told, want float64) {
		bad = append(bad, broken(RuleWind, math.Abs(told-want), "%s: %s of %.6f told, %.6f found", role, what, told, want))
	}
	c := math.Max(pressedBy(r.tiltDeg), liftedBy(r.tiltDeg)) * r.reliefShare
	q := pressurePa(gustMS)
	// Corners are promised to a millimetre, so the area is the catalogue's own.
	if area := r.catalogueM2(); !alike(h.AreaM2, area) {
		wrong("an area", h.AreaM2, area)
	}
	if !alike(h.PressurePa, q) {
		wrong("a pressure", h.PressurePa, q)
	}
	if !alike(h.Coefficient, c) {
		wrong("a coefficient", h.Coefficient, c)
	}
	if force := h.Coefficient * h.PressurePa * h.AreaM2; !alike(h.ForceN, force) {
		wrong("a force", h.ForceN, force)
	}
	return bad
}

// catalogueM2 is the outer area that the catalogue has.
func (r *rigged) catalogueM2() float64 {
	switch {
	case r.found.frame != nil:
		return r.found.frame.OuterWidthM * r.found.frame.OuterHeightM
	case r.found.board != nil:
		return r.found.board.WidthM * r.found.board.HeightM
	}
	return r.areaM2
}

// checkGusts holds the four gusts and what goes first.
func (r *rigged) checkGusts() []Violation {
	var bad []Violation
	h, role, want := r.piece.Hold, r.piece.Role, r.gusts()
	for _, c := range []struct {
		what       string
		told, want float64
	}{{"safe to", h.SafeToMS, want.safeMS}, {"lower at", h.LowerAtMS, want.lowerMS}, {"watch at", h.WatchAtMS, want.watchMS}, {"goes at", h.GoesAtMS, want.goesMS}} {
		if !alike(c.told, c.want) {
			bad = append(bad, broken(RuleGust, math.Abs(c.told-c.want), "%s: %s %.6f m/s as told, %.6f m/s found (%v first, told %s of support %d)",
				role, c.what, c.told, c.want, want.first, h.Governs, h.Support))
		}
	}
	if !slices.ContainsFunc(want.first, func(c condition) bool { return c.governs == string(h.Governs) && c.support == h.Support }) {
		bad = append(bad, broken(RuleGust, 1, "%s: %s of support %d goes first as told, %v found", role, h.Governs, h.Support, want.first))
	}
	return bad
}

// mostBallast is how many bags or blocks lie on one support (common practice, no source).
const mostBallast = 6

// checkBallast holds the ballast of a piece: one kind on a support, laid out over legs and mast, on stands alone, and
// none that is not needed.
func (r *rigged) checkBallast(gustMS float64, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	holds := r.piece.Hold.LowerAtMS >= gustMS
	for i, m := range r.masts {
		b := m.sp.Ballast
		wrong := func(by float64, format string, args ...any) {
			bad = append(bad, broken(RuleBallast, by, "%s, support %d (%s): "+format, append([]any{r.piece.Role, i + 1, m.sp.SKU}, args...)...))
		}
		laid := m.sp.Legs*m.sp.EachLeg + m.sp.AtMast
		switch {
		case b.Quantity < 0 || b.Quantity > mostBallast:
			wrong(float64(b.Quantity-mostBallast), "%d of %s, at most %d", b.Quantity, b.SKU, mostBallast)
		case b.Quantity == 0:
			if laid != 0 || b.SKU != "" {
				wrong(1, "no ballast, yet %q, %d on each of %d legs and %d at the mast", b.SKU, m.sp.EachLeg, m.sp.Legs, m.sp.AtMast)
			}
			continue
		}
		if m.isMachine {
			wrong(1, "ballast on a machine")
		}
		if _, is := stock.Item(b.SKU).Spec.(*catalog.Ballast); !is {
			wrong(1, "%s is no ballast", b.SKU)
		}
		// Alike on the legs, as many as go.
		if laid != b.Quantity || m.sp.Legs != m.spec.Legs || m.sp.EachLeg != b.Quantity/m.spec.Legs {
			wrong(math.Abs(float64(laid-b.Quantity)), "%d of %s: %d on each of %d legs and %d at the mast, it has %d legs",
				b.Quantity, b.SKU, m.sp.EachLeg, m.sp.Legs, m.sp.AtMast, m.spec.Legs)
		}
		less := r.with(i, b.Quantity-1)
		if len(r.piece.Lines) > 0 {
			// The base stands as if there were no lines, unless six do not do.
			less = less.unguyed()
			if !r.unguyed().standsAt(i, gustMS) {
				if b.Quantity < mostBallast && holds {
					wrong(float64(mostBallast-b.Quantity), "%d of %s do not hold it without its lines, and there are not %d", b.Quantity, b.SKU, mostBallast)
				}
				continue
			}
		} else if !holds {
			continue
		}
		if less.standsAt(i, gustMS) {
			wrong(1, "%d of %s, %d hold %.4f m/s as well", b.Quantity, b.SKU, b.Quantity-1, gustMS)
		}
	}
	return bad
}

// with is the piece with so much ballast on one support.
func (r *rigged) with(i, quantity int) *rigged {
	c := *r
	c.masts = slices.Clone(r.masts)
	c.masts[i].sp.Ballast.Quantity = quantity
	return &c
}

// unguyed is the piece without its lines.
func (r *rigged) unguyed() *rigged {
	c := *r
	c.piece.Lines, c.guys = nil, nil
	return &c
}

// standsAt reports whether one support lets the piece be up in a gust: all its conditions hold with the factor, and without any in
// what the gust is the share of at which to lower.
func (r *rigged) standsAt(i int, gustMS float64) bool {
	at := gustMS * (1 - sameGust)
	fails := func(c condition) bool { return c.support == i && c.roomN < 0 }
	plain := *r
	plain.safety = 1
	return !slices.ContainsFunc(r.conditions(at), fails) && !slices.ContainsFunc(plain.conditions(at/lowerShare), fails)
}
