package text

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kitspan/internal/fault"
	"kitspan/internal/phrase"
)

// Fault returns what is wrong with a request and what would be right, in a sentence without its full stop.
func Fault(to Reader, f fault.Fault) string {
	says := wordsOf(to, f)
	if says.whole {
		return says.wrong
	}
	return fieldName(f.Pointer) + " " + says.wrong + says.end()
}

// FaultInLine returns what [Fault] does, after the line of CSV where it stands, if it was given as that.
func FaultInLine(to Reader, f fault.Fault) string {
	if f.Line == 0 {
		return Fault(to, f)
	}
	return to.say("line %d: %s", f.Line, Fault(to, f))
}

// FaultBeside returns what [Fault] does, to stand beside a label that names the very member: without the member's own name, and of what is
// missing what to give alone.
func FaultBeside(to Reader, f fault.Fault) string {
	says := wordsOf(to, f)
	if _, missing := f.Kind.(fault.Missing); missing {
		return says.give
	}
	return says.wrong + says.end()
}

// faultWords are the parts of a sentence about a fault: what is wrong, and what to give instead, "" where the first says it. In every
// language the first goes on after the name of the member, and the second stands by itself.
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

func wordsOf(to Reader, f fault.Fault) faultWords {
	if w, ok := inJob(to, f.Pointer, f.Kind); ok {
		return w
	}
	switch k := f.Kind.(type) {
	case fault.Missing:
		return missing(to, f.Pointer, k)
	case fault.OutOfRange:
		return faultWords{wrong: to.say("is %s, out of range", to.decimal(k.Got)), give: within(to, k.Range)}
	case fault.CountsAsZero:
		return faultWords{wrong: to.say("is %s, which counts as 0 and is out of range", to.decimal(k.Got)), give: within(to, k.Range)}
	case fault.NotFinite:
		return faultWords{wrong: to.say("is %s, not a finite number", fmt.Sprint(k.Got)), give: within(to, k.Range)}
	case fault.NotOneOf:
		return faultWords{wrong: to.say("fault|is %s", strconv.Quote(k.Got)), give: to.say("give one of %s", strings.Join(k.Words, ", "))}
	case fault.TooLong:
		if k.Got == "" {
			return faultWords{wrong: to.say("has %d characters", k.Characters), give: to.say("give at most %d", k.Most)}
		}
		return faultWords{wrong: to.say("is %s, longer than %d characters", strconv.Quote(k.Got), k.Most), give: to.say("give a shorter one")}
	case fault.TooMany:
		return tooMany(to, f.Pointer, k)
	case fault.WrongCount:
		return wrongCount(to, k)
	case fault.BothGiven:
		return bothGiven(to, k)
	case fault.NeitherGiven:
		return sentence(to.say("the lamp has neither a direction nor a position; give %s", eitherOf(to, k.Sets)))
	case fault.Repeated:
		return repeated(to, f.Pointer, k)
	case fault.UnderAnother:
		return underAnother(to, k)
	case fault.WrongColumns, fault.WrongCells, fault.NotANumber, fault.OpenQuote, fault.NotAList, fault.NotAWorkbook, fault.WorkbookTooLarge:
		return ofTables(to, k)
	case fault.Reserved:
		return faultWords{wrong: to.say("is %s, which is taken already", strconv.Quote(k.Got)), give: to.say("give another")}
	case fault.ViewTooWide, fault.TopNotAboveBase, fault.NobodyInView, fault.Overlaps, fault.InsideZone:
		return ofTheSet(to, k)
	case fault.UnknownPlace, fault.HireBackwards, fault.HireTooLong, fault.OutsideHire, fault.NoRoom, fault.Unprintable, fault.SpaceAround,
		fault.NoSuchShot, fault.ShotsLeftOut:
		return ofJobs(to, k)
	case fault.ChargedOutOfRange, fault.ChargedFalls, fault.ChargedBeaten, fault.NotMore, fault.NotADecimal, fault.TaxedTwice, fault.NotHired, fault.NoTerms,
		fault.NoRateOn:
		return ofTerms(to, k)
	case fault.UnknownHouse, fault.UnknownItem, fault.WrongKind, fault.UnknownCurrency, fault.OtherCurrency, fault.NotAnAmount:
		return ofTheHouse(to, k)
	case fault.MissingAttribute:
		return faultWords{wrong: to.say("is missing: give %s", k.Give)}
	case fault.UnknownKind:
		return sentence(to.say("%s is no kind: give one of %s", strconv.Quote(k.Got), strings.Join(k.Words, ", ")))
	case fault.OtherKind:
		return sentence(to.say("the item is a %s: leave %s out", k.Kind, k.Leave))
	case fault.NotText, fault.NotJSON, fault.IsNull, fault.WrongType, fault.FarOutOfRange, fault.NotWhole, fault.TooManyElements,
		fault.Twice, fault.Unknown, fault.Unreadable, fault.Other:
		return ofTheForm(to, k)
	default:
		return ofTimes(to, f.Pointer, k)
	}
}

