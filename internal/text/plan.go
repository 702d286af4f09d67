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
func WritePlan(w io.Writer, to Reader, r sizing.Result) error {
	p := printer{to: to, axes: r.Shot.Axes(), shot: &r.Shot, sources: r.Sources, shown: map[string]int{}}
	findCommon(&p, &r)
	p.head(&r)
	for i := range r.Options {
		p.option(i+1, &r, &r.Options[i])
	}
	if len(r.Options) == 0 {
		p.say("", "No kit of this house does it.")
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
		p.line("", s.Name)
	}
	p.say("", "%s, %s to %s (%s). The lens looks %.0f° from %s away; the shot is %s wide.",
		s.Window.Date.String(), start, end, s.Site.TimeZone, s.Camera.BearingDeg, p.to.metres(s.Framing.DistanceM), p.to.metres(s.Framing.WidthM))
	p.say("", "Zone to light: %s wide, %s deep, from %.2f to %.2f m above the ground.", p.to.metres(s.Zone.WidthM), p.to.metres(s.Zone.DepthM), s.Zone.BaseM, s.Zone.TopM)
}

func (p *printer) head(r *sizing.Result) {
	to := p.to
	p.setting(r.Shot, r.Shot.Window.Start, r.Shot.Window.End)
	p.say("", "Places are measured on the ground from the subject, the middle of the zone: camera left and right, square to the lens axis, then along it, in front being toward the lens and behind away from it. Near is nearest the lens.")
	p.asked(&r.Shot)
	for _, src := range r.Sources {
		first, last := src.Track[0], src.Track[len(src.Track)-1]
		softened := to.say("needs no softening")
		if src.Softened {
			softened = to.say("to be softened")
		}
		if p.canBeOff(src.Label) {
			softened += ", " + to.say("can be switched off")
		}
		says := to.say("Hard light from %s (%s): azimuth %.1f°, elevation %.1f°, %s", source(to, src.Label), softened, first.AzimuthDeg, first.ElevationDeg, to.lux(first.IlluminanceLx))
		if !first.At.Equal(last.At) {
			says += "; " + to.say("at the end %.1f°, %.1f°, %s", last.AzimuthDeg, last.ElevationDeg, to.lux(last.IlluminanceLx))
		}
		p.line("", says+".")
	}
	exposure(p, r)
	for _, n := range p.common {
		p.line("- ", Note(to, n))
	}
}

// canBeOff reports whether a source is a lamp that can be switched off.
func (p *printer) canBeOff(label string) bool {
	return slices.ContainsFunc(p.shot.Lamps, func(l shot.Lamp) bool { return l.Label == label && l.CanBeOff })
}

func (p *printer) option(number int, r *sizing.Result, o *sizing.Option) {
	p.line("", "")
	to := p.to
	name := Title(to, o, &r.Shot.Window)
	if o.State != finding.DoesIt {
		name += " (" + State(to, o) + ")"
	}
	offer := to.say("%s per day to hire, %s with people and transport", to.money(o.Kit.PerDay), to.money(o.TotalPerDay)) + TotalWithout(to, o)
	if len(o.Pieces) == 0 {
		offer = to.say("nothing to hire")
	}
	p.line("", fmt.Sprintf("%d. ", number)+to.say("%s: %s", name, offer))
	if len(r.Options) > 1 {
		p.line("   ", upper(Trade(to, o, number == 1))+".")
	}
	for k := range o.Parts() {
		part := o.Part(k)
		switch {
		case o.Parts() == 1:
		case k == 0:
			p.say("   ", "Until %s:", part.Window.End)
		default:
			p.say("   ", "From %s: %s.", part.Window.Start, MoveSays(to, &o.Moves[k-1]))
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
		p.say("   ", "Light as in %d.", at)
	}
	for _, n := range o.Notes {
		if s := news(p, r, o, n); s != "" {
			p.line("   - ", s)
		}
	}
}

// MoveSays says what a move takes.
func MoveSays(to Reader, m *sizing.Move) string {
	return to.say("all is moved, piece by piece and with nobody under it: %s, some %d min in which nothing is shot",
		to.count("1 person lowers, walks and raises it", "%d people lower, walk and raise it", m.Hands, m.Hands), m.Minutes)
}

// source names a source in a sentence; only the sun's label is not the user's own.
func source(to Reader, label string) string {
	if label == "sun" {
		return to.say("the sun")
	}
	return label
}

func (p *printer) ruledOut(r sizing.Result) {
	if len(r.RuledOut) == 0 {
		return
	}
	p.line("", "")
	heading := p.to.say("Why not a smaller frame:")
	i := slices.IndexFunc(r.Options, func(o sizing.Option) bool {
		return o.Label == sizing.LabelOverhead && o.Has(finding.RoleOverhead, finding.RoleSide)
	})
	switch {
	case i < 0:
		heading = p.to.say("Why no frame on stands:")
	case slices.ContainsFunc(r.Options[i].Pieces, func(v sizing.Piece) bool {
		return v.Role == finding.RoleOverhead && v.Hold.LowerAtMS < r.Shot.GustMS
	}):
		heading = p.to.say("Why no frame on stands that holds the gust:")
	}
	p.line("", heading)
	if slices.ContainsFunc(r.RuledOut, func(f finding.RuledOut) bool { return f.Because == finding.TooSmall }) {
		p.say("  ", "(Misses by: by how much the nearest edge falls short in the frame's best place, at the time and the corner of the zone where it is worst.)")
	}
	for i := range r.RuledOut {
		f := &r.RuledOut[i]
		p.line("  ", p.to.say("%s: %s", f.SKU, RuledOut(p.to, f)))
	}
}

// widest prints how wide a zone could be. Where nothing is to be softened every zone does, which is no news.
func (p *printer) widest(r sizing.Result) {
	if r.Shot.Look.Soften == shot.SoftenOff || !slices.ContainsFunc(r.Sources, func(s scene.SourceTrack) bool { return s.Softened }) {
		return
	}
	p.line("", "")
	if r.WidestZoneM < 0.005 { // prints as 0.00
		p.say("", "No frame of this house covers any zone here.")
		return
	}
	p.say("", "The widest zone that this house's frames cover here: %s.", p.to.metres(r.WidestZoneM))
}
