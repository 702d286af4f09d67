package web

import (
	"errors"
	"math"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"pgregory.net/rapid"

	"kitspan/internal/phrase"
)

// notationIn is the notation of a language that has one.
func notationIn(t testing.TB, language string) notation {
	t.Helper()
	n := notationOf(language, notation{})
	if n.language != language {
		t.Fatalf("no notation of %s", language)
	}
	return n
}

// The separators are those of the CLDR for each language.
func TestNotationsAreThoseOfTheirLanguages(t *testing.T) {
	t.Parallel()
	for language, want := range map[string]string{"en": ",.", "de": ".,", "pt": ".,", "es": ".,"} {
		if n := notationIn(t, language); n.group+n.decimal != want {
			t.Errorf("%s: %q and %q", language, n.group, n.decimal)
		}
	}
	fr := notationIn(t, "fr")
	if space := fr.group; fr.decimal != "," || space != "\u202f" && space != "\u00a0" {
		t.Errorf("fr: %q and %q", fr.group, fr.decimal)
	}
}

func TestReadingNumbersAsPeopleWriteThem(t *testing.T) {
	t.Parallel()
	en, de, fr := notationIn(t, "en"), notationIn(t, "de"), notationIn(t, "fr")
	// What every reader reads alike.
	for in, want := range map[string]float64{
		"3.5": 3.5, "3,5": 3.5, "1,234.5": 1234.5, "1.234,5": 1234.5, "1 234,5": 1234.5, "1\u202f234": 1234, "1’234.5": 1234.5, "−2": -2, "- 2": -2,
		"1,234,567": 1234567, "1.234.567": 1234567, " 7 ": 7, ".5": 0.5, "5.": 5, "1e5": 1e5, "2,5E-1": 0.25, "0,500": 0.5, "0.125": 0.125,
		"1234,500": 1234.5, "38.6935": 38.6935, "1 234,500": 1234.5, "+3": 3,
	} {
		for _, n := range notations {
			if got, err := n.number(in); err != nil || got != want {
				t.Errorf("%s: %q: %v %v, want %v", n.language, in, got, err, want)
			}
		}
	}
	// What is read by the reader's own.
	for _, tc := range []struct {
		n    notation
		in   string
		want float64
	}{
		{en, "1,500", 1500}, {en, "1.500", 1.5}, {en, "-12,000", -12000}, {en, "41.150", 41.15},
		{de, "1.500", 1500}, {de, "1,500", 1.5}, {de, "41,150", 41.15}, {fr, "1,500", 1.5},
	} {
		if got, err := tc.n.number(tc.in); err != nil || got != tc.want {
			t.Errorf("%s: %q: %v %v, want %v", tc.n.language, tc.in, got, err, tc.want)
		}
	}
	var two *ambiguousError
	if _, err := fr.number("1.500"); !errors.As(err, &two) || !strings.Contains(two.Error(), "1500") || !strings.Contains(two.Error(), "1,5:") {
		t.Errorf("a point before three digits, in French: %v", err)
	}
	for _, in := range []string{
		"", "x", "1..2", "NaN", "nan", "Inf", "-infinity", "1e999", "0x10", "0x1p-2", "0x_1p4", "1_000", "١", "1e", "e5", ".", "+", "1e5.5", "5e3e2", "--1",
		"1,23,456", "12,34.5", "1 2", "1234,567,890", ",", " . ", "1,234.567,8", "1 23", "1,,000", "0,123,456",
	} {
		for _, n := range notations {
			if got, err := n.number(in); !errors.Is(err, errNoNumber) {
				t.Errorf("%s: %q is %v, %v", n.language, in, got, err)
			}
		}
	}
	for in, want := range map[string]float64{
		"3.5": 3.5, "3,5 m": 3.5, "80 cm": 0.8, "12 ft": 3.6576, "12'6\"": 3.81, "12 ft 6 in": 3.81, "6 in": 0.1524, "10 feet": 3.048, "−1 ft 6 in": -0.4572,
		"1,500 m": 1500,
	} {
		if got, err := en.length(in, false); err != nil || math.Abs(got-want) > 1e-9 {
			t.Errorf("%q: %v %v", in, got, err)
		}
	}
	if got, err := en.length("10", true); err != nil || math.Abs(got-3.048) > 1e-9 {
		t.Errorf("ten, in feet: %v", got)
	}
	for in, want := range map[string]float64{"N": 0, "wsw": 247.5, "South-West": 225, "258": 258, "12,5°": 12.5} {
		if got, err := en.bearing(in); err != nil || got != want {
			t.Errorf("%q: %v %v", in, got, err)
		}
	}
}

// readers is a reader of each language, in metres and in feet.
func readers() (out []reader) {
	for i, l := range phrase.All() {
		for _, feet := range []bool{false, true} {
			out = append(out, reader{notation: notations[i], printer: message.NewPrinter(language.Make(l.Tag())), feet: feet})
		}
	}
	return out
}

