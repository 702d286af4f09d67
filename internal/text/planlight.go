package text

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// The light of an option for those who meter it, and the exposure of the background.

// exposure prints what the camera is set for.
func exposure(p *printer, r *sizing.Result) {
	b, e := &r.Background, &r.Shot.Exposure
	from := map[string]string{shot.FacesUpright: ", sides turned to the lens", shot.FacesLevel: ", the ground", shot.FacesSky: ", the sky"}[r.Shot.Background.Faces]
	if r.Shot.Background.EV100 != nil {
		from = ", measured"
	}
	placed := ""
	if at := tenth(r.Shot.Background.PlacementStops); at < 0 {
		placed = fmt.Sprintf(" with the background %.1f stops under mid grey", -at)
	} else if at > 0 {
		placed = fmt.Sprintf(" with the background %.1f stops over mid grey", at)
	}
	takes := fmt.Sprintf("takes %.1f stops of neutral density, %.2f: %s", b.NDStops, b.NDDensity, ND(b))
	switch nd := tenth(b.NDStops); {
	case nd == 0:
		takes = "takes no neutral density"
	case nd < 0:
		takes = fmt.Sprintf("is %.1f stops short of light: open up, slow down or raise the ISO", -nd)
	}
	p.line("", "Background%s: %s, EV %.1f at ISO 100. The camera at ISO %.0f, %s fps, %s°, T%s%s %s.", from, lux(b.ReferenceLx),
		tenth(b.EV100), e.ISO, plain(e.FrameRateFPS), plain(e.ShutterAngleDeg), plain(e.TStop), placed, takes)
}

// ND is neutral density as the trade asks for it: "ND 2.7 and a third", "ND 0.9", "a third of a stop of ND".
func ND(b *scene.BackgroundLevel) string {
	engraved, thirds := b.TradeND()
	part := [3]string{"", "a third", "two thirds"}[thirds]
	switch {
	case engraved == 0 && thirds == 0:
		return "no ND"
	case engraved == 0:
		return part + " of a stop of ND"
	case thirds == 0:
		return fmt.Sprintf("ND %.1f", engraved)
	}
	return fmt.Sprintf("ND %.1f and %s", engraved, part)
}

// plain prints a setting with no more decimals than it has.
func plain(v float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", v), "0"), ".")
}

// tenth rounds to one decimal without leaving a minus before nothing.
func tenth(v float64) float64 { return math.Round(v*10)/10 + 0 }

// levels prints what falls on the subject, and what moving the key makes of it.
func levels(p *printer, r *sizing.Result, o *sizing.Option) {
	l := &o.Levels
	if l.KeyLx <= 0 && l.FillLx <= 0 && l.BackLx <= 0 {
		return // a note says that it is dark
	}
	if o.Background != r.Background {
		p.line("   ", "Background then: %s, EV %.1f at ISO 100, %.1f stops of neutral density, %.2f: %s.", lux(o.Background.ReferenceLx),
			tenth(o.Background.EV100), tenth(o.Background.NDStops), o.Background.NDDensity, ND(&o.Background))
	}
	against := func(lx float64) string {
		if lx <= 0 {
			return "no light"
		}
		return fmt.Sprintf("%s, %+.1f", lux(lx), tenth(math.Log2(lx/o.Background.ReferenceLx)))
	}
	p.line("   ", "Light at %s (stops against the background): key %s; fill %s; hair and shoulders %s.", l.At.Format("15:04"),
		against(l.KeyLx), against(l.FillLx), against(l.BackLx))
	p.line("     ", "Contrast %.1f stops; the key comes from %s%s; it differs by %.1f stops over the zone.", tenth(l.ContrastStops), keyFrom(l), keyColour(l),
		tenth(l.UniformityStops))
	for i := range l.OtherZones {
		z := &l.OtherZones[i]
		p.line("     ", "%s: key %s; differs by %.1f stops over the zone.", capital(z.Label), against(z.KeyLx), tenth(z.UniformityStops))
	}
	trim(p, o)
}

