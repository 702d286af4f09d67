// Package text writes answers for people to read on a terminal or on paper: who stands where, how large, what it costs and
// why nothing smaller does. It takes what sizing found and knows nothing of flags, files or faces.
package text

import (
	"fmt"
	"io"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// WritePlan prints the options that answer a shot, and why nothing smaller does. An error is w's.
func WritePlan(w io.Writer, r sizing.Result) error {
	p := printer{axes: r.Shot.Axes(), shot: &r.Shot, sources: r.Sources, shown: map[string]int{}}
	findCommon(&p, &r)
	p.head(&r)
	for i := range r.Options {
		p.option(i+1, &r, &r.Options[i])
	}
	if len(r.Options) == 0 {
		p.line("", "No kit of this house does it.")
	}
	p.ladder(&r)
	p.ruledOut(r)
	p.widest(r)
	p.cautions(r.Cautions)
	return p.writeTo(w)
}

// setting prints which shot it is, and the hours that are looked at.
func (p *printer) setting(s shot.Shot, start, end string) {
	if s.Name != "" {
		p.line("", "%s", s.Name)
	}
	p.line("", "%s, %s to %s (%s). The lens looks %.0f° from %s away; the shot is %s wide.",
		s.Window.Date, start, end, s.Site.TimeZone, s.Camera.BearingDeg, metres(s.Framing.DistanceM), metres(s.Framing.WidthM))
	p.line("", "Zone to light: %s wide, %s deep, from %.2f to %.2f m above the ground.", metres(s.Zone.WidthM), metres(s.Zone.DepthM), s.Zone.BaseM, s.Zone.TopM)
}

func (p *printer) head(r *sizing.Result) {
	p.setting(r.Shot, r.Shot.Window.Start, r.Shot.Window.End)
	p.line("", "Places are measured on the ground from the subject, the middle of the zone: camera left and right, square to the lens axis, then along it, in front being toward the lens and behind away from it. Near is nearest the lens.")
	p.asked(&r.Shot)
	for _, src := range r.Sources {
		first, last := src.Track[0], src.Track[len(src.Track)-1]
		softened := "needs no softening"
		if src.Softened {
			softened = "to be softened"
		}
		if p.canBeOff(src.Label) {
			softened += ", can be switched off"
		}
		p.line("", "Hard light from %s (%s): azimuth %.1f°, elevation %.1f°, %s%s.", source(src.Label), softened,
			first.AzimuthDeg, first.ElevationDeg, lux(first.IlluminanceLx), until(first, last))
	}
	exposure(p, r)
	for _, n := range p.common {
		p.line("- ", "%s", Note(Metres, n))
	}
}

// canBeOff reports whether a source is a lamp that can be switched off.
func (p *printer) canBeOff(label string) bool {
	return slices.ContainsFunc(p.shot.Lamps, func(l shot.Lamp) bool { return l.Label == label && l.CanBeOff })
}

func until(first, last scene.TrackPoint) string {
	if first.At.Equal(last.At) {
		return ""
	}
	return fmt.Sprintf("; at the end %.1f°, %.1f°, %s", last.AzimuthDeg, last.ElevationDeg, lux(last.IlluminanceLx))
}

func (p *printer) option(number int, r *sizing.Result, o *sizing.Option) {
	p.line("", "")
	state := ""
	if o.State != finding.DoesIt {
		state = " (" + State(o) + ")"
	}
	offer := fmt.Sprintf("%s per day to hire, %s with people and transport%s", money(o.Kit.PerDay), money(o.TotalPerDay), TotalWithout(o))
	if len(o.Pieces) == 0 {
		offer = "nothing to hire"
	}
	p.line("", "%d. %s%s: %s", number, Title(o, &r.Shot.Window), state, offer)
	if len(r.Options) > 1 {
		p.line("   ", "%s.", upper(Trade(Metres, o, number == 1)))
	}
	for k := range o.Parts() {
		part := o.Part(k)
		switch {
		case o.Parts() == 1:
		case k == 0:
			p.line("   ", "Until %s:", part.Window.End)
		default:
			p.line("   ", "From %s: %s.", part.Window.Start, MoveSays(&o.Moves[k-1]))
		}
		p.stands(number, r, &part)
	}
	p.people(number, o)
	p.costs(o)
	p.gusts(number, o)
	p.forecast(number, r, o)
}

// stands prints what stands in a part of an option's window, its light and what is to be known of it.
func (p *printer) stands(number int, r *sizing.Result, o *sizing.Option) {
	p.pieces(number, o)
	if at := p.once(number, func() { levels(p, r, o) }); at > 0 {
		p.line("   ", "Light as in %d.", at)
	}
	for _, n := range o.Notes {
		if s := news(p, r, o, n); s != "" {
			p.line("   - ", "%s", s)
		}
	}
}

// MoveSays says what a move takes.
func MoveSays(m *sizing.Move) string {
	hands := people(m.Hands) + " lower, walk and raise it"
	if m.Hands == 1 {
		hands = "1 person lowers, walks and raises it"
	}
	return fmt.Sprintf("all is moved, piece by piece and with nobody under it: %s, some %d min in which nothing is shot", hands, m.Minutes)
}

// source names a source in a sentence; only the sun's label is not the user's own.
func source(label string) string {
	if label == "sun" {
		return "the sun"
	}
	return label
}

func (p *printer) ruledOut(r sizing.Result) {
	if len(r.RuledOut) == 0 {
		return
	}
	p.line("", "")
	heading := "Why not a smaller frame:"
	i := slices.IndexFunc(r.Options, func(o sizing.Option) bool {
		return o.Label == sizing.LabelOverhead && o.Has(finding.RoleOverhead, finding.RoleSide)
	})
	switch {
	case i < 0:
		heading = "Why no frame on stands:"
	case slices.ContainsFunc(r.Options[i].Pieces, func(v sizing.Piece) bool {
		return v.Role == finding.RoleOverhead && v.Hold.LowerAtMS < r.Shot.GustMS
	}):
		heading = "Why no frame on stands that holds the gust:"
	}
	p.line("", "%s", heading)
	if slices.ContainsFunc(r.RuledOut, func(f finding.RuledOut) bool { return f.Because == finding.TooSmall }) {
		p.line("  ", "(Misses by: by how much the nearest edge falls short in the frame's best place, at the time and the corner of the zone where it is worst.)")
	}
	for i := range r.RuledOut {
		f := &r.RuledOut[i]
		p.line("  ", "%s: %s", f.SKU, RuledOut(Metres, f))
	}
}

// widest prints how wide a zone could be. Where nothing is to be softened every zone does, which is no news.
func (p *printer) widest(r sizing.Result) {
	if r.Shot.Look.Soften == shot.SoftenOff || !slices.ContainsFunc(r.Sources, func(s scene.SourceTrack) bool { return s.Softened }) {
		return
	}
	p.line("", "")
	if r.WidestZoneM < 0.005 { // prints as 0.00
		p.line("", "No frame of this house covers any zone here.")
		return
	}
	p.line("", "The widest zone that this house's frames cover here: %s.", metres(r.WidestZoneM))
}
