package rest

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"kitspan/internal/fault"
	"kitspan/internal/text"
)

// Fault is one thing wrong with what a client sent, and where it stands: by Pointer in a JSON body (RFC 6901, "" is the
// whole body), else by Parameter (a query parameter or header), else by Line and Column of a CSV file. Of a member that was given as CSV
// Pointer is set besides.
type Fault struct {
	Pointer   string
	Parameter string
	Line      int
	Column    string
	Kind      fault.Kind
	// first means that it goes before others of the same place: they follow from it.
	first bool
}

// faultAt is a fault at a place in a JSON body.
func faultAt(pointer string, kind fault.Kind) Fault { return Fault{Pointer: pointer, Kind: kind} }

// faultOf is a fault of a query parameter or a header.
func faultOf(parameter string, kind fault.Kind) Fault { return Fault{Parameter: parameter, Kind: kind} }

// detail is the fault in a sentence.
func (f Fault) detail(to text.Reader) string {
	pointer := f.Pointer
	if f.Parameter != "" {
		pointer = "/" + f.Parameter // which a sentence names as it does a member
	}
	return text.Fault(to, fault.Fault{Pointer: pointer, Kind: f.Kind})
}

// Reason is why a request is refused; problemKinds turns it into a status.
type Reason int

// The reasons. The zero value is a fault of the program's own.
const (
	ReasonInternal             Reason = iota
	ReasonMalformed                   // the request cannot be read
	ReasonInvalid                     // it was read and something in it is wrong
	ReasonUnauthorized                // the staff token is missing or wrong
	ReasonTooManyAttempts             // too many wrong tokens came from the address
	ReasonNotFound                    // nothing stands at this address
	ReasonMethodNotAllowed            // the address does not take this method
	ReasonConflict                    // what is there already contradicts the request
	ReasonPreconditionFailed          // the item has changed since
	ReasonPreconditionRequired        // a change without If-Match
	ReasonTooLarge                    // the body is larger than is read
	ReasonTooSlow                     // the body took too long to come in
	ReasonNotAcceptable               // the client takes none of the media types that there are
	ReasonUnsupportedMedia            // the body is of another content type
	ReasonUnavailable                 // not now
	ReasonBusy                        // not now: too much else is being solved
	ReasonTimeLimit                   // it was given up
	ReasonTooMuchAtOnce               // it is not worked out while the client waits
)

// Refusal is an error that the client gets in full. Whatever else a handler returns becomes a generic sentence.
type Refusal struct {
	Reason Reason
	Detail string
	Faults []Fault
	cause  error // for the log alone
}

func (r *Refusal) Error() string {
	var b strings.Builder
	b.WriteString(r.Detail)
	for _, f := range r.Faults {
		fmt.Fprintf(&b, "; %s%s: %s", f.Pointer, f.Parameter, f.detail(text.Metres))
	}
	if r.cause != nil {
		fmt.Fprintf(&b, ": %v", r.cause)
	}
	return b.String()
}

func (r *Refusal) Unwrap() error { return r.cause }

func refuse(reason Reason, format string, args ...any) *Refusal {
	return &Refusal{Reason: reason, Detail: fmt.Sprintf(format, args...)}
}

// malformed and invalid are refusals with the faults listed in the order of their places, [maxFaults] at most.
func malformed(faults []Fault) *Refusal {
	return listing(ReasonMalformed, faults, "cannot be read", "cannot be read")
}

func invalid(faults []Fault) *Refusal {
	return listing(ReasonInvalid, faults, "is wrong", "are wrong")
}

func listing(reason Reason, faults []Fault, oneIs, manyAre string) *Refusal {
	list := sorted(faults)
	switch n := len(list); {
	case n == 1:
		return &Refusal{Reason: reason, Detail: "One thing in the request " + oneIs + ": see errors.", Faults: list}
	case n > maxFaults:
		return &Refusal{Reason: reason, Detail: fmt.Sprintf("%d things in the request %s: the first %d are in errors.", n, manyAre, maxFaults), Faults: list[:maxFaults]}
	default:
		return &Refusal{Reason: reason, Detail: fmt.Sprintf("%d things in the request %s: see errors.", n, manyAre), Faults: list}
	}
}

// sorted orders by place and keeps the first of several faults with the same pointer: the later ones follow from it.
func sorted(faults []Fault) []Fault {
	out := make([]Fault, 0, len(faults))
	seen := map[string]bool{}
	faults = slices.Clone(faults)
	slices.SortStableFunc(faults, func(a, b Fault) int { return rankOf(a) - rankOf(b) })
	for _, f := range faults {
		if f.Parameter == "" && f.Line == 0 {
			if seen[f.Pointer] {
				continue
			}
			seen[f.Pointer] = true
		}
		out = append(out, f)
	}
	slices.SortStableFunc(out, func(a, b Fault) int {
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		return strings.Compare(a.Pointer+a.Parameter, b.Pointer+b.Parameter)
	})
	return out
}

func rankOf(f Fault) int {
	if f.first {
		return 0
	}
	return 1
}

// asRefusal finds the refusal in an error; nil where it is a fault of the program's own.
func asRefusal(err error) *Refusal {
	var r *Refusal
	if errors.As(err, &r) {
		return r
	}
	return nil
}
