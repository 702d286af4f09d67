package oracle

import (
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/light"
	rays "kitspan/internal/light/oracle"
	"kitspan/internal/shot"
)

// Tolerances of the key's size: that of the solid angle of a spot taken as a disc, and of its sampling; and how near two things are in
// what they give for either to be the one that gives most.
const (
	sizeTolShare = 0.1
	sizeTolDeg   = 0.15
	mostShare    = 0.08
)

// giver is one thing that lights the key face: what the answer calls it, how much it gives, and how large it looks.
type giver struct {
	from        finding.LightFrom
	lx, err, sr float64
}

// deg is the full angle of the cone with the giver's solid angle Ω: Ω = 2π·(1 − cos half).
func (g giver) deg() float64 { return 2 * math.Acos(math.Max(-1, 1-g.sr/(2*math.Pi))) * 180 / math.Pi }

// givers lists what lights the key face at the middle of the zone, by points of every sheet and by rays.
func (l *lights) givers() []giver {
	scene := lit(l.s, l.o.Pieces, l.stock)
	look := rays.Look(&scene, l.n.Face, l.seed)
	at := toGeom(l.s.Zone.middle)
	key, _, _ := faces(l.s)
	sum := look.Face(at, key)
	list := []giver{
		{finding.FromSky, sum.Level.Sky, sum.Error.Sky, 2 * math.Pi}, {finding.FromGround, sum.Level.Ground, sum.Error.Ground, 2 * math.Pi},
	}
	hard, lamps := look.Straight(at, key)
	for i, lx := range hard {
		list = append(list, giver{finding.FromHard, lx, 0, discOf(scene.Hard[i])})
	}
	panel, lamp := 0, 0
	rows := map[finding.Role]giver{}
	veiled := false
	for _, p := range l.o.Pieces {
		veiled = veiled || p.Role == finding.RoleReflectorDiffuser && p.Serves == shot.MainLabel
	}
	for _, p := range l.o.Pieces {
		found, _ := partsOf(p, l.stock)
		switch {
		case !found.fit(p.Role):
			continue
		case found.lamp != nil:
			if p.Lamp != nil {
				list = append(list, giver{finding.FromRole(p.Role), lamps[lamp], 0, 0})
				lamp++
			}
			continue
		}
		here := panel
		panel++
		if p.Serves != shot.MainLabel || p.Role == finding.RoleReflector && veiled {
			continue
		}
		if slices.Contains([]finding.Role{finding.RoleBlack, finding.RoleNet, finding.RoleCameraShade}, p.Role) {
			continue
		}
		r := look.Panel(at, key, here)
		g := giver{finding.FromRole(p.Role), r.Lx, r.Error, r.Sr}
		if p.Role != finding.RoleReflector && p.Role != finding.RoleFill {
			list = append(list, g)
			continue
		}
		if r.Lx > 0 {
			row := rows[p.Role]
			rows[p.Role] = giver{g.from, row.lx + g.lx, row.err + g.err, row.sr + g.sr}
		}
	}
	for _, role := range []finding.Role{finding.RoleReflector, finding.RoleFill} {
		if g, some := rows[role]; some {
			list = append(list, g)
		}
	}
	return list
}

func discOf(h light.Hard) float64 {
	return 2 * math.Pi * (1 - math.Cos(h.RadiusDeg*math.Pi/180))
}

// checkSoftness holds what is told to give the key most, and its size, to what points all over the sheets find.
func (l *lights) checkSoftness() []Violation {
	told := l.o.Levels
	list := l.givers()
	most := 0.0
	for _, g := range list {
		most = math.Max(most, g.lx)
	}
	if most <= levelTolLx {
		return nil // all but dark
	}
	nearest := math.Inf(1)
	var own giver
	for _, g := range list {
		if g.lx < most*(1-mostShare)-levelErrors*g.err || g.from != told.KeyFrom {
			continue
		}
		if off := math.Abs(g.deg() - told.KeySoftnessDeg); off < nearest {
			nearest, own = off, g
		}
	}
	switch {
	case math.IsInf(nearest, 1):
		return []Violation{broken(RuleSoftness, 1, "%s: the key is told to come from %q, by rays %v", l.o.Label, told.KeyFrom, list)}
	case !(nearest <= sizeTolShare*own.deg()+sizeTolDeg):
		return []Violation{broken(RuleSoftness, nearest, "%s: the key comes from %q, told %.2f° across, by points of it %.2f°", l.o.Label, told.KeyFrom, told.KeySoftnessDeg, own.deg())}
	}
	return nil
}
