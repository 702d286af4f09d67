package oracle

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// thirdStop is how near a level or a strength must come to what is asked.
const thirdStop = 1.0 / 3

// CheckNets holds the nets: one at most, asked for, of the strength asked, upright behind all zones, and filling the
// picture at its plane down to the ground by as much as it tells.
func CheckNets(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	n := 0
	for _, p := range standingIn(o, stock) {
		if p.Role != finding.RoleNet {
			continue
		}
		n++
		if off := math.Abs(-math.Log2(p.found.fabric.Transmittance) - s.Shot.Look.NetStops); off > thirdStop {
			bad = append(bad, broken(RuleNet, off, "%s: a net of transmittance %.2f for %.2f stops", o.Label, p.found.fabric.Transmittance, s.Shot.Look.NetStops))
		}
		for _, z := range s.zones() {
			for _, c := range z.corners() {
				if in := c.minus(p.plate.centre).dot(z.ahead); in > -stepOffM {
					bad = append(bad, broken(RuleNet, in, "%s: the net stands %.3f m behind a corner of zone %s", o.Label, -in, z.label))
				}
			}
		}
		margin, ok := s.View.fills(p.plate)
		if !ok {
			bad = append(bad, broken(RuleNet, math.Inf(1), "%s: the picture does not end at the net's plane", o.Label))
			continue
		}
		if margin < 0 {
			bad = append(bad, broken(RuleNet, -margin, "%s: the picture is %.4f m larger than the net %v", o.Label, -margin, p.plate))
		}
		if off := math.Abs(margin - p.MarginM); off > marginTolM {
			bad = append(bad, broken(RuleMargin, off, "%s: the net tells a margin of %.4f m, it exceeds the picture by %.4f m", o.Label, p.MarginM, margin))
		}
	}
	if n > 1 || n == 1 && s.Shot.Look.NetStops == 0 {
		bad = append(bad, broken(RuleNet, float64(n), "%s: %d nets for %.2f stops", o.Label, n, s.Shot.Look.NetStops))
	}
	return bad
}

// fills is by how much an opening exceeds the picture at its plane, above the ground: to the sides and up, and down where
// it does not stand on the ground. ok is false where the picture has no end there.
func (v View) fills(p plate) (margin float64, ok bool) {
	var picture []vec
	for _, c := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		d := v.axis.plus(v.right.times(c[0] * v.tanW)).plus(v.up.times(c[1] * v.tanH))
		t := p.centre.minus(v.lens).dot(p.normal) / d.dot(p.normal)
		if !(t > 0) || math.IsInf(t, 1) {
			return 0, false
		}
		picture = append(picture, v.lens.along(d, t))
	}
	picture = clipBelow(picture, func(q vec) float64 { return -q.z })
	level, rise, halfL, halfR := p.e1, p.e2, p.half1, p.half2
	if math.Abs(level.z) > math.Abs(rise.z) {
		level, rise, halfL, halfR = rise, level, halfR, halfL
	}
	if rise.z < 0 {
		rise = rise.times(-1)
	}
	grounded := p.centre.z-halfR*rise.z <= tubeOnGroundM
	margin = math.Inf(1)
	for _, q := range picture {
		at := q.minus(p.centre)
		margin = math.Min(margin, halfL-math.Abs(at.dot(level)))
		margin = math.Min(margin, halfR-at.dot(rise))
		if !grounded {
			margin = math.Min(margin, halfR+at.dot(rise))
		}
	}
	return margin, true
}
