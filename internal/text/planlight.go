package text

import (
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/phrase"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// The light of an option for those who meter it, and the exposure of the background.

// exposure prints what the camera is set for.
func exposure(p *printer, r *sizing.Result) {
	b := &r.Background
	from := map[string]phrase.Key{
		shot.FacesUpright: "Background, sides turned to the lens: %s, EV %.1f at ISO 100.", shot.FacesLevel: "Background, the ground: %s, EV %.1f at ISO 100.",
		shot.FacesSky: "Background, the sky: %s, EV %.1f at ISO 100.", "": "Background: %s, EV %.1f at ISO 100.",
	}[r.Shot.Background.Faces]
	if r.Shot.Background.EV100 != nil {
		from = "Background, measured: %s, EV %.1f at ISO 100."
	}
	camera := set(p.to, &r.Shot)
	takes := p.to.say("%s takes %.1f stops of neutral density, %.2f: %s.", camera, b.NDStops, b.NDDensity, ND(p.to, b))
	switch nd := tenth(b.NDStops); {
	case nd == 0:
		takes = p.to.say("%s takes no neutral density.", camera)
	case nd < 0:
		takes = p.to.say("%s is %.1f stops short of light: open up, slow down or raise the ISO.", camera, -nd)
	}
	p.line("", p.to.say(from, p.to.lux(b.ReferenceLx), tenth(b.EV100))+" "+takes)
}

// set is the camera as it is set.
func set(to Reader, s *shot.Shot) string {
	e := &s.Exposure
	args := []any{e.ISO, to.plain(e.FrameRateFPS), to.plain(e.ShutterAngleDeg), to.plain(e.TStop)}
	switch at := tenth(s.Background.PlacementStops); {
	case at < 0:
		return to.say("The camera at ISO %.0f, %s fps, %s°, T%s with the background %.1f stops under mid grey", append(args, -at)...)
	case at > 0:
		return to.say("The camera at ISO %.0f, %s fps, %s°, T%s with the background %.1f stops over mid grey", append(args, at)...)
	}
	return to.say("The camera at ISO %.0f, %s fps, %s°, T%s", args...)
}

// ND is neutral density as the trade asks for it: "ND 2.7 and a third", "ND 0.9", "a third of a stop of ND".
func ND(to Reader, b *scene.BackgroundLevel) string {
	engraved, thirds := b.TradeND()
	switch {
	case engraved == 0 && thirds == 0:
		return to.say("no ND")
	case engraved == 0 && thirds == 1:
		return to.say("a third of a stop of ND")
	case engraved == 0:
		return to.say("two thirds of a stop of ND")
	case thirds == 0:
		return to.say("ND %.1f", engraved)
	case thirds == 1:
		return to.say("ND %.1f and a third", engraved)
	}
	return to.say("ND %.1f and two thirds", engraved)
}

// plain prints a setting with no more decimals than it has.
func (to Reader) plain(v float64) string {
	return to.language.Number(strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', 3, 64), "0"), "."))
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
		p.say("   ", "Background then: %s, EV %.1f at ISO 100, %.1f stops of neutral density, %.2f: %s.", p.to.lux(o.Background.ReferenceLx),
			tenth(o.Background.EV100), tenth(o.Background.NDStops), o.Background.NDDensity, ND(p.to, &o.Background))
	}
	against := func(lx float64) string {
		if lx <= 0 {
			return p.to.say("no light")
		}
		return p.to.say("%s, %+.1f", p.to.lux(lx), tenth(math.Log2(lx/o.Background.ReferenceLx)))
	}
	p.say("   ", "Light at %s (stops against the background): key %s; fill %s; hair and shoulders %s.", clock(l.At),
		against(l.KeyLx), against(l.FillLx), against(l.BackLx))
	p.line("     ", strings.Join([]string{
		p.to.say("Contrast %.1f stops", tenth(l.ContrastStops)), keyColour(p.to, l, keyFrom(p.to, l)), p.to.say("it differs by %.1f stops over the zone.", tenth(l.UniformityStops)),
	}, "; "))
	for i := range l.OtherZones {
		z := &l.OtherZones[i]
		p.say("     ", "%s: key %s; differs by %.1f stops over the zone.", upper(z.Label), against(z.KeyLx), tenth(z.UniformityStops))
	}
	trim(p, o)
}

// keyFrom is what gives the key face most light, and how large it looks from there.
func keyFrom(to Reader, l *lighting.Levels) string {
	across := to.say("%.0f° across", l.KeySoftnessDeg)
	if l.KeySoftnessDeg < 9.95 {
		across = to.say("%.1f° across", l.KeySoftnessDeg)
	}
	switch l.KeyFrom {
	case finding.FromNone:
		return to.say("from|nowhere")
	case finding.FromSky:
		return to.say("the open sky")
	case finding.FromGround:
		return to.say("the ground")
	case finding.FromHard:
		return to.say("the hard light itself") + ", " + across
	case finding.FromRole(finding.RoleLamp):
		return to.say("a bare lamp")
	case finding.FromRole(finding.RoleReflector):
		return to.say("the reflectors") + ", " + across
	}
	return to.theRole(finding.Role(l.KeyFrom)) + ", " + across
}

// keyColour says where the key comes from and, where that is a mired or more, by how much it is warmer or cooler than the sun.
func keyColour(to Reader, l *lighting.Levels, from string) string {
	switch {
	case l.KeyShiftMired == nil || math.Abs(*l.KeyShiftMired) < 0.5:
		return to.say("the key comes from %s", from)
	case *l.KeyShiftMired < 0:
		return to.say("the key comes from %s and is %.0f mired cooler than the sun", from, -*l.KeyShiftMired)
	}
	return to.say("the key comes from %s and is %.0f mired warmer than the sun", from, *l.KeyShiftMired)
}

// trim is the key against its distance, as short rows.
func trim(p *printer, o *sizing.Option) {
	if len(o.Trim) == 0 {
		return
	}
	p.say("   ", "The key from other distances to the middle of the zone:")
	last := ""
	for i, s := range o.Trim {
		at := p.to.fixed(s.DistanceM, 1) + " m"
		if at == last {
			continue
		}
		last = at
		says := p.to.say("at %s: key %+.1f stops, contrast %.1f", at, tenth(s.KeyStops), tenth(s.ContrastStops))
		if i == len(o.Trim)/2 { // the engine's own is the middle one
			says += " (" + p.to.say("as planned") + ")"
		}
		p.line("     ", says)
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
		return p.to.say("The key face needs no lift.")
	case finding.FillLeft:
		return p.to.side(n.Side, "The left side is left as it is.", "The right side is left as it is.")
	case finding.SofteningLeftOut:
		if n.Nearest != nil && slices.ContainsFunc(r.RuledOut, func(f finding.RuledOut) bool { return f.SKU == n.Nearest.SKU }) {
			n.Nearest = nil
		}
		return Note(p.to, n)
	default:
	}
	return Note(p.to, note)
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
