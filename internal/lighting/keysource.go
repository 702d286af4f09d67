package lighting

import (
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/overhead"
	"kitspan/internal/shot"
)

// domeDeg is how large the sky, or the ground, looks: half of all around.
const domeDeg = 180

// keySource returns what gives the key face of a place most light, and how large, in degrees, that looks from there; light must be
// up to date. Boards of one role side by side count as one: together they cast one shadow. So does a diffuser with the boards or
// lamps behind it, which is seen in their place. Each overhead, side frame, hard source and lamp counts by itself; a lamp is a point.
func (a *Arrangement) keySource(at geom.Vec) (from finding.LightFrom, deg float64) {
	at, n := overGround(at), a.Light.Key
	l := a.lit.Face(at, n)
	most := 0.0
	from = finding.FromNone
	take := func(as finding.LightFrom, lx, size float64) {
		if lx > most {
			most, from, deg = lx, as, size
		}
	}
	part := func(as finding.LightFrom, p light.Part) { take(as, p.Lx, p.Deg()) }
	for i, role := range overhead.RolesOf(a.Rigs) {
		part(finding.FromRole(role), a.lit.FromPanel(at, n, i))
	}
	var rows [2]light.Part // of boards: the key's, the fill's
	panel, lamp, veiled := len(a.Rigs), 0, a.hasMain(finding.RoleReflectorDiffuser)
	for _, p := range a.Pieces {
		if p.Lamp != nil {
			part(finding.FromRole(p.Role), a.lit.FromLamp(at, n, lamp))
			lamp++
			continue
		}
		panel++
		if p.Serves != shot.MainLabel {
			continue
		}
		switch p.Role {
		case finding.RoleReflector:
			if !veiled {
				rows[0] = rows[0].And(a.lit.FromPanel(at, n, panel-1))
			}
		case finding.RoleFill:
			rows[1] = rows[1].And(a.lit.FromPanel(at, n, panel-1))
		case finding.RoleReflectorDiffuser, finding.RoleLampDiffuser:
			part(finding.FromRole(p.Role), a.lit.FromPanel(at, n, panel-1))
		default: // takes light away
		}
	}
	part(finding.FromRole(finding.RoleReflector), rows[0])
	part(finding.FromRole(finding.RoleFill), rows[1])
	for i := range a.Light.Hard {
		part(finding.FromHard, a.lit.FromHard(at, n, i))
	}
	take(finding.FromSky, l.Sky, domeDeg)
	take(finding.FromGround, l.Ground, domeDeg)
	return from, deg
}

// hasMain reports whether a piece of a role stands for the main zone.
func (a *Arrangement) hasMain(role finding.Role) bool {
	for _, p := range a.Pieces {
		if p.Role == role && p.Serves == shot.MainLabel {
			return true
		}
	}
	return false
}
