package catalog

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Field is one attribute of a spec: what it is called, where its value is, and the rule that the value keeps.
type Field struct {
	// Name is the attribute's name in CSV headings, JSON and database columns, with the unit as its suffix.
	Name string
	// Value points into the spec: a *float64, an *int or a *string. Money of an item ([Item.Fields]) is read and written by
	// [Field.Parse] and [Field.Format] alone.
	Value any
	// Rule bounds the value.
	Rule Rule
	// Means says in a few words what the attribute is, for documentation.
	Means string
}

// Rule bounds one attribute. Numbers lie between Min and Max; words come from a closed list, or are free text of at
// most MaxLen characters. Make one by [Positive], [NonNegative], [Between], [Share], [OneOf], [OneNumber] or [Text].
type Rule struct {
	Min, Max float64
	// OpenMin leaves Min itself out.
	OpenMin bool
	// Words closes the list of strings; nil for free text.
	Words []string
	// Numbers closes the list of whole numbers; nil for a range.
	Numbers []int
	// MaxLen is the greatest length of free text in characters, Optional lets it be empty.
	MaxLen   int
	Optional bool
}

// Positive is over 0 and at most limit.
func Positive(limit float64) Rule { return Rule{Min: 0, OpenMin: true, Max: limit} }

// NonNegative is from 0 to limit.
func NonNegative(limit float64) Rule { return Rule{Min: 0, Max: limit} }

// Between is from low to high, both included.
func Between(low, high float64) Rule { return Rule{Min: low, Max: high} }

// Share is from 0 to 1.
func Share() Rule { return Between(0, 1) }

// OneOf is a word of a closed list.
func OneOf(words ...string) Rule { return Rule{Words: words} }

// OneNumber is a whole number of a closed list.
func OneNumber(numbers ...int) Rule { return Rule{Numbers: numbers} }

// Text is free text of 1 to maxLen characters on one line; [Rule.OrEmpty] allows none.
func Text(maxLen int) Rule { return Rule{MaxLen: maxLen} }

// OrEmpty is the same rule for text that may be left out.
func (r Rule) OrEmpty() Rule {
	r.Optional = true
	return r
}

// String says what a value must be, as the end of a sentence: "over 0 and at most 60", "one of bag, block".
func (r Rule) String() string {
	switch {
	case r.Words != nil:
		return "one of " + strings.Join(r.Words, ", ")
	case r.Numbers != nil:
		s := make([]string, len(r.Numbers))
		for i, n := range r.Numbers {
			s[i] = strconv.Itoa(n)
		}
		return "one of " + strings.Join(s, ", ")
	case r.MaxLen > 0 && r.Optional:
		return fmt.Sprintf("empty or at most %d characters", r.MaxLen)
	case r.MaxLen > 0:
		return fmt.Sprintf("1 to %d characters", r.MaxLen)
	case r.OpenMin:
		return fmt.Sprintf("over %s and at most %s", plain(r.Min), plain(r.Max))
	default:
		return fmt.Sprintf("from %s to %s", plain(r.Min), plain(r.Max))
	}
}

// Problem returns what is wrong with the field's value, as a sentence that says what would be right; empty when nothing is.
func (f Field) Problem() string {
	switch v := f.Value.(type) {
	case *float64:
		return f.Rule.number(*v)
	case *int:
		if f.Rule.Numbers != nil {
			if !slices.Contains(f.Rule.Numbers, *v) {
				return fmt.Sprintf("%d: must be %s", *v, f.Rule)
			}
			return ""
		}
		return f.Rule.number(float64(*v))
	case *string:
		return f.Rule.text(*v)
	case amountField, ratesField:
		return "" // [Item.Validate] knows the rules of money
	default:
		panic(fmt.Sprintf("catalog: field %s has a value of type %T", f.Name, f.Value))
	}
}

// leastMagnitude is the smallest number but 0 that an attribute may have: a billionth of a metre or kilogram means nothing
// (common practice, no source), and quotients of still smaller numbers leave the range of floats.
const leastMagnitude = 1e-9

