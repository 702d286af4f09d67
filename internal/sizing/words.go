package sizing

import (
	"slices"

	"kitspan/internal/finding"
)

// Has reports whether an option has a piece of one of some roles.
func (o *Option) Has(roles ...finding.Role) bool {
	return slices.ContainsFunc(o.Pieces, func(v Piece) bool { return slices.Contains(roles, v.Role) })
}
