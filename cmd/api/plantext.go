package main

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"kitspan/internal/shot"

	"kitspan/internal/sizing"
)

// The plan for people: who stands where, how large, what it costs, and why nothing smaller does.

const (
	feetPerMetre = 1 / 0.3048 // international foot, exact
	textWidth    = 100        // columns
)

// writePlan prints a result as text.
func writePlan(w io.Writer, r sizing.Result) error {
	p := planText{bearingDeg: r.Shot.Camera.BearingDeg, shot: &r.Shot, sources: r.Sources, shown: map[string]int{}}
	p.findCommon(&r)
	p.head(&r)
	for i := range r.Options {
		p.option(i+1, &r, &r.Options[i])
	}
	if len(r.Options) == 0 {
		p.line("", "No kit of this house does it.")
	}
	p.ruledOut(r)
	p.widest(r)
	p.cautions(r.Cautions)
	return p.writeTo(w)
}

func (p *planText) cautions(list []string) {
	p.line("", "")
	p.line("", "Cautions:")
	for _, c := range list {
		p.line("  - ", "%s", c)
	}
}

// quantity is a number and what must stand on the same line with it.
var quantity = regexp.MustCompile(`(\d) (m|ft|lx|kg|W|kW|fps|min|stops?|[A-Z]{3})\b`)

type planText struct {
	b          bytes.Buffer
	bearingDeg float64
	shot       *shot.Shot
	sources    []sizing.SourceTrack
	common     []string        // notes that are of the shot and stand above the options
	ruledOutAs map[string]bool // what is said of frames below the options
	shown      map[string]int  // the option that first has what a paragraph describes
}

// line prints a paragraph broken at textWidth, later lines indented as far as the first one's lead.
func (p *planText) line(lead, format string, args ...any) {
	column := len(lead)
	p.b.WriteString(lead)
	text := quantity.ReplaceAllString(fmt.Sprintf(format, args...), "$1\u00a0$2")
	for i, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' }) {
		n := len([]rune(word))
		switch {
		case i > 0 && column+1+n > textWidth:
			p.b.WriteString("\n" + strings.Repeat(" ", len(lead)))
			column = len(lead)
		case i > 0:
			p.b.WriteByte(' ')
			column++
		}
		p.b.WriteString(strings.ReplaceAll(word, "\u00a0", " "))
		column += n
	}
	p.b.WriteByte('\n')
}

// writeTo writes the text without what would not be text on a terminal.
func (p *planText) writeTo(w io.Writer) error {
	_, err := w.Write(bytes.Map(printable, p.b.Bytes()))
	return err
}

// printable leaves out what a name may hold that does something to a terminal in place of being seen there: control
// characters, among them the escape that begins a sequence (ECMA-48), and those that turn the direction of the text after
// them (Unicode Standard Annex 9, 2).
func printable(r rune) rune {
	switch {
	case r == '\n':
		return r
	case r == '\t', r == '\u2028', r == '\u2029':
		return ' '
	case unicode.IsControl(r), unicode.Is(unicode.Bidi_Control, r):
		return -1
	}
	return r
}

// setting says which shot it is, and the hours that are looked at.
func (p *planText) setting(s shot.Shot, start, end string) {
	if s.Name != "" {
		p.line("", "%s", s.Name)
	}
	p.line("", "%s, %s to %s (%s). The lens looks %.0f° from %s away; the shot is %s wide.",
		s.Window.Date, start, end, s.Site.TimeZone, s.Camera.BearingDeg, metres(s.Framing.DistanceM), metres(s.Framing.WidthM))
	p.line("", "Zone to light: %s wide, %s deep, from %.2f to %.2f m above the ground.", metres(s.Zone.WidthM), metres(s.Zone.DepthM), s.Zone.BaseM, s.Zone.TopM)
}

func (p *planText) head(r *sizing.Result) {
	p.setting(r.Shot, r.Shot.Window.Start, r.Shot.Window.End)
	for _, src := range r.Sources {
		first, last := src.Track[0], src.Track[len(src.Track)-1]
		softened := "needs no softening"
		if src.Softened {
			softened = "to be softened"
		}
		p.line("", "Hard light from %s (%s): azimuth %.1f°, elevation %.1f°, %s%s.", source(src.Label), softened,
			first.AzimuthDeg, first.ElevationDeg, lux(first.IlluminanceLx), until(first, last))
	}
	p.exposure(r)
	for _, n := range p.common {
		p.line("- ", "%s", n)
	}
}

func until(first, last sizing.TrackPoint) string {
	if first.At.Equal(last.At) {
		return ""
	}
	return fmt.Sprintf("; at the end %.1f°, %.1f°, %s", last.AzimuthDeg, last.ElevationDeg, lux(last.IlluminanceLx))
}

func (p *planText) option(number int, r *sizing.Result, o *sizing.Option) {
	p.line("", "")
	state := ""
	switch {
	case !o.Workable && len(o.Pieces) > 0:
		state = " (not workable as it stands)"
	case !o.Workable || !o.Serves:
		state = " (not all that is asked)"
	}
	offer := fmt.Sprintf("%s %s per day", o.Kit.PerDay.Number(), o.Kit.PerDay.CurrencyCode())
	if len(o.Pieces) == 0 {
		offer = "nothing to hire"
	}
	p.line("", "%d. %s%s: %s", number, o.Title(), state, offer)
	p.pieces(number, o)
	if at := p.once(number, func() { p.levels(r, o) }); at > 0 {
		p.line("   ", "Light as in %d.", at)
	}
	for _, n := range o.Notes {
		if n = p.news(o, n); n != "" {
			p.line("   - ", "%s", n)
		}
	}
	p.people(number, o)
	p.costs(o)
	p.gusts(r, o)
}

// source names a source in a sentence; only the sun's label is not the user's own.
func source(label string) string {
	if label == "sun" {
		return "the sun"
	}
	return label
}

func (p *planText) ruledOut(r sizing.Result) {
	if len(r.RuledOut) == 0 {
		return
	}
	p.line("", "")
	heading := "Why not a smaller frame:"
	i := slices.IndexFunc(r.Options, func(o sizing.Option) bool {
		return o.Label == sizing.LabelOverhead && o.Has(sizing.RoleOverhead, sizing.RoleSide)
	})
	switch {
	case i < 0:
		heading = "Why no frame on stands:"
	case slices.ContainsFunc(r.Options[i].Pieces, func(v sizing.Piece) bool {
		return v.Role == sizing.RoleOverhead && v.Hold.GustLimitMS < r.Shot.GustMS
	}):
		heading = "Why no frame on stands that holds the gust:"
	}
	p.line("", "%s", heading)
	if slices.ContainsFunc(r.RuledOut, func(f sizing.RuledOut) bool { return f.Because == sizing.TooSmall }) {
		p.line("  ", "(Misses by: by how much the nearest edge falls short in the frame's best place, at the time and the corner of the zone where it is worst.)")
	}
	for _, f := range r.RuledOut {
		p.line("  ", "%s: %s", f.SKU, f.Detail)
	}
}

// widest says how wide a zone could be. Where nothing is to be softened every zone does, which is no news.
func (p *planText) widest(r sizing.Result) {
	if r.Shot.Look.Soften == shot.SoftenOff || !slices.ContainsFunc(r.Sources, func(s sizing.SourceTrack) bool { return s.Softened }) {
		return
	}
	p.line("", "")
	if r.WidestZoneM < 0.005 { // prints as 0.00
		p.line("", "No frame of this house covers any zone here.")
		return
	}
	p.line("", "The widest zone that this house's frames cover here: %s.", metres(r.WidestZoneM))
}
