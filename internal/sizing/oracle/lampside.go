package oracle

import (
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// SceneFor reads a shot for an option: its window, without the lamps that it switches off, and with the zone alone where a frame is held
// over it.
func SceneFor(asked shot.Shot, o *sizing.Option) *Scene {
	asked.Lamps = slices.DeleteFunc(slices.Clone(asked.Lamps), func(l shot.Lamp) bool { return slices.Contains(o.SwitchOff, l.Label) })
	s := NewScene(asked, o.Window.From, o.Window.To)
	if o.Label == sizing.LabelHandHeld { // the zone moves with what is held
		s.carried = true
		s.Zone.halfW, s.Zone.halfD = asked.Zone.WidthM/2, asked.Zone.DepthM/2
	}
	return s
}

// CheckSwitchedOff holds the lamps that an option switches off to those of the shot that may be, each once, and a note to them.
func CheckSwitchedOff(asked *shot.Shot, o *sizing.Option) []Violation {
	var bad []Violation
	for i, label := range o.SwitchOff {
		if slices.Contains(o.SwitchOff[:i], label) || !slices.ContainsFunc(asked.Lamps, func(l shot.Lamp) bool { return l.Label == label && l.CanBeOff }) {
			bad = append(bad, broken(RuleOptions, 1, "%s switches %q off, which may not be, or twice", o.Name, label))
		}
	}
	told := noted(o, func(n finding.SwitchedOff) bool { return slices.Equal(n.Lamps, o.SwitchOff) })
	if told != (len(o.SwitchOff) > 0) {
		bad = append(bad, broken(RuleOptions, 1, "%s switches off %v, and a note that says just that: %v", o.Name, o.SwitchOff, told))
	}
	return bad
}

// CheckLampSides holds every lamp that is placed, and every diffuser before one, to the side that it says it lights: the face there,
// turned 45° from the lens or looking away and up, sees it. No other piece says a side.
func CheckLampSides(s *Scene, o *sizing.Option) []Violation {
	var bad []Violation
	side := -1.0
	if s.Shot.Look.KeySide == shot.SideRight {
		side = 1
	}
	back := s.Zone.ahead.times(-1)
	key, fill := back.plus(s.Zone.right.times(side)).unit(), back.minus(s.Zone.right.times(side)).unit()
	faces := map[finding.Lit]vec{finding.LitKey: key, finding.LitFill: fill, finding.LitBack: s.Zone.ahead.plus(vec{0, 0, 1}).unit()}
	for _, p := range o.Pieces {
		if p.Role != finding.RoleLamp && p.Role != finding.RoleLampDiffuser {
			if p.Lights != "" {
				bad = append(bad, broken(RuleOptions, 1, "%s: %s says that it lights the %s", o.Name, p.Role, p.Lights))
			}
			continue
		}
		zone, face := s.zone(p.Serves), faces[p.Lights]
		if zone == nil || face == (vec{}) {
			bad = append(bad, broken(RuleOptions, 1, "%s: %s lights %q of %q", o.Name, p.Role, p.Lights, p.Serves))
			continue
		}
		at := vec{}
		if p.Lamp != nil {
			at = fromGeom(p.Lamp.Position)
		} else {
			for _, c := range p.Corners {
				at = at.plus(fromGeom(c).times(0.25))
			}
		}
		if toIt := at.minus(zone.middle).unit(); toIt.dot(face) < math.Sin(1e-3) {
			bad = append(bad, broken(RuleOptions, -toIt.dot(face), "%s: a %s that lights the %s stands behind that face", o.Name, p.Role, p.Lights))
		}
	}
	return bad
}
