package oracle

import (
	"fmt"
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// Where lines run, metres and degrees: common practice, no source.
const (
	lineOffZoneM  = 0.5 // below head height
	lineOffLensM  = 1   // below head height, as seen from above
	anchorOffFeet = 0.4
	ownEdgeM      = 0.02 // a line starts at its own sheet's very edge
	turnTwoDeg    = 60
	turnFourDeg   = 30
	turnStepDeg   = 10
	angleTolDeg   = 0.05 // of places to a tenth of a millimetre over a metre and more
)

// lineAngles are the angles with the ground that lines are set at.
var lineAngles = []float64{30, 45, 60}

// checkLines holds a piece's lines one by one and in their order.
func checkLines(r *rigged, s *Scene) []Violation {
	if len(r.guys) == 0 {
		return nil
	}
	var bad []Violation
	for i, g := range r.guys {
		wrong := func(by float64, format string, args ...any) {
			bad = append(bad, broken(RuleLines, by, "%s, line %d (%s): "+format, append([]any{r.piece.Role, i + 1, g.SKU}, args...)...))
		}
		checkGuy(r, s, g, wrong)
		if first := r.guys[0]; math.Abs(g.slope-first.slope)*180/math.Pi > angleTolDeg {
			wrong(1, "at %.3f° with the ground, the first is at %.3f°", g.slope*180/math.Pi, first.slope*180/math.Pi)
		}
	}
	for i, m := range r.masts {
		if m.isMachine {
			bad = append(bad, broken(RuleLines, 1, "%s: lines on machine %d", r.piece.Role, i+1))
		}
	}
	if what := disorder(r); what != "" {
		bad = append(bad, broken(RuleLines, 1, "%s: %s", r.piece.Role, what))
	}
	return bad
}

func checkGuy(r *rigged, s *Scene, g guy, wrong func(by float64, format string, args ...any)) {
	from, to := fromGeom(g.From), fromGeom(g.To)
	head := fromGeom(r.masts[g.Support].sp.Base)
	head.z = r.masts[g.Support].sp.HeightM
	if off := from.far(head); off > placeTolM {
		wrong(off, "begins %.4f m from its mast's head", off)
	}
	if to.z != 0 {
		wrong(math.Abs(to.z), "ends %.4f m over the ground", to.z)
	}
	deg := g.slope * 180 / math.Pi
	if !slices.ContainsFunc(lineAngles, func(a float64) bool { return math.Abs(a-deg) <= angleTolDeg }) {
		wrong(1, "at %.3f° with the ground, none of %v", deg, lineAngles)
	}
	if short := g.lengthM + knotM - g.line.LengthM; short > placeTolM {
		wrong(short, "%.3f m long, its way is %.3f m", g.line.LengthM, g.lengthM)
	}
	switch stakes := s.Shot.GroundAnchor == shot.AnchorStakes && (s.Shot.Site.Ground == "grass" || s.Shot.Site.Ground == "soil"); {
	case g.anchor.Form == catalog.FormStake && !stakes:
		wrong(1, "a stake in %q, asked for %s", s.Shot.Site.Ground, s.Shot.GroundAnchor)
	case g.anchor.Form == catalog.FormStake && g.Anchor.Quantity != 1:
		wrong(math.Abs(float64(g.Anchor.Quantity-1)), "%d stakes", g.Anchor.Quantity)
	case g.anchor.Form == catalog.FormWeight && (g.Anchor.Quantity < 1 || g.Anchor.Quantity > mostOnLine):
		wrong(math.Abs(float64(g.Anchor.Quantity)), "%d weights, at most %d", g.Anchor.Quantity, mostOnLine)
	}
	if most := r.mostPull(g, s.Shot.GustMS); !(math.Abs(g.PullN-most) <= pullTol*math.Max(1, most)) {
		wrong(math.Abs(g.PullN-most), "pulls %.4f N as told, %.4f N found", g.PullN, most)
	}
	if d := s.View.leastOnSegment(from, to); d < s.Shot.Allowance.ViewM-placeTolM {
		wrong(s.Shot.Allowance.ViewM-d, "%.4f m from the view", d)
	}
	low := clipBelow([]vec{from, to}, func(p vec) float64 { return p.z - s.Shot.Allowance.HeadM })
	if d := fromSegment(plan(s.View.lens), plan(low[0]), plan(low[len(low)-1])); d < lineOffLensM-placeTolM {
		wrong(lineOffLensM-d, "%.4f m from the lens, as seen from above", d)
	}
	for _, z := range s.zones() {
		if d := z.off(low); d < lineOffZoneM-placeTolM {
			wrong(lineOffZoneM-d, "%.4f m from zone %s", d, z.label)
		}
	}
}

// pullTol is how near a pull is the same, as a share.
const pullTol = 1e-6

// plan is a point as seen from above.
func plan(p vec) vec { return vec{p.x, p.y, 0} }

// way is what a line does for its mast: its share ahead of the sheet and out over the end, from -1 to 1.
type way struct{ ahead, out float64 }

func (w way) turnDeg() float64 {
	return math.Acos(math.Min(1, math.Max(math.Abs(w.ahead), math.Abs(w.out)))) * 180 / math.Pi
}

// disorder says what is wrong with how a piece's lines stand about its masts; empty where nothing is.
func disorder(r *rigged) string {
	byMast := make([][]guy, len(r.masts))
	middle := vec{}
	for _, m := range r.masts {
		middle = middle.plus(hold(m.sp).times(1 / float64(len(r.masts))))
	}
	for _, g := range r.guys {
		byMast[g.Support] = append(byMast[g.Support], g)
	}
	ahead := up.cross(r.level)
	// What stands at one end and at the other is to be the same.
	var ends [2][]way
	for i, guys := range byMast {
		at := hold(r.masts[i].sp).minus(middle)
		side, out := 0, r.level
		if at.dot(r.level) < 0 {
			side, out = 1, r.level.times(-1)
		}
		var ways []way
		for _, g := range guys {
			ways = append(ways, way{g.flat.dot(ahead), g.flat.dot(out)})
		}
		if what := fault(len(r.masts), guys, ways, at.dot(ahead)); what != "" {
			return fmt.Sprintf("mast %d: %s", i+1, what)
		}
		ends[side] = append(ends[side], ways...)
	}
	if len(r.masts) == 1 {
		return ""
	}
	for _, w := range ends[0] {
		if !slices.ContainsFunc(ends[1], func(v way) bool { return math.Hypot(v.ahead-w.ahead, v.out-w.out) < angleTolDeg*math.Pi/180 }) {
			return fmt.Sprintf("a line at one end leads %.3f ahead and %.3f out, none at the other: %.3f", w.ahead, w.out, ends[1])
		}
	}
	if len(ends[0]) != len(ends[1]) {
		return fmt.Sprintf("%d lines at one end, %d at the other", len(ends[0]), len(ends[1]))
	}
	return ""
}

// fault is what is wrong with the lines of one of n masts, which stands so far ahead of the others' middle.
func fault(n int, guys []guy, ways []way, aheadM float64) string {
	mostDeg := float64(turnTwoDeg)
	fore, aft, end := 0, 0, 0
	for _, w := range ways {
		switch {
		case n == 4 && math.Abs(w.out) > math.Abs(w.ahead):
			if end++; w.out < 0 {
				return fmt.Sprintf("a line leads in under the sheet: %.3f", w)
			}
		case w.ahead > 0:
			fore++
		default:
			aft++
		}
	}
	switch n {
	case 1:
		return uneven(guys)
	case 2:
		if fore != 1 || aft != 1 {
			return fmt.Sprintf("%d lines fore and %d aft", fore, aft)
		}
		for i := range ways {
			ways[i].out = math.Copysign(math.Sqrt(math.Max(0, 1-ways[i].ahead*ways[i].ahead)), ways[i].out)
		}
	default:
		mostDeg = turnFourDeg
		if fore+aft != 1 || end != 1 {
			return fmt.Sprintf("%d lines fore, %d aft and %d over the end", fore, aft, end)
		}
		if math.Abs(aheadM) > 2*levelTolM && (fore == 1) != (aheadM > 0) {
			return fmt.Sprintf("%.3f m ahead, with %d lines fore and %d aft", aheadM, fore, aft)
		}
	}
	for _, w := range ways {
		deg := w.turnDeg()
		if n == 2 {
			deg = math.Acos(math.Min(1, math.Abs(w.ahead))) * 180 / math.Pi
		}
		if off := math.Abs(deg - turnStepDeg*math.Round(deg/turnStepDeg)); deg > mostDeg+angleTolDeg || off > angleTolDeg*4 {
			return fmt.Sprintf("a line is turned by %.3f°, at most %.0f° in steps of %d°", deg, mostDeg, turnStepDeg)
		}
	}
	return ""
}

// uneven says what is wrong with the lines around a single mast.
func uneven(guys []guy) string {
	if len(guys) != 3 && len(guys) != 4 {
		return fmt.Sprintf("%d lines around it", len(guys))
	}
	var deg []float64
	for _, g := range guys {
		deg = append(deg, math.Atan2(g.flat.x, g.flat.y)*180/math.Pi)
	}
	slices.Sort(deg)
	for i, d := range deg {
		next := deg[(i+1)%len(deg)]
		if gap := math.Mod(next-d+360, 360); math.Abs(gap-360/float64(len(deg))) > 2*angleTolDeg {
			return fmt.Sprintf("lines around it %.3f° apart", gap)
		}
	}
	return ""
}

// CheckLinesApart keeps an option's lines out of its sheets, and their anchors off everybody's feet.
func CheckLinesApart(o sizing.Option, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	pieces := standingIn(o, stock)
	for i, p := range pieces {
		for n, l := range p.Lines {
			from, to := fromGeom(l.From), fromGeom(l.To)
			for k, q := range pieces {
				sheet := q.plate
				if i == k {
					sheet.outer1, sheet.outer2 = sheet.outer1-ownEdgeM, sheet.outer2-ownEdgeM
				}
				if q.sheet() && sheet.cutBy(from, to) {
					bad = append(bad, broken(RuleLines, 1, "%s: line %d of the %s goes through the %s at %v", o.Label, n+1, p.Role, q.Role, q.plate))
				}
				for _, sp := range q.Supports {
					if i != k {
						break
					}
					if d := fromGeom(sp.Base).far(plan(to)) - sp.FootprintM; d < anchorOffFeet-placeTolM {
						bad = append(bad, broken(RuleLines, anchorOffFeet-d, "%s: the anchor of line %d of the %s is %.4f m from the feet of a %s of the %s",
							o.Label, n+1, p.Role, d, sp.SKU, q.Role))
					}
				}
			}
		}
	}
	return bad
}
