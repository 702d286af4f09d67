package oracle

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/sizing"
)

// cutBy reports whether a segment goes through the sheet, tubes and all.
func (p plate) cutBy(a, b vec) bool {
	d := b.minus(a)
	if d.length() < 1e-9 {
		return false
	}
	// A hair is left off both ends: what only touches does not cut.
	d = d.times(1 - 2*trimM/math.Max(d.length(), 3*trimM))
	return p.stops(a.along(b.minus(a).unit(), trimM), d, 1)
}

// cuts reports whether two sheets go through each other: an edge of one goes through the other.
func (p plate) cuts(q plate) bool {
	for _, pair := range [2][2]plate{{p, q}, {q, p}} {
		c := pair[1].outline()
		for i := range c {
			if pair[0].cutBy(c[i], c[(i+1)%4]) {
				return true
			}
		}
	}
	return false
}

// poles are the mast and the arm of a support.
func poles(sp sizing.Support) [][2]vec {
	base := fromGeom(sp.Base)
	top := base
	top.z = sp.HeightM
	list := [][2]vec{{base, top}}
	if sp.Arm != nil {
		list = append(list, [2]vec{fromGeom(sp.Arm[0]), fromGeom(sp.Arm[1])})
	}
	return list
}

// CheckApart keeps an option's pieces out of each other: no sheet goes through another, no mast or arm of one through the
// sheet of another, and no mast stands among the feet of another, of its own piece or of a further one; a machine's chassis
// fills the circle of its feet, so that nobody's feet are in that.
func CheckApart(o sizing.Option, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	pieces := standingIn(o, stock)
	name := func(p standing) string { return string(p.Role) + " of " + p.Items[0].SKU }
	for i, p := range pieces {
		for k, q := range pieces {
			if i < k && p.sheet() && q.sheet() && p.plate.cuts(q.plate) {
				bad = append(bad, broken(RuleApart, 1, "%s: the %s at %v cuts the %s at %v", o.Label, name(p), p.plate, name(q), q.plate))
			}
			for n, sp := range p.Supports {
				for m, other := range q.Supports {
					feet := math.Max(sp.FootprintM, other.FootprintM)
					if machine(stock, sp.SKU) || machine(stock, other.SKU) {
						feet = sp.FootprintM + other.FootprintM
					}
					if d := fromGeom(sp.Base).far(fromGeom(other.Base)); (i < k || i == k && n < m) && d < feet-placeTolM {
						bad = append(bad, broken(RuleApart, feet-d, "%s: the masts of the %s and of the %s stand %.3f m apart, must %.3f m", o.Label, name(p), name(q), d, feet))
					}
				}
				if i == k {
					continue
				}
				for _, pole := range poles(sp) {
					if q.sheet() && q.plate.cutBy(pole[0], pole[1]) {
						bad = append(bad, broken(RuleApart, 1, "%s: a %s that holds the %s goes through the %s at %v", o.Label, sp.SKU, name(p), name(q), q.plate))
					}
				}
			}
		}
	}
	return bad
}

// machine reports whether a support is a lifting machine.
func machine(stock *catalog.Snapshot, sku string) bool {
	spec, ok := stock.Item(sku).Spec.(*catalog.Support)
	return ok && spec.Class == catalog.ClassMachine
}
