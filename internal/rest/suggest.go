package rest

import (
	"slices"

	"kitspan/internal/fault"
)

// unknownMember says that an object has no such member, and which one may have been meant.
func unknownMember(name string, fields map[string]field) fault.Unknown {
	known := make([]string, 0, len(fields))
	for k := range fields {
		known = append(known, k)
	}
	slices.Sort(known)
	return fault.UnknownAmong(name, known)
}
