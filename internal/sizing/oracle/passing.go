package oracle

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

const (
	// lampHeadHalfM is half the room that a lamp's head takes.
	lampHeadHalfM = 0.25
	// beamTolM is what the goal of one of several beams side by side may lie off the place abreast of the zone's middle.
	beamTolM = 0.05
)

// lighters are the roles that give light, or let it through, on the people.
var lighters = []finding.Role{finding.RoleReflector, finding.RoleFill, finding.RoleReflectorDiffuser, finding.RoleLamp, finding.RoleLampDiffuser}

// throwsBeam reports whether a piece is a sheet that throws more than it glows.
func (p standing) throwsBeam() bool {
	if !p.sheet() {
		return false
	}
	_, beam := p.found.throws(p.Piece)
	return beam
}

// CheckBeamsPass keeps the light of reflectors, fills, lamps and diffusing frames off the camera and its operator on the way to the
// people.
func CheckBeamsPass(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	labels, sure := s.drivers()
	pieces := standingIn(o, stock)
	var bad []Violation
	for _, p := range pieces {
		if !slices.Contains(lighters, p.Role) || s.zone(p.Serves) == nil {
			continue
		}
		if !p.throwsBeam() {
			bad = append(bad, s.passes(o.Label, p, p.goal(s))...)
			continue
		}
		// Of those that it may work with, it may be any: the one that is least in the way counts.
		var least []Violation
		for i, label := range labels {
			v := s.passes(o.Label, p, p.thrown(s, pieces, label))
			if i == 0 || len(v) < len(least) {
				least = v
			}
		}
		if sure {
			bad = append(bad, least...)
		}
	}
	return bad
}

// goal is what a piece that throws no beam of a source's lights: a lamp what it is aimed at, a sheet the middle of its zone.
func (p standing) goal(s *Scene) vec {
	if p.Lamp != nil {
		return fromGeom(p.Lamp.Aim)
	}
	return s.zone(p.Serves).middle
}

// thrown is where the light of a mirror-like sheet goes: to the diffusing frame before it, or abreast of the middle of its zone.
func (p standing) thrown(s *Scene, pieces []standing, label string) vec {
	from := p.plate.centre
	dir, _ := s.hardFrom(label, s.mid()).toward(from)
	way := p.plate.normal.times(2 * p.plate.normal.dot(dir)).minus(dir)
	for _, v := range pieces {
		across := way.dot(v.plate.normal)
		if v.Role != finding.RoleReflectorDiffuser || v.Serves != p.Serves || math.Abs(across) < 1e-9 {
			continue
		}
		if r := v.plate.centre.minus(from).dot(v.plate.normal) / across; r > 0 && from.along(way, r).far(v.plate.centre) < v.plate.half1+v.plate.half2 {
			return from.along(way, r)
		}
	}
	flat, to := vec{way.x, way.y, 0}, s.zone(p.Serves).middle.minus(from)
	return from.along(way, math.Max(0, to.dot(flat)/math.Max(flat.dot(flat), 1e-9)))
}

// passes holds the light of a piece on the way to its goal to 0.8 m off the lens, or half of what the goal is off it, and off the
// operator's strip, as seen from above. It is as wide as the sheet and ends as wide as the zone where that is narrower.
func (s *Scene) passes(option sizing.Label, p standing, goal vec) []Violation {
	from := p.plate.centre
	if p.Lamp != nil {
		from = fromGeom(p.Lamp.Position)
	}
	from.z, goal.z = 0, 0
	lens := s.View.lens
	lens.z = 0
	way := goal.minus(from)
	if way.length() < placeTolM {
		return nil
	}
	across := up.cross(way.unit())
	start, end := lampHeadHalfM, lampHeadHalfM
	if p.Lamp == nil {
		z := s.zone(p.Serves)
		start = p.plate.half1*math.Abs(p.plate.e1.dot(across)) + p.plate.half2*math.Abs(p.plate.e2.dot(across))
		end = math.Min(start, z.halfW*math.Abs(z.right.dot(across))+z.halfD*math.Abs(z.ahead.dot(across)))
	}
	outline := []vec{from.along(across, -start), goal.along(across, -end), goal.along(across, end), from.along(across, start)}
	var bad []Violation
	if off, want := fromOutline(lens, outline), math.Min(lensRoomM, lens.far(goal)/2); off < want-beamTolM {
		bad = append(bad, broken(RuleCamera, want-off, "%s: the light of the %s at (%.2f, %.2f) for %s passes %.3f m off the lens, wanted %.3f m",
			option, p.Role, from.x, from.y, p.Serves, off, want))
	}
	const hair = beamTolM // of the strip's edges
	strip := outline
	for _, side := range []func(right, behind float64) float64{
		func(right, _ float64) float64 { return right - operatorHalfM + hair },
		func(right, _ float64) float64 { return -right - operatorHalfM + hair },
		func(_, behind float64) float64 { return behind - operatorBackM + hair },
		func(_, behind float64) float64 { return hair - behind },
	} {
		strip = clipBelow(strip, func(q vec) float64 { return side(s.View.besideLens(q)) })
	}
	if len(strip) > 0 {
		bad = append(bad, broken(RuleCamera, 1, "%s: the light of the %s at (%.2f, %.2f) for %s passes through the operator", option, p.Role, from.x, from.y, p.Serves))
	}
	return bad
}

// fromOutline is how far a point of the ground is from a convex outline; 0 within it.
func fromOutline(p vec, outline []vec) float64 {
	least, left, right := math.Inf(1), false, false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		least = math.Min(least, fromSegment(p, a, b))
		turn := b.minus(a).cross(p.minus(a)).z
		left, right = left || turn > 0, right || turn < 0
	}
	if left != right {
		return 0
	}
	return least
}
