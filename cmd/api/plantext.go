package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"

	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// The plan for people: who stands where, how large, what it costs, and why nothing smaller does.

const (
	feetPerMetre = 1 / 0.3048 // international foot, exact
	textWidth    = 100        // columns
)

// writePlan prints a result as text.
func writePlan(w io.Writer, r sizing.Result) error {
	p := planText{bearingDeg: r.Shot.Camera.BearingDeg}
	p.head(r)
	for i := range r.Options {
		p.option(i+1, &r.Options[i])
	}
	if len(r.Options) == 0 {
		p.line("", "No kit of this house does it.")
	}
	if len(r.RuledOut) > 0 {
		p.line("", "")
		p.line("", "Why not a smaller frame:")
		for _, f := range r.RuledOut {
			p.line("  ", "%s: %s", f.SKU, f.Detail)
		}
	}
	p.line("", "")
	p.line("", "The widest zone that this house's frames cover here: %s.", metres(r.WidestZoneM))
	p.line("", "")
	p.line("", "Cautions:")
	for _, c := range r.Cautions {
		p.line("  - ", "%s", c)
	}
	_, err := w.Write(p.b.Bytes())
	return err
}

type planText struct {
	b          bytes.Buffer
	bearingDeg float64
}

// line prints a paragraph broken at textWidth, later lines indented as far as the first one's lead.
func (p *planText) line(lead, format string, args ...any) {
	column := len(lead)
	p.b.WriteString(lead)
	for i, word := range strings.Fields(fmt.Sprintf(format, args...)) {
		n := len([]rune(word))
		switch {
		case i > 0 && column+1+n > textWidth:
			p.b.WriteString("\n" + strings.Repeat(" ", len(lead)))
			column = len(lead)
		case i > 0:
			p.b.WriteByte(' ')
			column++
		}
		p.b.WriteString(word)
		column += n
	}
	p.b.WriteByte('\n')
}

func (p *planText) head(r sizing.Result) {
	s := r.Shot
	if s.Name != "" {
		p.line("", "%s", s.Name)
	}
	p.line("", "%s, %s to %s (%s). The lens looks %.0f° from %s away; the shot is %s wide.",
		s.Window.Date, s.Window.Start, s.Window.End, s.Site.TimeZone, s.Camera.BearingDeg, metres(s.Framing.DistanceM), metres(s.Framing.WidthM))
	p.line("", "Zone to light: %s wide, %s deep, from %.2f to %.2f m above the ground.", metres(s.Zone.WidthM), metres(s.Zone.DepthM), s.Zone.BaseM, s.Zone.TopM)
	for _, src := range r.Sources {
		first, last := src.Track[0], src.Track[len(src.Track)-1]
		softened := "needs no softening"
		if src.Softened {
			softened = "to be softened"
		}
		p.line("", "Hard light from %s (%s): azimuth %.1f°, elevation %.1f°, %.0f lx%s.", src.Label, softened,
			first.AzimuthDeg, first.ElevationDeg, first.IlluminanceLx, until(first, last))
	}
}

func until(first, last sizing.TrackPoint) string {
	if first.At.Equal(last.At) {
		return ""
	}
	return fmt.Sprintf("; at the end %.1f°, %.1f°, %.0f lx", last.AzimuthDeg, last.ElevationDeg, last.IlluminanceLx)
}

func (p *planText) option(number int, o *sizing.Option) {
	p.line("", "")
	state := ""
	if !o.Workable {
		state = " (not workable as it stands)"
	}
	p.line("", "%d. %s%s: %s %s per day", number, o.Label, state, o.Kit.PerDay.Number(), o.Kit.PerDay.CurrencyCode())
	p.line("   ", "%s", o.Summary)
	for i := range o.Pieces {
		p.piece(&o.Pieces[i])
	}
	for _, l := range o.Kit.Lines {
		p.line("     ", "%d × %s (%s) at %s: %s", l.Quantity, l.Name, l.SKU, l.DayRate.Number(), l.LinePerDay.Number())
	}
	if len(o.Kit.Lines) > 0 {
		p.line("   ", "The kit weighs %.0f kg and packs into %.2f m³.", o.Load.MassKg, o.Load.VolumeM3)
	}
	for _, n := range o.Notes {
		p.line("   - ", "%s", n)
	}
}

func (p *planText) piece(v *sizing.Piece) {
	c := v.Corners
	p.line("   ", "%s: opening %s × %s, %s, middle %s, edges %.2f to %.2f m up.", v.Role,
		metres(c[1].Sub(c[0]).Len()), metres(c[2].Sub(c[1]).Len()), v.Face, p.place(middle(c)),
		min(c[0].Z, c[1].Z, c[2].Z, c[3].Z), max(c[0].Z, c[1].Z, c[2].Z, c[3].Z))
	p.line("     ", "Stops %s; rays pass at least %.2f m inside the edge; at least %.2f m out of the picture.",
		strings.Join(v.Covers, ", "), v.MarginM, v.ViewClearanceM)
	for _, s := range v.Supports {
		arm := ""
		if s.Arm != nil {
			arm = fmt.Sprintf(", arm %.2f m", s.Arm[1].Sub(s.Arm[0]).Len())
		}
		p.line("     ", "%s stands %s, raised to %s%s, feet %.2f m around.", s.SKU, p.place(s.Base), metres(s.HeightM), arm, s.FootprintM)
	}
}

// place says where a point lies on the ground as seen from the lens: beside and behind the middle of the zone.
func (p *planText) place(v geom.Vec) string {
	sin, cos := math.Sincos(p.bearingDeg * math.Pi / 180)
	right, behind := v.X*cos-v.Y*sin, v.X*sin+v.Y*cos
	sideways, along := "right", "behind"
	if right < 0 {
		sideways = "left"
	}
	if behind < 0 {
		along = "in front of"
	}
	return fmt.Sprintf("%.1f m to the %s and %.1f m %s the subject", math.Abs(right), sideways, math.Abs(behind), along)
}

func middle(c [4]geom.Vec) geom.Vec { return c[0].Add(c[1]).Add(c[2]).Add(c[3]).Scale(0.25) }

// metres prints a length in metres and in feet.
func metres(m float64) string { return fmt.Sprintf("%.2f m (%.1f ft)", m, m*feetPerMetre) }
