package oracle

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/sizing"
)

// tubeReachM is how far along or beside the tube from the very point of the frame's outer edge a support may take
// hold, metres: about a clamp's width and the tube's own.
const tubeReachM = 0.15

// levelTolM is how much two sides' middles may differ in height and still count as level, metres.
const levelTolM = 0.01

// attachments lists the ways in which a number of supports may hold a frame, each a list of points on its outer edge:
// four at the corners, or two at the middles of opposite sides that are equally high.
func attachments(p plate, count int) [][]vec {
	switch count {
	case 4:
		return [][]vec{p.outline()}
	case 2:
		var ways [][]vec
		for _, pair := range [][]vec{
			{p.centre.along(p.e1, -p.outer1), p.centre.along(p.e1, p.outer1)},
			{p.centre.along(p.e2, -p.outer2), p.centre.along(p.e2, p.outer2)},
		} {
			if math.Abs(pair[0].z-pair[1].z) < levelTolM {
				ways = append(ways, pair)
			}
		}
		return ways
	}
	return nil
}

// hold is the point that a support holds: its arm's end, or its mast's top.
func hold(sp sizing.Support) vec {
	if sp.Arm != nil {
		return fromGeom(sp.Arm[1])
	}
	top := fromGeom(sp.Base)
	top.z = sp.HeightM
	return top
}

// worstHold is the greatest distance from a point to be held to the support that holds it, over the best pairing of
// supports and points (at most four, so every pairing is tried).
func worstHold(points, holds []vec) float64 {
	if len(points) == 0 {
		return 0
	}
	best := math.Inf(1)
	for i, h := range holds {
		rest := append(append([]vec{}, holds[:i]...), holds[i+1:]...)
		best = math.Min(best, math.Max(points[0].far(h), worstHold(points[1:], rest)))
	}
	return best
}

// CheckSupports holds a piece's supports to what the frame allows and to what the stands can do.
func CheckSupports(s *Scene, p sizing.Piece, pl plate, found parts, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	n, f := len(p.Supports), found.frame
	if n < f.SupportsMin || n > f.SupportsMax {
		bad = append(bad, broken(RuleSupport, float64(n), "%s: %d supports, the frame takes %d to %d", p.Role, n, f.SupportsMin, f.SupportsMax))
	}
	ways := attachments(pl, n)
	holds := make([]vec, n)
	for i, sp := range p.Supports {
		holds[i] = hold(sp)
	}
	gap := math.Inf(1)
	for _, points := range ways {
		gap = math.Min(gap, worstHold(points, holds))
	}
	return append(bad, checkHeld(s, p, found, gap, stock)...)
}

// checkHeld holds the supports of a piece, the worst of which misses what it holds by a gap, each to its share of the mass.
func checkHeld(s *Scene, p sizing.Piece, found parts, gap float64, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	n := len(p.Supports)
	if gap > tubeReachM+placeTolM {
		bad = append(bad, broken(RuleSupport, gap-tubeReachM, "%s: a support of %d holds %.4f m from where it can be held", p.Role, n, gap))
	}
	for i, sp := range p.Supports {
		bad = append(bad, checkSupport(s, p, i, sp, found.massKg/float64(n), stock)...)
	}
	return bad
}

func checkSupport(s *Scene, p sizing.Piece, i int, sp sizing.Support, shareKg float64, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	wrong := func(by float64, format string, args ...any) {
		bad = append(bad, broken(RuleSupport, by, "%s, support %d (%s): "+format, append([]any{p.Role, i + 1, sp.SKU}, args...)...))
	}
	item := stock.Item(sp.SKU)
	if item == nil {
		wrong(1, "the house has none")
		return bad
	}
	spec, ok := item.Spec.(*catalog.Support)
	if !ok {
		wrong(1, "is a %s", item.Kind())
		return bad
	}
	base := fromGeom(sp.Base)
	if base.z != 0 {
		wrong(math.Abs(base.z), "the base is %.4f m over the ground", base.z)
	}
	if sp.HeightM < spec.LowestM-placeTolM || sp.HeightM > spec.HighestM+placeTolM {
		wrong(math.Max(spec.LowestM-sp.HeightM, sp.HeightM-spec.HighestM), "%.4f m high, it goes from %.3f to %.3f m", sp.HeightM, spec.LowestM, spec.HighestM)
	}
	if off := math.Abs(sp.FootprintM - spec.FootprintM); off > 1e-9 {
		wrong(off, "footprint %.4f m, the catalogue's is %.4f m", sp.FootprintM, spec.FootprintM)
	}
	for _, z := range s.zones() {
		if out := z.beyond(base); out < spec.FootprintM-placeTolM {
			wrong(spec.FootprintM-out, "feet of radius %.3f m stand %.4f m from zone %s", spec.FootprintM, out, z.label)
		}
	}
	if allowed := spec.SafeLoadKg / s.Shot.SafetyFactor; shareKg > allowed+1e-9 {
		wrong(shareKg-allowed, "carries %.3f kg, safe is %.3f kg over %.2f", shareKg, spec.SafeLoadKg, s.Shot.SafetyFactor)
	}
	if sp.Arm == nil {
		return bad
	}
	top := base
	top.z = sp.HeightM
	from, to := fromGeom(sp.Arm[0]), fromGeom(sp.Arm[1])
	if off := from.far(top); off > placeTolM {
		wrong(off, "the arm begins %.4f m from the mast's top", off)
	}
	if fall := math.Abs(from.z - to.z); fall > placeTolM {
		wrong(fall, "the arm falls by %.4f m", fall)
	}
	if long := from.far(to); long > spec.ArmReachM+placeTolM {
		wrong(long-spec.ArmReachM, "the arm is %.4f m long, its reach %.4f m", long, spec.ArmReachM)
	}
	return bad
}
