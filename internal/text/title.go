package text

import (
	"fmt"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// Title names an option for people, by what it holds: its label is the scheme's, whose overhead may not be needed. One for another
// window than that asked says both, and one with lamps off names them.
func Title(o *sizing.Option, asked *shot.Window) string {
	return title(o, asked) + off(o.SwitchOff)
}

// off says which lamps are off, to stand after a title; of many how many.
func off(lamps []string) string {
	const named = 2
	switch n := len(lamps); {
	case n == 0:
		return ""
	case n > named:
		return fmt.Sprintf(", %d lamps off", n)
	}
	return ", " + listed(lamps, " and ") + " off"
}

func title(o *sizing.Option, asked *shot.Window) string {
	overhead := o.Has(finding.RoleOverhead, finding.RoleSide)
	switch shaped := o.Has(finding.RoleReflector, finding.RoleFill, finding.RoleBlack, finding.RoleLamp); {
	case !overhead && !shaped: // a net or a lens shade at most
		return "The light as it is"
	case o.Label == sizing.LabelOverhead && !overhead:
		return "No overhead needed"
	case o.Label == sizing.LabelOverhead:
		return "On stands"
	case o.Label == sizing.LabelMoved:
		return "On stands, moved " + timesOf(len(o.Moves))
	case o.Label == sizing.LabelOnLift:
		return "On lifting machines"
	case o.Label == sizing.LabelReflectors:
		return withoutOverhead(o)
	case o.Label == sizing.LabelHandHeld:
		return "Held by hand"
	case o.Label == sizing.LabelLamps:
		return "Lamps"
	case o.Label == sizing.LabelOtherHour:
		return fmt.Sprintf("At another hour, %s to %s (asked: %s to %s)", o.Window.Start, o.Window.End, asked.Start, asked.End)
	}
	return string(o.Label)
}

// withoutOverhead names what shapes the light without an overhead.
func withoutOverhead(o *sizing.Option) string {
	reflectors := o.Has(finding.RoleReflector, finding.RoleFill)
	switch lamps := o.Has(finding.RoleLamp); {
	case reflectors && lamps:
		return "Reflectors and lamps"
	case reflectors:
		return "Reflectors alone"
	case lamps:
		return "Lamps without an overhead"
	}
	return "Black panels alone"
}