func (r Rule) number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Sprintf("is not a finite number: must be %s", r)
	}
	if v != 0 && math.Abs(v) < leastMagnitude {
		if r.Min <= 0 && !r.OpenMin {
			return fmt.Sprintf("is nearer to 0 than %g: write 0", leastMagnitude)
		}
		return fmt.Sprintf("is nearer to 0 than %g: must be %s", leastMagnitude, r)
	}
	if v < r.Min || v > r.Max || (r.OpenMin && v == r.Min) {
		return fmt.Sprintf("%s: must be %s", plain(v), r)
	}
	return ""
}

func (r Rule) text(s string) string {
	if r.Words != nil {
		if !slices.Contains(r.Words, s) {
			return fmt.Sprintf("%s: must be %s", quote(s), r)
		}
		return ""
	}
	if s == "" {
		if r.Optional {
			return ""
		}
		return fmt.Sprintf("is empty: must be %s", r)
	}
	if !utf8.ValidString(s) {
		return "is not valid UTF-8 text"
	}
	if n := utf8.RuneCountInString(s); n > r.MaxLen {
		return fmt.Sprintf("has %d characters: must be %s", n, r)
	}
	// A byte order mark or an invisible joiner is not a graphic rune either: what cannot be seen cannot be compared.
	if i := strings.IndexFunc(s, func(c rune) bool { return !unicode.IsPrint(c) }); i >= 0 {
		return fmt.Sprintf("%s holds a line break or an invisible character: leave it out", quote(s))
	}
	if strings.TrimSpace(s) != s {
		return fmt.Sprintf("%s starts or ends with a space: leave it out", quote(s))
	}
	return ""
}

// Format writes the value as CSV does: numbers in plain decimal digits, exactly as many as bring the same value back.
func (f Field) Format() string {
	switch v := f.Value.(type) {
	case *float64:
		return plain(*v)
	case *int:
		return strconv.Itoa(*v)
	case *string:
		return *v
	case amountField:
		return v.format()
	case ratesField:
		return v.format()
	default:
		panic(fmt.Sprintf("catalog: field %s has a value of type %T", f.Name, f.Value))
	}
}

// Parse reads what Format wrote into the field's value. An error says what is wrong with the text; whether the value
// keeps the rule is [Field.Problem]'s business.
func (f Field) Parse(s string) error {
	switch v := f.Value.(type) {
	case *float64:
		x, err := parseNumber(s)
		if err != nil {
			return err
		}
		*v = x
	case *int:
		n, err := parseCount(s)
		if err != nil {
			return err
		}
		*v = n
	case *string:
		*v = s
	case amountField:
		return v.parse(s)
	case ratesField:
		return v.parse(s)
	default:
		panic(fmt.Sprintf("catalog: field %s has a value of type %T", f.Name, f.Value))
	}
	return nil
}

func (f Field) isMoney() bool {
	switch f.Value.(type) {
	case amountField, ratesField:
		return true
	}
	return false
}

func (f Field) isText() bool {
	_, text := f.Value.(*string)
	return text
}

// plain is a float without an exponent, which spreadsheets and readers otherwise mangle.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// parseNumber takes decimal notation alone: no hexadecimal, no NaN, no infinity, and a point for the decimals.
func parseNumber(s string) (float64, error) {
	if s == "" {
		return 0, fmt.Errorf("is empty: write a number")
	}
	if strings.Contains(s, ",") {
		return 0, fmt.Errorf("%s: write a decimal point and no thousands separator", quote(s))
	}
	if strings.Trim(s, "0123456789+-.eE") != "" {
		return 0, fmt.Errorf("%s is not a number", quote(s))
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0, fmt.Errorf("%s is not a number", quote(s))
	}
	return v + 0, nil // -0 becomes 0
}

func parseCount(s string) (int, error) {
	if s == "" {
		return 0, fmt.Errorf("is empty: write a whole number")
	}
	n, err := strconv.ParseInt(s, 10, 32)
	if err != nil {
		return 0, fmt.Errorf("%s is not a whole number of reasonable size", quote(s))
	}
	return int(n), nil
}

// quote shows a value inside a message, cut where it is long.
func quote(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) > most {
		r := []rune(s)
		s = string(r[:most]) + "…"
	}
	return strconv.Quote(s)
}
