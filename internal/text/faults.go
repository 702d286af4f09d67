package text

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kitspan/internal/fault"
)

// Fault returns what is wrong with a request and what would be right, in a sentence without its full stop.
func Fault(f fault.Fault) string {
	says := wordsOf(f)
	subject := fieldName(f.Pointer)
	if says.whole {
		return says.wrong
	}
	return subject + " " + says.wrong + says.end()
}

// FaultInLine returns what [Fault] does, after the line of CSV where it stands, if it was given as that.
func FaultInLine(f fault.Fault) string {
	if f.Line == 0 {
		return Fault(f)
	}
	return fmt.Sprintf("line %d: %s", f.Line, Fault(f))
}

// FaultBeside returns what [Fault] does, to stand beside a label that names the very member: without the member's own name, and of what is
// missing what to give alone.
func FaultBeside(f fault.Fault) string {
	says := wordsOf(f)
	if _, missing := f.Kind.(fault.Missing); missing {
		return says.give
	}
	return says.wrong + says.end()
}

// faultWords are the parts of a sentence about a fault: what is wrong, and what to give instead, "" where the first says it.
type faultWords struct {
	wrong, give string
	// whole is set where the first is a sentence by itself; else it goes on after the name of the member.
	whole bool
}

func (w faultWords) end() string {
	if w.give == "" {
		return ""
	}
	return "; " + w.give
}

func wordsOf(f fault.Fault) faultWords {
	switch k := f.Kind.(type) {
	case fault.Missing:
		return missing(f.Pointer, k)
	case fault.OutOfRange:
		return faultWords{wrong: "is " + decimal(k.Got) + ", out of range", give: "give " + within(k.Range)}
	case fault.CountsAsZero:
		return faultWords{wrong: "is " + decimal(k.Got) + ", which counts as 0 and is out of range", give: "give " + within(k.Range)}
	case fault.NotFinite:
		return faultWords{wrong: fmt.Sprintf("is %v, not a finite number", k.Got), give: "give " + within(k.Range)}
	case fault.NotOneOf:
		return faultWords{wrong: "is " + strconv.Quote(k.Got), give: "give one of " + strings.Join(k.Words, ", ")}
	case fault.TooLong:
		if k.Got == "" {
			return faultWords{wrong: fmt.Sprintf("has %d characters", k.Characters), give: fmt.Sprintf("give at most %d", k.Most)}
		}
		return faultWords{wrong: fmt.Sprintf("is %s, longer than %d characters", strconv.Quote(k.Got), k.Most), give: "give a shorter one"}
	case fault.TooMany:
		return tooMany(f.Pointer, k)
	case fault.WrongCount:
		return wrongCount(k)
	case fault.BothGiven:
		return bothGiven(k)
	case fault.NeitherGiven:
		return sentence("the lamp has neither a direction nor a position; give " + eitherOf(k.Sets))
	case fault.Repeated:
		return repeated(f.Pointer, k)
	case fault.UnderAnother:
		return underAnother(k)
	case fault.WrongColumns, fault.WrongCells, fault.NotANumber:
		return ofTables(k)
	case fault.Reserved:
		return faultWords{wrong: "is " + strconv.Quote(k.Got) + ", which is taken already", give: "give another"}
	case fault.ViewTooWide, fault.TopNotAboveBase, fault.NobodyInView, fault.Overlaps, fault.InsideZone:
		return ofTheSet(k)
	case fault.UnknownHouse, fault.UnknownItem, fault.WrongKind, fault.UnknownCurrency, fault.OtherCurrency, fault.NotAnAmount:
		return ofTheHouse(k)
	case fault.MissingAttribute:
		return faultWords{wrong: "is missing: give " + k.Give}
	case fault.UnknownKind:
		return sentence(strconv.Quote(k.Got) + " is no kind: give one of " + strings.Join(k.Words, ", "))
	case fault.OtherKind:
		return sentence("the item is a " + k.Kind + ": leave " + k.Leave + " out")
	case fault.NotText, fault.NotJSON, fault.IsNull, fault.WrongType, fault.FarOutOfRange, fault.NotWhole, fault.TooManyElements,
		fault.Twice, fault.Unknown, fault.Unreadable, fault.Other:
		return ofTheForm(k)
	default:
		return ofTimes(f.Pointer, k)
	}
}

func sentence(s string) faultWords { return faultWords{wrong: s, whole: true} }

// within is a range in words.
func within(r fault.Range) string {
	unit := r.Unit
	if unit != "" {
		unit = " " + unit
	}
	if r.Open {
		return "a value over " + decimal(r.Least) + " and at most " + decimal(r.Most) + unit
	}
	return "a value from " + decimal(r.Least) + " to " + decimal(r.Most) + unit
}

