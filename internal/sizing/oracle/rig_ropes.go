package oracle

import (
	"fmt"
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	statics "kitspan/internal/rigging/oracle"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// Where ropes run, metres and degrees: common practice, no source.
const (
	ropeOffZoneM  = 0.5 // below head height
	ropeOffLensM  = 1   // below head height, as seen from above
	anchorOffFeet = 0.4
	ownEdgeM      = 0.02 // a rope starts at its own sheet's very edge
	knotM         = 0.5  // what a rope is longer than its way
	longestPullM  = 0.05 // of an arm on which ropes pull all the same
	pointUpDeg    = 10   // how much a fixed point may be above where the rope is tied
	leastRopes    = 2
	leastAtRopeKg = 40   // less drags before it bears anything
	angleTolDeg   = 0.05 // of places to a tenth of a millimetre over a metre and more
)

// ropeAngles are the angles with the ground that ropes to the ground are set at.
var ropeAngles = []float64{30, 45, 60}

// checkRopes holds a piece's ropes one by one, and all of them together.
func (r *rigged) checkRopes(s *Scene) []Violation {
	if len(r.ropes) == 0 {
		if r.piece.Hold.RopeGoneMS != 0 {
			return []Violation{broken(RuleLines, r.piece.Hold.RopeGoneMS, "%s: bears %.3f m/s with a rope gone, and has none", r.piece.Role, r.piece.Hold.RopeGoneMS)}
		}
		return nil
	}
	var bad []Violation
	all := func(format string, args ...any) {
		bad = append(bad, broken(RuleLines, 1, "%s: "+format, append([]any{r.piece.Role}, args...)...))
	}
	for i := range r.ropes {
		g := &r.ropes[i]
		wrong := func(by float64, format string, args ...any) {
			bad = append(bad, broken(RuleLines, by, "%s, line %d (%s): "+format, append([]any{r.piece.Role, i + 1, g.SKU}, args...)...))
		}
		r.checkTie(g, wrong)
		checkFoot(g, s, wrong)
		checkWay(g, s, wrong)
	}
	for i, m := range r.masts {
		if m.isMachine {
			all("lines on machine %d", i+1)
		}
	}
	switch {
	case r.piece.Role == finding.RoleCameraShade:
		all("%d lines", len(r.ropes))
	case len(r.masts) == 1:
		if what := uneven(r.ropes); what != "" {
			all("%s", what)
		}
	case len(r.ropes) < leastRopes:
		all("%d lines hold against one wind only", len(r.ropes))
	}
	bad = append(bad, r.checkPull()...)
	return append(bad, r.checkRopeGone()...)
}

// checkTie holds where a rope begins: at a corner of the frame, or at the head of a mast, which bears its pull where an arm is not to.
func (r *rigged) checkTie(g *rope, wrong func(by float64, format string, args ...any)) {
	if !g.onFrame() {
		head := fromGeom(r.masts[g.Support].sp.Base)
		head.z = r.masts[g.Support].sp.HeightM
		if off := g.from.far(head); off > placeTolM {
			wrong(off, "begins %.4f m from its mast's head", off)
		}
		return
	}
	off := math.Inf(1)
	for _, c := range r.sheet.outline() {
		off = math.Min(off, g.from.far(c))
	}
	if off > placeTolM {
		wrong(off, "begins %.4f m from the nearest corner of the frame", off)
	}
	for i, m := range r.masts {
		if long := hold(m.sp).far(vec{m.sp.Base.X, m.sp.Base.Y, m.sp.HeightM}); long > longestPullM+placeTolM {
			wrong(long, "pulls at the frame, which support %d holds by an arm of %.3f m", i+1, long)
		}
	}
}

// checkFoot holds what a rope is tied to: a fixed point of the user's where the user said it is, else on the ground a stake that the
// ground takes and the shot asks for, or weights that hands can carry.
func checkFoot(g *rope, s *Scene, wrong func(by float64, format string, args ...any)) {
	over := math.Hypot(g.to.x-g.from.x, g.to.y-g.from.y)
	deg := math.Atan2(g.from.z-g.to.z, over) * 180 / math.Pi
	if g.isPoint() {
		if g.Anchor.Quantity != 0 || g.Anchor.SKU != "" {
			wrong(1, "tied to %q and to %v", g.Point, g.Anchor)
		}
		i := slices.IndexFunc(s.Shot.Site.Anchors, func(a shot.Anchor) bool { return a.Label == g.Point })
		if off := g.to.far(fromGeom(s.Shot.Site.Anchors[i].Position)); off > placeTolM {
			wrong(off, "ends %.4f m from %q", off, g.Point)
		}
		if deg < -pointUpDeg-angleTolDeg {
			wrong(-deg, "leads up to %q by %.3f°", g.Point, -deg)
		}
		return
	}
	if math.Abs(g.to.z) > placeTolM {
		wrong(math.Abs(g.to.z), "ends %.4f m over the ground", g.to.z)
	}
	if !slices.ContainsFunc(ropeAngles, func(a float64) bool { return math.Abs(a-deg) <= angleTolDeg }) {
		wrong(1, "at %.3f° with the ground, none of %v", deg, ropeAngles)
	}
	if g.anchorN > 0 {
		if s.Shot.GroundAnchor != shot.AnchorStakes || s.Shot.Site.Ground != "grass" && s.Shot.Site.Ground != "soil" {
			wrong(1, "a stake in %q, asked for %s", s.Shot.Site.Ground, s.Shot.GroundAnchor)
		}
		if n := g.Anchor.Quantity; n != 1 && n != 2 {
			wrong(math.Abs(float64(g.Anchor.Quantity-1)), "%d stakes", g.Anchor.Quantity)
		}
		return
	}
	if n := g.Anchor.Quantity; n < 1 || n > mostBallast {
		wrong(math.Abs(float64(n)), "%d weights, at most %d", n, mostBallast)
	}
	if g.weightKg() < leastAtRopeKg {
		wrong(leastAtRopeKg-g.weightKg(), "%.1f kg at its foot, at least %d kg", g.weightKg(), leastAtRopeKg)
	}
	if !handCarried(g.unitKg) {
		wrong(g.unitKg, "%s of %.1f kg is more than hands carry", g.Anchor.SKU, g.unitKg)
	}
}

// checkWay holds a rope's length and the room about it.
func checkWay(g *rope, s *Scene, wrong func(by float64, format string, args ...any)) {
	lengthM := g.from.far(g.to)
	if short := lengthM + knotM - g.line.LengthM; short > placeTolM {
		wrong(short, "%.3f m long, its way is %.3f m", g.line.LengthM, lengthM)
	}
	if d := s.View.leastOnSegment(g.from, g.to); d < s.Shot.Allowance.ViewM-placeTolM {
		wrong(s.Shot.Allowance.ViewM-d, "%.4f m from the view", d)
	}
	low := clipBelow([]vec{g.from, g.to}, func(p vec) float64 { return p.z - s.Shot.Allowance.HeadM })
	if len(low) == 0 {
		low = []vec{g.to} // a fixed point over everybody's head
	}
	if d := fromSegment(plan(s.View.lens), plan(low[0]), plan(low[len(low)-1])); d < ropeOffLensM-placeTolM {
		wrong(ropeOffLensM-d, "%.4f m from the lens, as seen from above", d)
	}
	for _, z := range s.zones() {
		if d := z.off(low); d < ropeOffZoneM-placeTolM {
			wrong(ropeOffZoneM-d, "%.4f m from zone %s", d, z.label)
		}
	}
}

// checkPull holds what any rope may have to bear, told of all alike: no more than the strongest of them with its foot does.
func (r *rigged) checkPull() []Violation {
	var bad []Violation
	most := 0.0
	for i := range r.ropes {
		g := &r.ropes[i]
		holds := g.anchorN
		if holds == 0 {
			way := g.to.minus(g.from).unit()
			holds = r.rig.Friction * g.weightKg() * gravityMS2 / (math.Hypot(way.x, way.y) - r.rig.Friction*way.z)
		}
		most = math.Max(most, math.Min(g.line.SafePullN, holds))
	}
	told := r.ropes[0].PullN
	for i, g := range r.ropes {
		if !(g.PullN >= 0 && g.PullN <= most*(1+sameShare)) || g.PullN != told {
			bad = append(bad, broken(RuleLines, math.Max(g.PullN-most, -g.PullN), "%s, line %d: may pull %.4f N as told, the first %.4f N, they and their feet bear %.4f N",
				r.piece.Role, i+1, g.PullN, told, most))
		}
	}
	return bad
}

// goneOneIn is one of how many pieces with ropes is looked at without each of them.
const goneOneIn = 8

// checkRopeGone holds up to which gust the piece bears the loss of a rope: a little under it it stands without any one of them, a little over
// it there is one without which it does not.
func (r *rigged) checkRopeGone() []Violation {
	told := r.piece.Hold.RopeGoneMS
	below, above := r.near()
	if told > r.piece.Hold.SafeToMS*(1+sameShare)+nearMS {
		return []Violation{broken(RuleLines, told, "%s: bears %.4f m/s with a rope gone, and %.4f m/s with all", r.piece.Role, told, r.piece.Hold.SafeToMS)}
	}
	if r.lot()/casesOneIn%goneOneIn != 0 && !Full() {
		return nil
	}
	first := statics.None
	for i := range r.ropes {
		less := *r
		less.rig.Ropes = slices.Delete(slices.Clone(r.rig.Ropes), i, i+1)
		if first == statics.None {
			first = less.fails(math.Max(told*(1+above), told+nearMS), r.safety)
		}
		if under := math.Min(told*(1-below), told-nearMS); under > 0 && !less.stands(under, r.safety, first) {
			return []Violation{broken(RuleLines, 1, "%s: bears %.4f m/s with a rope gone as told, not %.4f m/s without line %d", r.piece.Role, told, under, i+1)}
		}
	}
	if first == statics.None && told < mostGustMS/(1+above) {
		return []Violation{broken(RuleLines, 1, "%s: bears %.4f m/s with a rope gone as told, more as found", r.piece.Role, told)}
	}
	return nil
}

// uneven says what is wrong with the lines around a single mast.
func uneven(ropes []rope) string {
	if len(ropes) != 3 && len(ropes) != 4 {
		return fmt.Sprintf("%d lines around it", len(ropes))
	}
	var deg []float64
	for _, g := range ropes {
		deg = append(deg, math.Atan2(g.to.x-g.from.x, g.to.y-g.from.y)*180/math.Pi)
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

// plan is a point as seen from above.
func plan(p vec) vec { return vec{p.x, p.y, 0} }

// CheckLinesApart keeps an option's ropes out of its sheets, and their anchors off the feet of what they hold.
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
			}
			for _, sp := range p.Supports {
				if d := fromGeom(sp.Base).far(plan(to)) - sp.FootprintM; d < anchorOffFeet-placeTolM {
					bad = append(bad, broken(RuleLines, anchorOffFeet-d, "%s: the anchor of line %d of the %s is %.4f m from the feet of a %s",
						o.Label, n+1, p.Role, d, sp.SKU))
				}
			}
		}
	}
	return bad
}