// Every number that a page prints is read back as itself by whoever it was printed for.
func TestWhatIsPrintedIsReadBack(t *testing.T) {
	t.Parallel()
	all := readers()
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom(all).Draw(t, "reader")
		magnitude := rapid.Float64Range(-3, 9).Draw(t, "magnitude")
		v := math.Copysign(math.Pow(10, magnitude), rapid.Float64Range(-1, 1).Draw(t, "sign"))
		if rapid.Bool().Draw(t, "whole") {
			v = math.Round(v)
		}
		near := func(what, printed string, got, want float64, err error) {
			if err != nil || math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
				t.Fatalf("%s %v is printed for %s as %q and read as %v, %v", what, want, r.notation.language, printed, got, err)
			}
		}
		for decimals := range 4 {
			want := math.Round(v*math.Pow10(decimals)) / math.Pow10(decimals)
			for _, write := range []func(float64, int) string{r.number, r.signed} {
				printed := write(v, decimals)
				got, err := r.notation.number(printed)
				near("the number", printed, got, want, err)
			}
		}
		printed := r.short(v)
		got, err := r.notation.number(printed)
		if want := math.Round(v*100) / 100; err != nil || math.Abs(got-want) > 0.01 {
			t.Fatalf("%v is printed in short as %q and read as %v, %v", v, printed, got, err)
		}
		if math.Abs(v) > 1e6 {
			return // no length
		}
		printed = r.length(v)
		got, err = r.notation.length(printed, r.feet)
		want := math.Round(v*100) / 100
		if r.feet {
			want = math.Round(v*feetPerMetre*inchesPerFoot) / feetPerMetre / inchesPerFoot
		}
		near("the length", printed, got, want, err)
	})
}

// An address means the same to whoever opens it, and so does the form that it fills.
func TestWhatIsTypedForOneReaderIsTheSameForAnother(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		from, to := rapid.SampledFrom(notations).Draw(t, "from"), rapid.SampledFrom(notations).Draw(t, "to")
		text := rapid.StringMatching(`-?[1-9][0-9]{0,3}([.,][0-9]{1,4})?([.,][0-9]{3})?`).Draw(t, "typed")
		want, err := from.number(text)
		if err != nil {
			return // no number
		}
		again := from.rewrite(text, to, notation.number)
		if got, err := to.number(again); err != nil || got != want {
			t.Fatalf("%q, %v in %s, is rewritten as %q: %v %v in %s", text, want, from.language, again, got, err, to.language)
		}
		for _, n := range notations {
			if got, err := n.number(anyNotation(want)); err != nil || got != want {
				t.Fatalf("%v for all is %q: %v %v in %s", want, anyNotation(want), got, err, n.language)
			}
		}
	})
}

func FuzzNumber(f *testing.F) {
	for _, text := range []string{"1,500", "1.500", "1 234,5", "−.5", "1’234", "1e5", "١"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, n := range notations {
			v, err := n.number(text)
			var two *ambiguousError
			switch {
			case errors.As(err, &two):
				if two.a == two.b {
					t.Errorf("%s: %q is %v either way", n.language, text, two.a)
				}
			case err == nil && (math.IsNaN(v) || math.IsInf(v, 0)):
				t.Errorf("%s: %q is %v", n.language, text, v)
			}
		}
	})
}

func TestThousandsOnThePage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	// A page in German prints 1.500 and takes it.
	p := s.get(t, "/plan?"+with("elevation", "1.500"), "Accept-Language", "de")
	if p.status != http.StatusOK || p.text("#e-elevation") != "" {
		t.Errorf("1.500 for a German: %d %q", p.status, p.text("#e-elevation"))
	}
	// The same address for an Englishman, who would read one and a half.
	address := "/plan?" + with("elevation", "1.500", numbersField, language.German.String())
	p = s.get(t, address, "Accept-Language", "en")
	if v, _ := p.Find("#f-elevation").Attr("value"); v != "1,500" {
		t.Errorf("1.500 of a German is shown as %q in English", v)
	}
	if v, _ := p.Find("form#shot [name=numbers]").Attr("value"); v != "en" {
		t.Errorf("the form in English speaks %q", v)
	}
	plan, _ := p.Find("nav a[href^='/day']").Attr("href")
	if u, err := url.Parse(plan); err != nil || u.Query().Get(numbersField) != "de" || u.Query().Get("elevation") != "1.500" {
		t.Errorf("the menu leads to %s", plan)
	}
	p = s.get(t, "/plan?"+with("elevation", "1.500"), "Accept-Language", "fr")
	if says := p.text("#e-elevation"); p.status != http.StatusUnprocessableEntity || !strings.Contains(says, "1500") || !strings.Contains(says, "1,5") {
		t.Errorf("1.500 for a Frenchman: %d %q", p.status, says)
	}
	lamps := "lamp 1,000 W; 40; 35; 2.000"
	p = s.get(t, "/plan?"+with("lamps", lamps, numbersField, "de"), "Accept-Language", "en")
	if got := p.text("#f-lamps"); got != "lamp 1,000 W; 40; 35; 2,000" || p.status != http.StatusOK {
		t.Errorf("a line of a German is shown as %q in English: %d", got, p.status)
	}
}