func sentence(s string) faultWords { return faultWords{wrong: s, whole: true} }

// within asks for a value in a range.
func within(to Reader, r fault.Range) string {
	least, most := to.decimal(r.Least), to.decimal(r.Most)
	if r.Unit != "" {
		most += " " + unit(to, r.Unit)
	}
	if r.Open {
		return to.say("give a value over %s and at most %s", least, most)
	}
	return to.say("give a value from %s to %s", least, most)
}

// unitWords are units that are words of English.
var unitWords = map[string]phrase.Key{
	"(width over height)": "unit|(width over height)", "EV at ISO 100": "unit|EV at ISO 100", "degrees": "unit|degrees",
	"degrees above the horizon": "unit|degrees above the horizon", "degrees clockwise from true north": "unit|degrees clockwise from true north",
	"degrees, east positive": "unit|degrees, east positive", "degrees, north positive": "unit|degrees, north positive", "frames per second": "unit|frames per second",
	"m above the ground": "unit|m above the ground", "m above the sea": "unit|m above the sea", "m from the origin": "unit|m from the origin",
	"m long, as the way over the ground": "unit|m long, as the way over the ground", "m/s (a gust of 40 m/s)": "unit|m/s (a gust of 40 m/s)", "minutes": "unit|minutes",
	"of the sky": "unit|of the sky", "people": "unit|people", "stops": "unit|stops", "stops against mid grey": "unit|stops against mid grey",
	"stops against the reference": "unit|stops against the reference",
}

func unit(to Reader, u string) string {
	if k := unitWords[u]; k != "" {
		return to.say(k)
	}
	return u
}

// timeOfWindow is what a time of the window must be.
const timeOfWindow phrase.Key = "give HH:MM from 00:00 to 23:59 (midnight at a day's end is 00:00 of the next, with end_date)"

func missing(to Reader, pointer string, k fault.Missing) faultWords {
	w := faultWords{wrong: to.say("is missing")}
	empty := to.say("is missing or empty")
	switch k.Want {
	case fault.WantDate:
		w.give = to.say("give a date as YYYY-MM-DD")
	case fault.WantTime:
		w.give = to.say(timeOfWindow)
	case fault.WantTimeZone:
		w.wrong, w.give = empty, to.say(rightZone)
	case fault.WantLabel:
		w.wrong, w.give = empty, to.say("give each of %s a name of its own", listOf(pointer))
	case fault.WantInstant:
		w.wrong, w.give = empty, to.say(rightInstant)
	case fault.WantRows:
		w = faultWords{wrong: to.say("has no rows under the names of its columns"), give: to.say("give one a line, or leave it out")}
	case fault.WantFrames:
		w.wrong, w.give = empty, to.say("give the SKUs of %.0f to %.0f frames of the house", k.Range.Least, k.Range.Most)
	case fault.WantHouse:
		w.give = houses(to, k.Words)
	case fault.WantAmount:
		w.give = to.say(`give a decimal number as text, such as "125.00"`)
	case fault.WantCurrency:
		w.give = to.say("give an ISO 4217 code such as EUR")
	default:
		w.give = to.say("give it")
		if k.Range != nil {
			w.give = within(to, *k.Range)
		}
		if fieldName(pointer) == "safe_pull_n" {
			w.give += ", " + to.say("the pull in any direction that whoever answers for the point lets it bear (100 N is the weight of 10 kg)")
		}
		switch len(k.Instead) {
		case 0:
		case 1:
			w.give = to.say("%s, or %s", w.give, k.Instead[0])
		default:
			w.give = to.say("%s, or %s with %s", w.give, k.Instead[0], strings.Join(k.Instead[1:], ", "))
		}
	}
	return w
}

