package web

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"

	"kitspan/internal/phrase"
)

// notation is how a language writes numbers: pages print by it, and what is typed is read by it.
type notation struct {
	language string
	// decimal stands before the decimals, group between thousands.
	decimal, group string
}

// notations are those of the languages of [phrase.All], in the same order.
var notations = func() []notation {
	list := phrase.All()
	out := make([]notation, len(list))
	for i, l := range list {
		const sample = 1234567.5
		printed := message.NewPrinter(language.Make(l.Tag())).Sprint(number.Decimal(sample, number.Scale(1)))
		parts := strings.FieldsFunc(printed, func(c rune) bool { return c < '0' || c > '9' })
		between := func(a, b string) string {
			from := strings.Index(printed, a) + len(a)
			return printed[from : from+strings.Index(printed[from:], b)]
		}
		out[i] = notation{language: l.Tag(), decimal: between("567", "5"), group: between(parts[0], "234")}
	}
	return out
}()

// notationOf returns the notation of a language by its name, or otherwise where there is none of it.
func notationOf(language string, otherwise notation) notation {
	for _, n := range notations {
		if n.language == language {
			return n
		}
	}
	return otherwise
}

// errNoNumber is the error of a text that is no number.
var errNoNumber = errors.New("no number")

// ambiguousError is the error of a text that is one of two numbers: its one separator is the reader's own for neither.
type ambiguousError struct {
	text    string
	a, b    float64
	decimal string // of the reader
}

// Error says it in English, for the log.
func (e *ambiguousError) Error() string { return e.in(phrase.English) }

func (e *ambiguousError) in(l *phrase.Language) string {
	plain := func(v float64) string {
		return strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), ".", e.decimal, 1)
	}
	return l.Say("%s may be %s or %s: write it as one of these", e.text, plain(e.a), plain(e.b))
}

var (
	// typedNumber are a sign, digits with what may stand between them, and an exponent. The standard library's parser alone would take
	// hexadecimal, underscores and infinity too.
	typedNumber = regexp.MustCompile(`^([+-]?)([0-9.,' ]*[0-9][0-9.,' ]*)([eE][+-]?[0-9]+)?$`)
	// oneForm writes characters that look alike as one.
	oneForm = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "’", "'", "−", "-", "–", "-")
)

// number reads a number as people write it: comma or point for the decimals; the other, spaces or apostrophes between thousands. Where
// one separator stands before three digits, it is what the notation has it for; a notation that has it for neither leaves the number
// ambiguous, which is an [*ambiguousError]. One that is too large for a float is [errNoNumber]; one that is too small is left to the
// ranges of the field.
func (n notation) number(s string) (float64, error) {
	s = oneForm.Replace(strings.TrimSpace(s))
	m := typedNumber.FindStringSubmatch(s)
	if m == nil {
		return 0, errNoNumber
	}
	sign, digits, exponent := m[1], strings.TrimSpace(m[2]), m[3]
	value := func(group, decimal string) (v float64, ok bool) {
		plain, ok := ungroup(digits, group, decimal)
		if !ok {
			return 0, false
		}
		v, err := strconv.ParseFloat(sign+plain+exponent, 64)
		return v, err == nil
	}
	read := func(v float64, ok bool) (float64, error) {
		if !ok {
			return 0, errNoNumber
		}
		return v, nil
	}
	comma, point := strings.LastIndexByte(digits, ','), strings.LastIndexByte(digits, '.')
	switch {
	case comma < 0 && point < 0:
		return read(value("", ""))
	case comma >= 0 && point >= 0: // the last of them parts the decimals
		if comma > point {
			return read(value(".", ","))
		}
		return read(value(",", "."))
	}
	separator := digits[max(comma, point):][:1]
	asDecimal, decimal := value("", separator)
	asThousands, thousands := value(separator, "")
	switch {
	case !thousands:
		return read(asDecimal, decimal)
	case !decimal, separator == n.group:
		return asThousands, nil
	case separator == n.decimal:
		return asDecimal, nil
	default:
		return 0, &ambiguousError{s, asThousands, asDecimal, n.decimal}
	}
}