// keyFrom is what gives the key face most light, and how large it looks from there.
func keyFrom(l *lighting.Levels) string {
	across := fmt.Sprintf("%.0f° across", l.KeySoftnessDeg)
	if l.KeySoftnessDeg < 9.95 {
		across = fmt.Sprintf("%.1f° across", l.KeySoftnessDeg)
	}
	switch l.KeyFrom {
	case finding.FromNone:
		return "nowhere"
	case finding.FromSky:
		return "the open sky"
	case finding.FromGround:
		return "the ground"
	case finding.FromHard:
		return "the hard light itself, " + across
	case finding.FromRole(finding.RoleLamp):
		return "a bare lamp"
	case finding.FromRole(finding.RoleReflector):
		return "the reflectors, " + across
	}
	return roleWords[finding.Role(l.KeyFrom)].the + ", " + across
}

// keyColour is by how much the key is warmer or cooler than the sun; empty where that is under a mired.
func keyColour(l *lighting.Levels) string {
	if l.KeyShiftMired == nil || math.Abs(*l.KeyShiftMired) < 0.5 {
		return ""
	}
	way := "warmer"
	if *l.KeyShiftMired < 0 {
		way = "cooler"
	}
	return fmt.Sprintf(" and is %.0f mired %s than the sun", math.Abs(*l.KeyShiftMired), way)
}

// trim is the key against its distance, as short rows.
func trim(p *printer, o *sizing.Option) {
	if len(o.Trim) == 0 {
		return
	}
	p.line("   ", "The key from other distances to the middle of the zone:")
	last := ""
	for i, s := range o.Trim {
		at := fmt.Sprintf("%.1f m", s.DistanceM)
		if at == last {
			continue
		}
		last = at
		planned := ""
		if i == len(o.Trim)/2 { // the engine's own is the middle one
			planned = " (as planned)"
		}
		p.line("     ", "at %s: key %+.1f stops, contrast %.1f%s", at, tenth(s.KeyStops), tenth(s.ContrastStops), planned)
	}
}

// news is a note without what pieces and levels say with more: which boards stand where, numbers that are printed just above,
// frames that are listed below. It is empty where nothing is left.
func news(p *printer, r *sizing.Result, o *sizing.Option, note finding.Note) string {
	if slices.ContainsFunc(p.common, func(n finding.Note) bool { return reflect.DeepEqual(n, note) }) {
		return ""
	}
	switch n := note.(type) {
	case finding.KeyPlaced, finding.FillPlaced, finding.OtherHour:
		return ""
	case finding.LampsDraw:
		if lamps(o) == 1 {
			return ""
		}
	case finding.KeyUnlifted:
		return "The key face needs no lift."
	case finding.FillLeft:
		return fmt.Sprintf("The %s side is left as it is.", n.Side)
	case finding.SofteningLeftOut:
		if n.Nearest != nil && slices.ContainsFunc(r.RuledOut, func(f finding.RuledOut) bool { return f.SKU == n.Nearest.SKU }) {
			n.Nearest = nil
		}
		return Note(Metres, n)
	default:
	}
	return Note(Metres, note)
}

// findCommon keeps the notes with which all options of the shot's own window begin: they are of the shot, not of a kit. What is said of
// the ground is so in any case.
func findCommon(p *printer, r *sizing.Result) {
	n := 0
	for i := range r.Options {
		o := &r.Options[i]
		if o.Window != r.Shot.Window {
			continue
		}
		if n++; n == 1 {
			p.common = o.Notes
		}
		k := 0
		for k < len(p.common) && k < len(o.Notes) && reflect.DeepEqual(p.common[k], o.Notes[k]) {
			k++
		}
		p.common = p.common[:k]
	}
	if n < 2 {
		p.common = nil
		for i := range r.Options[:min(1, len(r.Options))] {
			for _, n := range r.Options[i].Notes {
				if _, ok := n.(finding.SoftGround); ok {
					p.common = append(p.common, n)
				}
			}
		}
	}
}
