package job

import (
	"strconv"
	"strings"

	"kitspan/internal/fault"
)

// Bare returns faults of a job by pointers of the job itself, those of [Draft.Resolve] without /job.
func Bare(faults []fault.Fault) []fault.Fault {
	out := make([]fault.Fault, len(faults))
	for i, f := range faults {
		f.Pointer = strings.TrimPrefix(f.Pointer, Pointer)
		if r, repeated := f.Kind.(fault.Repeated); repeated {
			r.First = strings.TrimPrefix(r.First, Pointer)
			f.Kind = r
		}
		out[i] = f
	}
	return out
}

// OfShots returns faults of a job by pointers of some of its shots, count from the one at from on: at returns that of each of those, from 0 on,
// and whole is where the other faults go, which those shots have brought about. A number that another shot has already is the fault of these.
func OfShots(faults []fault.Fault, from, count int, at func(i int) string, whole string) []fault.Fault {
	among := func(pointer string) (string, bool) {
		i, rest, ok := CutShot(pointer)
		if i -= from; !ok || i < 0 || i >= count {
			return strings.TrimPrefix(pointer, Pointer), false
		}
		return at(i) + rest, true
	}
	out := make([]fault.Fault, len(faults))
	for i, f := range faults {
		pointer, own := among(f.Pointer)
		if r, repeated := f.Kind.(fault.Repeated); repeated {
			first, firstOwn := among(r.First)
			if !own && firstOwn {
				pointer, first, own = first, pointer, true
			}
			r.First = first
			f.Kind = r
		}
		if f.Pointer = pointer; !own {
			f.Pointer = whole
		}
		out[i] = f
	}
	return out
}

// CutShot cuts the pointer of a shot of a job off, and returns which it is.
func CutShot(pointer string) (i int, rest string, ok bool) {
	tail, ok := strings.CutPrefix(pointer, shotsPointer+"/")
	if !ok {
		return 0, "", false
	}
	digits, _, _ := strings.Cut(tail, "/")
	i, err := strconv.Atoi(digits)
	return i, tail[len(digits):], err == nil
}
