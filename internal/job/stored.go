package job

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
)

// The reasons for which a job that is kept is not read or changed. Storage answers with these, wrapped or bare, and with
// [*UnsoundError]; any other error is a fault of the storage.
var (
	ErrNoJob       = errors.New("no such job")
	ErrNoShot      = errors.New("the job has no such shot")
	ErrStale       = errors.New("changed since it was read")
	ErrKeyReused   = errors.New("the idempotency key was used for another creation")
	ErrUnavailable = errors.New("the storage of jobs cannot be reached")
)

// UnsoundError refuses a draft that does not resolve. The pointers are those of [Draft.Resolve].
type UnsoundError struct{ Faults []fault.Fault }

func (e *UnsoundError) Error() string {
	var b strings.Builder
	b.WriteString("unsound job")
	for _, f := range e.Faults {
		b.WriteString("; " + f.Pointer + ": " + f.Kind.Code())
	}
	return b.String()
}

// Stored is a job as it is kept, exactly as it was said.
type Stored struct {
	ID string
	// Version grows by one with every change of the job. A shot's is that of the job at the shot's own last change.
	Version      int64
	ShotVersions []int64 // beside Draft.Shots
	Draft        Draft
}

// ShotAt returns the place of a shot in the list, or [ErrNoShot].
func (s *Stored) ShotAt(number string) (int, error) {
	i := slices.IndexFunc(s.Draft.Shots, func(d DraftShot) bool { return d.Number != nil && *d.Number == number })
	if i < 0 {
		return 0, ErrNoShot
	}
	return i, nil
}

// Listed is a job in a list.
type Listed struct {
	ID, Name string
	// From and To are the first and last day of the hire; zero for a job that has neither shots nor days of its own.
	From, To         catalog.Date
	Shots            int
	Created, Changed time.Time
}

// Mark is a place in the list of jobs: behind the job of that id. The zero value is the beginning.
type Mark struct {
	Created time.Time
	ID      string
}

// Mark returns the place behind the job.
func (l Listed) Mark() Mark { return Mark{l.Created, l.ID} }

// Bounds of an id. Storage makes ids of 16 characters.
const (
	leastID = 12
	mostID  = 32
)

// IsID reports whether a text can be the id of a job: lower-case letters and digits, 12 to 32.
func IsID(s string) bool {
	return len(s) >= leastID && len(s) <= mostID && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789") == ""
}

// Expect is the state in which a job or a shot has to be for a change: any, or one of some versions.
type Expect struct {
	Any      bool
	Versions []int64
}

// Met reports whether a version will do.
func (e Expect) Met(version int64) bool { return e.Any || slices.Contains(e.Versions, version) }

// SameShot reports whether two shots say the same.
func SameShot(a, b DraftShot) bool { return reflect.DeepEqual(a, b) }
