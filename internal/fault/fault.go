// Package fault holds what can be wrong with a request, as values: where it stands, of which kind it is, and the quantities
// that belong to it, units in their names. Package text makes the sentence, rest the code and the members of an answer;
// no program has to read a sentence to learn what is wrong.
package fault

// Fault is one thing that is wrong with a request.
type Fault struct {
	// Pointer is its place in the body, a JSON pointer (RFC 6901); empty for the whole body.
	Pointer string
	// Line and Column are its place where the member was given as CSV: the line from 1, that of the column names among them, and the
	// name of the column, empty for the whole line. Line is 0 for what was given as JSON.
	Line   int
	Column string
	Kind   Kind
}

// Kind is what is wrong. The set is closed. The JSON names of the fields are those of the members in an answer, beside its code.
//
//sumtype:decl
type Kind interface {
	// Code is the kind in the words of the contract.
	Code() string
	kind()
}

// Range is what a number may be: from Least to Most, without Least itself where it is Open.
type Range struct {
	Least float64 `json:"least"`
	Most  float64 `json:"most"`
	Open  bool    `json:"open,omitempty"`
	// Unit is what the number counts, in words; empty for a ratio.
	Unit string `json:"unit,omitempty"`
}

// Want is what stands where something is missing or of another type.
type Want string

// What can be wanted.
const (
	WantNumber   Want = "number"
	WantInteger  Want = "whole_number"
	WantText     Want = "text"
	WantBool     Want = "boolean"
	WantObject   Want = "object"
	WantArray    Want = "array"
	WantDate     Want = "date"
	WantTime     Want = "time"
	WantTimeZone Want = "time_zone"
	WantLabel    Want = "label"
	WantFrames   Want = "frames"
	WantHouse    Want = "house"
	WantAmount   Want = "amount"
	WantCurrency Want = "currency"
	WantInstant  Want = "instant"
	WantRows     Want = "rows"
)

// TimeDefault is what a time of day that was left out defaults to; empty for one that was given.
type TimeDefault string

// The defaults.
const (
	DayStart TimeDefault = "day_start"
	DayEnd   TimeDefault = "day_end"
	Sunrise  TimeDefault = "sunrise"
	Sunset   TimeDefault = "sunset"
)
