package text

import (
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// Title names an option for people, by what it holds: its label is the scheme's, whose overhead may not be needed. One for another
// window than that asked says both, and one with lamps off names them.
func Title(to Reader, o *sizing.Option, asked *shot.Window) string {
	const named = 2
	name := title(to, o, asked)
	switch n := len(o.SwitchOff); {
	case n == 0:
		return name
	case n > named:
		return to.say("%s, %d lamps off", name, n)
	}
	return to.say("%s, %s off", name, to.and(o.SwitchOff))
}

func title(to Reader, o *sizing.Option, asked *shot.Window) string {
	overhead := o.Has(finding.RoleOverhead, finding.RoleSide)
	switch shaped := o.Has(finding.RoleReflector, finding.RoleFill, finding.RoleBlack, finding.RoleLamp); {
	case !overhead && !shaped: // a net or a lens shade at most
		return to.say("The light as it is")
	case o.Label == sizing.LabelOverhead && !overhead:
		return to.say("No overhead needed")
	case o.Label == sizing.LabelOverhead:
		return to.say("On stands")
	case o.Label == sizing.LabelMoved:
		return to.say("On stands, moved %s", timesOf(to, len(o.Moves)))
	case o.Label == sizing.LabelOnLift:
		return to.say("On lifting machines")
	case o.Label == sizing.LabelReflectors:
		return withoutOverhead(to, o)
	case o.Label == sizing.LabelHandHeld:
		return to.say("Held by hand")
	case o.Label == sizing.LabelLamps:
		return to.say("title|Lamps")
	case o.Label == sizing.LabelOtherHour:
		return to.say("At another hour, %s to %s (asked: %s to %s)", o.Window.Start, o.Window.End, asked.Start, asked.End)
	}
	return string(o.Label)
}

// withoutOverhead names what shapes the light without an overhead.
func withoutOverhead(to Reader, o *sizing.Option) string {
	reflectors := o.Has(finding.RoleReflector, finding.RoleFill)
	switch lamps := o.Has(finding.RoleLamp); {
	case reflectors && lamps:
		return to.say("Reflectors and lamps")
	case reflectors:
		return to.say("Reflectors alone")
	case lamps:
		return to.say("Lamps without an overhead")
	}
	return to.say("Black panels alone")
}