// timeOfWindow is what a time of the window must be.
const timeOfWindow = "give HH:MM from 00:00 to 23:59 (midnight at a day's end is 00:00 of the next, with end_date)"

func missing(pointer string, k fault.Missing) faultWords {
	w := faultWords{wrong: "is missing"}
	switch k.Want {
	case fault.WantDate:
		w.give = "give a date as YYYY-MM-DD"
	case fault.WantTime:
		w.give = timeOfWindow
	case fault.WantTimeZone:
		w.wrong, w.give = "is missing or empty", rightZone
	case fault.WantLabel:
		w.wrong, w.give = "is missing or empty", "give each of "+listOf(pointer)+" a name of its own"
	case fault.WantInstant:
		w.wrong, w.give = "is missing or empty", rightInstant
	case fault.WantRows:
		w = faultWords{wrong: "has no rows under the names of its columns", give: "give one a line, or leave it out"}
	case fault.WantFrames:
		w.wrong, w.give = "is missing or empty", fmt.Sprintf("give the SKUs of %.0f to %.0f frames of the house", k.Range.Least, k.Range.Most)
	case fault.WantHouse:
		w.give = "give " + houses(k.Words)
	case fault.WantAmount:
		w.give = `give a decimal number as text, such as "125.00"`
	case fault.WantCurrency:
		w.give = "give an ISO 4217 code such as EUR"
	default:
		w.give = "give it"
		if k.Range != nil {
			w.give = "give " + within(*k.Range)
		}
		if fieldName(pointer) == "safe_pull_n" {
			w.give += ", the pull in any direction that whoever answers for the point lets it bear (100 N is the weight of 10 kg)"
		}
		if len(k.Instead) > 0 {
			w.give += ", or " + strings.Join(k.Instead, " with ")
		}
	}
	return w
}

func tooMany(pointer string, k fault.TooMany) faultWords {
	w := faultWords{wrong: fmt.Sprintf("has %d", k.Count), give: fmt.Sprintf("give at most %d", k.Most)}
	switch fieldName(pointer) {
	case "lamps":
		w.give += ", the strongest"
	case "gust_ms":
		w.wrong += " gusts"
		w.give = fmt.Sprintf("give up to %d", k.Most)
	case "forecast":
		w.wrong += " rows"
	}
	return w
}

func wrongCount(k fault.WrongCount) faultWords {
	w := faultWords{wrong: fmt.Sprintf("has %d numbers", k.Count)}
	if len(k.Axes) == 2 && k.Axes[0] == "east" {
		w.give = "give two, east and north of the origin in metres"
		return w
	}
	w.give = "give [" + strings.Join(k.Axes, ", ") + "] in metres, x east and y north of the origin"
	return w
}

func bothGiven(k fault.BothGiven) faultWords {
	switch k.Beside[0] {
	case "width_m":
		return faultWords{wrong: "is given beside width_m", give: "give width_m alone, or focal_length_mm with sensor_width_mm"}
	case "gust_ms":
		return faultWords{wrong: "is given beside gust_ms", give: "give one of them, the gust where it is known"}
	case "csv":
		return faultWords{wrong: "is given beside a forecast as CSV", give: "give one of them"}
	}
	return faultWords{wrong: "is given beside a direction", give: "give " + eitherOf(k.Sets)}
}

// eitherOf lists two sets of members: "either a, b and c, or d and e".
func eitherOf(sets [][]string) string {
	words := make([]string, len(sets))
	for i, set := range sets {
		last := len(set) - 1
		words[i] = strings.Join(set[:last], ", ") + " and " + set[last]
	}
	return "either " + strings.Join(words, ", or ")
}

func repeated(pointer string, k fault.Repeated) faultWords {
	if list := listOf(pointer); list != "" {
		return faultWords{
			wrong: "is " + strconv.Quote(k.Got) + ", as at " + fieldName(strings.TrimSuffix(k.First, "/label")), give: "give each of " + list + " a name of its own",
		}
	}
	return faultWords{wrong: "is " + strconv.Quote(k.Got) + ", as " + fieldName(k.First) + " is", give: "give each frame once"}
}

// listOf is the list that a label is in: "lamps" for /shot/lamps/0/label; empty for what is no label.
func listOf(pointer string) string {
	parts := strings.Split(pointer, "/")
	if n := len(parts); n > 3 && parts[n-1] == "label" {
		return parts[n-3]
	}
	return ""
}

// fieldName is the name that a pointer ends in; for an element of a list, the list's name with the index.
func fieldName(pointer string) string {
	parts := strings.Split(pointer, "/")
	last := parts[len(parts)-1]
	if i, err := strconv.Atoi(last); err == nil && len(parts) > 2 {
		return fmt.Sprintf("%s[%d]", parts[len(parts)-2], i)
	}
	return last
}

// decimal prints a number as a user would write it.
func decimal(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-4 || a >= 1e9) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