// ungroup writes digits with a point for the decimals and nothing between thousands; false where they are not grouped by thousands.
// Spaces and apostrophes group beside group, but only one of them all.
func ungroup(digits, group, decimal string) (plain string, ok bool) {
	whole, decimals := digits, ""
	if decimal != "" {
		whole, decimals, _ = strings.Cut(digits, decimal)
		decimals = "." + decimals
	}
	if strings.Trim(strings.TrimPrefix(decimals, "."), "0123456789") != "" {
		return "", false
	}
	for _, separator := range []string{group, " ", "'"} {
		if separator == "" || !strings.Contains(whole, separator) {
			continue
		}
		parts := strings.Split(whole, separator)
		if len(parts[0]) > 3 || len(parts[0]) == 0 || parts[0][0] == '0' {
			return "", false
		}
		for _, part := range parts[1:] {
			if len(part) != 3 {
				return "", false
			}
		}
		whole = strings.Join(parts, "")
		break
	}
	if strings.Trim(whole, "0123456789") != "" {
		return "", false
	}
	return whole + decimals, true
}

// length reads a length in metres; feet means that a bare number is in feet. "12 ft 6 in", 12'6", "3.5 m", "80 cm" say so themselves.
func (n notation) length(s string, feet bool) (float64, error) {
	t := strings.ToLower(strings.TrimSpace(s))
	t = strings.NewReplacer("feet", "ft", "foot", "ft", "′", "ft", "inches", "in", "inch", "in", "″", "in", "\"", "in", "metres", "m", "meters", "m", "metre", "m").Replace(t)
	if whole, rest, ok := strings.Cut(t, "'"); ok {
		t = whole + "ft" + rest
	}
	if whole, rest, ok := strings.Cut(t, "ft"); ok {
		f, err := n.number(whole)
		rest = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(rest), "in"))
		if err != nil || rest == "" {
			return f / feetPerMetre, err
		}
		in, err := n.number(rest)
		if strings.HasPrefix(oneForm.Replace(whole), "-") {
			in = -in
		}
		return (f + in/inchesPerFoot) / feetPerMetre, err
	}
	for _, u := range []struct {
		suffix string
		m      float64
	}{{"cm", 0.01}, {"in", 1 / feetPerMetre / inchesPerFoot}, {"m", 1}} {
		if rest, ok := strings.CutSuffix(t, u.suffix); ok {
			v, err := n.number(rest)
			return v * u.m, err
		}
	}
	v, err := n.number(t)
	if feet {
		v /= feetPerMetre
	}
	return v, err
}

// compass are the points that a bearing may be given by.
var compass = [...]string{"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"}

// bearing reads degrees or a point of the compass.
func (n notation) bearing(s string) (float64, error) {
	t := strings.ToUpper(strings.TrimSpace(s))
	t = strings.NewReplacer("NORTH", "N", "EAST", "E", "SOUTH", "S", "WEST", "W", "-", "", " ", "").Replace(t)
	for i, p := range compass {
		if t == p {
			return float64(i) * 360 / float64(len(compass)), nil
		}
	}
	return n.number(strings.TrimSuffix(strings.TrimSpace(s), "°"))
}

// rewrite returns what was typed in one notation as another reads it as the same; parse reads it in either.
func (n notation) rewrite(s string, to notation, parse func(notation, string) (float64, error)) string {
	want, err := parse(n, s)
	if err != nil {
		return s
	}
	same := func(text string) bool {
		got, err := parse(to, text)
		return err == nil && math.Abs(got-want) <= 1e-12*math.Abs(want) // of other arithmetic at most
	}
	if same(s) {
		return s
	}
	if swapped := strings.NewReplacer(n.group, to.group, n.decimal, to.decimal).Replace(s); same(swapped) {
		return swapped
	}
	return s
}

// anyNotation writes a number so that every notation reads it as it is: never with three decimals.
func anyNotation(v float64) string {
	text := strconv.FormatFloat(v, 'f', -1, 64)
	if at := strings.IndexByte(text, '.'); at >= 0 && len(text)-at-1 == 3 {
		text += "0"
	}
	return text
}

// leastLengthM is how exactly a length is written in other units: no ruler is finer.
const leastLengthM = 2e-5

// plainLength writes a length in feet or metres as a bare number with no more decimals than leastLengthM takes, so that a length that
// comes back to its first units is the one that was typed.
func (n notation) plainLength(m float64, feet bool) string {
	unit := 1.0
	if feet {
		unit = 1 / feetPerMetre
	}
	v := m / unit
	for decimals := range 6 {
		p := math.Pow10(decimals)
		if near := math.Round(v*p) / p; math.Abs(near-v)*unit <= leastLengthM || decimals == 5 {
			v = near + 0
			break
		}
	}
	return strings.Replace(anyNotation(v), ".", n.decimal, 1)
}
