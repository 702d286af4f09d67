package sizing

import (
	"fmt"
	"math"
	"slices"
)

// DownToTenth rounds a limit down to a tenth, so that what is told is never more than what holds.
func DownToTenth(v float64) float64 { return math.Floor(v*10+1e-9) / 10 }

// Has says whether an option has a piece of one of some roles.
func (o *Option) Has(roles ...Role) bool {
	return slices.ContainsFunc(o.Pieces, func(v Piece) bool { return slices.Contains(roles, v.Role) })
}

// Title names an option for people, by what it holds: its label is the scheme's, whose overhead may not be needed.
func (o *Option) Title() string {
	overhead := o.Has(RoleOverhead, RoleSide)
	switch shaped := o.Has(RoleReflector, RoleFill, RoleBlack, RoleLamp); {
	case !overhead && !shaped: // a net or a lens shade at most
		return "The light as it is"
	case o.Label == LabelOverhead && !overhead:
		return "No overhead needed"
	case o.Label == LabelOverhead:
		return "On stands"
	case o.Label == LabelOnLift:
		return "On lifting machines"
	case o.Label == LabelReflectors:
		return "Reflectors alone"
	case o.Label == LabelLamps:
		return "Lamps"
	case o.Label == LabelLaterHour:
		return fmt.Sprintf("Later the same day, %s to %s", o.Window.Start, o.Window.End)
	}
	return string(o.Label)
}
