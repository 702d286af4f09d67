package web

import (
	"fmt"
	"html/template"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/bojanz/currency"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

// reader is who reads a page: sentences, numbers, money and dates follow the language that the reader has chosen or the browser names,
// lengths the units that the form asks for.
type reader struct {
	language *phrase.Language
	notation notation
	printer  *message.Printer
	money    *currency.Formatter
	date     string // layout
	feet     bool
}

// dates are the layouts of the languages of [phrase.All], day first as the CLDR has them.
var dates = []string{"2 January 2006", "02.01.2006", "02/01/2006", "02/01/2006", "02/01/2006"}

const feetUnit = "ft"

func readerOf(r *http.Request, units string) reader {
	l := languageOf(r)
	at := slices.Index(phrase.All(), l)
	if units == "" {
		units = r.URL.Query().Get("units")
	}
	f := currency.NewFormatter(currency.NewLocale(l.Tag()))
	f.CurrencyDisplay = currency.DisplayNone
	return reader{language: l, notation: notations[at], printer: message.NewPrinter(language.Make(l.Tag())), money: f, date: dates[at], feet: units == feetUnit}
}

// number prints with so many decimals.
func (r reader) number(v float64, decimals int) string {
	return strings.ReplaceAll(r.printer.Sprint(number.Decimal(text.ToNearest(v, decimals), number.Scale(decimals))), "-", "−")
}

// lux is a level to three significant digits, and no more than one decimal: no sky model is better than that.
func (r reader) lux(lx float64) string {
	if lx < 100 {
		return r.short(math.Round(lx*10)/10) + " lx"
	}
	unit := math.Pow(10, math.Floor(math.Log10(lx))-2)
	return r.number(math.Round(lx/unit)*unit, 0) + " lx"
}

// short prints with no more decimals than there are, two at most.
func (r reader) short(v float64) string {
	for decimals := range 2 {
		if p := math.Pow10(decimals); math.Abs(v*p-math.Round(v*p)) < 0.005*p {
			return r.number(v, decimals)
		}
	}
	return r.number(v, 2)
}

// signed is number with a plus where it is one.
func (r reader) signed(v float64, decimals int) string {
	s := r.number(v, decimals)
	if v > 0 && !strings.HasPrefix(s, "−") {
		return "+" + s
	}
	return s
}

const (
	feetPerMetre  = 1 / 0.3048 // international foot, exact
	inchesPerFoot = 12
)

// length is a length in the reader's unit.
func (r reader) length(m float64) string {
	if !r.feet {
		return r.number(m, 2) + " m"
	}
	sign := ""
	if m < 0 {
		sign, m = "−", -m
	}
	inches := int(math.Round(m * feetPerMetre * inchesPerFoot))
	if inches < inchesPerFoot {
		return fmt.Sprintf("%s%d in", sign, inches)
	}
	return fmt.Sprintf("%s%d ft %d in", sign, inches/inchesPerFoot, inches%inchesPerFoot)
}

// area is an area in the reader's unit: square feet are a tenth of a square metre, so that none of their decimals matter.
func (r reader) area(m2 float64, decimals int) string {
	if !r.feet {
		return r.number(m2, decimals) + " m²"
	}
	return r.number(m2*feetPerMetre*feetPerMetre, 0) + " ft²"
}

// both is a length in metres and in feet, for what is carried from hand to hand.
func (r reader) both(m float64) string {
	metric, feet := r, r
	metric.feet, feet.feet = false, true
	return metric.length(m) + " (" + feet.length(m) + ")"
}

// amount is an amount with its currency after it, as sentences have it.
func (r reader) amount(a currency.Amount) string {
	return r.money.Format(a) + "\u00a0" + a.CurrencyCode()
}

func (r reader) day(d catalog.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC).Format(r.date)
}

// down is a limit, rounded down to a tenth, and up a load, rounded up to a whole number.
func (r reader) down(v float64) string { return r.number(text.DownToTenth(v), 1) }
func (r reader) up(v float64) string   { return r.number(text.UpToWhole(v), 0) }

// text is for whom sentences are written.
func (r reader) text() text.Reader {
	if r.feet {
		return text.Feet.In(r.language)
	}
	return text.Metres.In(r.language)
}

// units are those of drawings.
func (r reader) units() draw.Units {
	return draw.Units{Length: r.length, Area: r.area, Number: r.number, Text: r.text()}
}

func (r reader) funcs() template.FuncMap {
	return template.FuncMap{
		"t": r.language.Say, "tn": r.language.Count,
		"number": r.number, "signed": r.signed, "length": r.length, "area": r.area, "both": r.both, "money": r.amount, "day": r.day, "down": r.down,
		"caution": func(c finding.Caution) string { return text.Caution(r.text(), c) }, "first": func(list []finding.Caution) []finding.Caution { return list[:min(len(list), finding.FirstCautions)] }, "order": func(list []finding.Work) []string { return text.Order(r.text(), list) },
		"lux":     r.lux,
		"face":    func(f string) string { return text.Face(r.text(), f) },
		"ground":  func(s *shot.Shot) string { return text.Ground(r.text(), &s.Site) },
		"limits":  func(s *shot.Shot) string { return strings.Join(text.Limits(r.text(), r.amount, &s.Limits), ", ") },
		"up":      r.up,
		"summary": func(s finding.Summary) string { return text.Summary(r.text(), &s) },
		"note":    func(n finding.Note) string { return text.Note(r.text(), n) },
		"why":     func(f finding.RuledOut) string { return text.RuledOut(r.text(), &f) },
		"sunIs":   func(w sizing.SunIs) string { return text.SunIs(r.text(), w) },
		"without": func(w finding.Without) string { return text.Without(r.text(), w) },
		"unreach": func(n *finding.NoReach) string { return text.NoReach(r.text(), n) },
		"lacking": func(o *sizing.Option) string { return text.TotalWithout(r.text(), o) },
		"spans":   func(list []sizing.WindStep) []text.WindSpan { return text.WindSpans(r.text(), list) },
		"roles":   func(list []finding.Role) string { return text.Roles(r.text(), list) },
		"join":    func(list []string) string { return strings.Join(list, ", ") },
		"clock":   func(t time.Time) string { return t.Format("15:04") },
		"add":     func(a, b int) int { return a + b },
		"svg":     func(s string) template.HTML { return template.HTML(s) }, //nolint:gosec // package draw escapes every text
	}
}

// stubs are the functions' names for parsing; each page gets its reader's own.
func stubs() template.FuncMap { return reader{printer: message.NewPrinter(language.English)}.funcs() }

func strconvFixed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
