package oracle

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// CheckVeils holds the diffusing frames before reflectors and lamps: each stands between them and the people that they
// serve, wholly, and what comes from their middle to the middle of the zone goes through it.
func CheckVeils(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	pieces := standingIn(o, stock)
	for _, v := range pieces {
		behind := map[finding.Role]finding.Role{finding.RoleReflectorDiffuser: finding.RoleReflector, finding.RoleLampDiffuser: finding.RoleLamp}[v.Role]
		z := s.zone(v.Serves)
		if behind == "" || z == nil {
			continue
		}
		side := func(p vec) float64 { return p.minus(v.plate.centre).dot(v.plate.normal) }
		near := math.Copysign(1, side(z.middle))
		for _, c := range z.corners() {
			if side(c)*near < 0 {
				bad = append(bad, broken(RuleVeil, -side(c)*near, "%s: the %s at %v stands within zone %s", o.Label, v.Role, v.plate, z.label))
				break
			}
		}
		// The row behind it is that of its role whose middle is nearest: a lamp for the back may serve the same zone.
		var row []vec
		for _, p := range pieces {
			if p.Role != behind || p.Serves != v.Serves {
				continue
			}
			points := []vec{p.plate.centre}
			if p.Lamp != nil {
				points[0] = fromGeom(p.Lamp.Position)
			} else {
				points = append(points, p.plate.outline()...)
			}
			if !slices.ContainsFunc(points, func(q vec) bool { return side(q)*near > trimM }) {
				row = append(row, points[0])
			}
		}
		if len(row) == 0 {
			bad = append(bad, broken(RuleVeil, 1, "%s: no %s for zone %s stands behind the %s at %v", o.Label, behind, z.label, v.Role, v.plate))
			continue
		}
		through := slices.ContainsFunc(row, func(p vec) bool {
			x := v.plate.cast(p, &Source{Position: &z.middle}, Moment{})
			return x.hit && x.inside > 0
		})
		if !through {
			bad = append(bad, broken(RuleVeil, 1, "%s: nothing goes from a %s through the %s at %v to the middle of zone %s", o.Label, behind, v.Role, v.plate, z.label))
		}
	}
	return bad
}

// CheckLensShades holds the panels that keep hard sources off the lens: every ray from the lens to any part of the disc
// of a source that one is there for crosses it, at every instant at which the source shines.
func CheckLensShades(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	for _, p := range standingIn(o, stock) {
		if p.Role != finding.RoleCameraShade {
			if !softens(p.Role) && len(p.Covers) > 0 {
				bad = append(bad, broken(RuleOptions, float64(len(p.Covers)), "%s: a %s covers %v", o.Label, p.Role, p.Covers))
			}
			continue
		}
		if len(p.Covers) == 0 {
			bad = append(bad, broken(RuleShade, 1, "%s: a lens shade for no source", o.Label))
		}
		for _, label := range p.Covers {
			src := s.source(label)
			if src == nil {
				bad = append(bad, broken(RuleShade, 1, "%s: a lens shade for %q, which is no source of the shot", o.Label, label))
				continue
			}
			for _, m := range src.Moments {
				x := p.plate.cast(s.View.lens, src, m)
				if m.Lx > 0 && !(x.hit && x.inside >= x.penumbra-placeTolM) {
					bad = append(bad, broken(RuleShade, x.penumbra-x.inside, "%s: at %s the ray from the lens to %s crosses the shade %.4f m inside, wanted %.4f m (meets it %v)",
						o.Label, m.At.Format("15:04:05"), label, x.inside, x.penumbra, x.hit))
					break
				}
			}
		}
	}
	return bad
}

// CheckFlare holds an option to the light on the lens: a source that falls on it at some instant from outside the picture,
// past everything that stands, has a shade or a note.
func CheckFlare(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	pieces := standingIn(o, stock)
	for i := range s.Sources {
		src := &s.Sources[i]
		shaded := slices.ContainsFunc(pieces, func(p standing) bool {
			return p.Role == finding.RoleCameraShade && slices.Contains(p.Covers, src.Label)
		})
		if shaded || noted(&o, func(n finding.LensUnshaded) bool { return string(n.Source) == src.Label }) {
			continue
		}
		for _, m := range src.Moments {
			dir, far := m.Toward, math.Inf(1)
			if src.Position != nil {
				r := src.Position.minus(s.View.lens)
				dir, far = r.unit(), r.length()
			}
			radiusDeg := math.Atan(src.TanRadius) * 180 / math.Pi
			// A degree is left to doubt at the edge of what the lens faces, of the ground and of the picture.
			const doubt = 0.0175
			if m.Lx <= 0 || dir.dot(s.View.axis) < doubt || dir.z < doubt || s.View.sees(dir, radiusDeg+1) {
				continue
			}
			hidden := slices.ContainsFunc(pieces, func(p standing) bool {
				return p.sheet() && p.Role != finding.RoleNet && p.plate.stops(s.View.lens, dir, far)
			})
			if !hidden {
				bad = append(bad, broken(RuleShade, 1, "%s: %s falls on the lens at %s and neither a shade nor a note says so", o.Label, src.Label, m.At.Format("15:04")))
				break
			}
		}
	}
	return bad
}