func tooMany(to Reader, pointer string, k fault.TooMany) faultWords {
	switch fieldName(pointer) {
	case "lamps":
		return faultWords{wrong: to.say("has %d", k.Count), give: to.say("give at most %d, the strongest", k.Most)}
	case "gust_ms":
		return faultWords{wrong: to.say("has %d gusts", k.Count), give: to.say("give up to %d", k.Most)}
	case "forecast":
		return faultWords{wrong: to.say("has %d rows", k.Count), give: to.say("give at most %d", k.Most)}
	}
	return faultWords{wrong: to.say("has %d", k.Count), give: to.say("give at most %d", k.Most)}
}

func wrongCount(to Reader, k fault.WrongCount) faultWords {
	w := faultWords{wrong: to.say("has %d numbers", k.Count)}
	if len(k.Axes) == 2 && k.Axes[0] == "east" {
		w.give = to.say("give two, east and north of the origin in metres")
		return w
	}
	w.give = to.say("give [%s] in metres, x east and y north of the origin", strings.Join(k.Axes, ", "))
	return w
}

func bothGiven(to Reader, k fault.BothGiven) faultWords {
	switch k.Beside[0] {
	case "width_m":
		return faultWords{wrong: to.say("is given beside %s", "width_m"), give: to.say("give width_m alone, or focal_length_mm with sensor_width_mm")}
	case "gust_ms":
		return faultWords{wrong: to.say("is given beside %s", "gust_ms"), give: to.say("give one of them, the gust where it is known")}
	case "csv":
		return faultWords{wrong: to.say("is given beside a forecast as CSV"), give: to.say("give one of them")}
	}
	return faultWords{wrong: to.say("is given beside a direction"), give: to.say("give %s", eitherOf(to, k.Sets))}
}

// eitherOf lists two sets of members: "either a, b and c, or d and e".
func eitherOf(to Reader, sets [][]string) string {
	return to.say("either %s, or %s", to.and(sets[0]), to.and(sets[1]))
}

func repeated(to Reader, pointer string, k fault.Repeated) faultWords {
	if list := listOf(pointer); list != "" {
		return faultWords{
			wrong: to.say("is %s, as at %s", strconv.Quote(k.Got), fieldName(strings.TrimSuffix(k.First, "/label"))), give: to.say("give each of %s a name of its own", list),
		}
	}
	give := to.say("give each frame once")
	switch fieldName(pointer) {
	case "sku", "code":
		return faultWords{wrong: to.say("is %s, as at %s", strconv.Quote(k.Got), k.First), give: to.say("give each once")}
	case "date":
		return faultWords{wrong: to.say("is %s, as at %s", strconv.Quote(k.Got), k.First), give: to.say("give each day once")}
	}
	if strings.HasPrefix(pointer, "/numbers/") {
		give = to.say("give each shot once")
	}
	switch fieldName(pointer) {
	case "number":
		give = to.say("give each shot a number of its own")
		return faultWords{wrong: to.say("is %s, as %s is", strconv.Quote(k.Got), fieldName(strings.TrimSuffix(k.First, "/number"))), give: give}
	case "between":
		give = to.say("give the way between two different places once")
		return faultWords{wrong: to.say("is %s, as %s is", strconv.Quote(k.Got), fieldName(strings.TrimSuffix(k.First, "/between"))), give: give}
	}
	return faultWords{wrong: to.say("is %s, as %s is", strconv.Quote(k.Got), fieldName(k.First)), give: give}
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
func (to Reader) decimal(v float64) string {
	format := byte('f')
	if a := math.Abs(v); a != 0 && (a < 1e-4 || a >= 1e9) {
		format = 'g'
	}
	return to.language.Number(strconv.FormatFloat(v, format, -1, 64))
}
