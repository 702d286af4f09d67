package text

import (
	"math"
	"strconv"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/phrase"
	"kitspan/internal/sizing"
)

// Ropes, and what they and the wind ask of the masts.

// ropes prints where a piece's ropes go. at names the places that its supports hold; it and s are nil for a piece on one stand.
func ropes(p *printer, v *sizing.Piece, s *frameSides, at []hold, names map[string]string) {
	most := 0.0
	for i := range v.Lines {
		l := &v.Lines[i]
		from := p.to.say("the head of the stand")
		switch {
		case l.OnFrame():
			from = p.to.say("the %s", s.corner(seen(p, l.From)))
		case s != nil:
			for _, h := range at {
				if h.support == &v.Supports[l.Support] {
					from = p.to.say("the head of the mast at the %s", h.at)
				}
			}
		}
		p.say("     ", "Rope (%s) from %s, %s to %s.", named(catalog.Count{SKU: l.SKU}, names), from, slope(p.to, l.To.Sub(l.From)), foot(p, l, names))
		most = math.Max(most, l.PullN)
	}
	if most > 0 {
		p.say("     ", "Any of these ropes may pull up to %.0f N, without factor.", math.Ceil(most))
	}
}

// slope is the angle of a rope with the ground, from the piece.
func slope(to Reader, along geom.Vec) string {
	deg := math.Atan2(-along.Z, math.Hypot(along.X, along.Y)) * 180 / math.Pi
	if math.Round(deg) < 0 {
		return to.say("%.0f° up", -deg)
	}
	return to.say("%.0f° down", math.Abs(deg))
}

// foot is what a rope is tied to, and where that is: how far from the mast or from the ground below the corner, so that one tape lays it
// out, and its place as those of the stands are given.
func foot(p *printer, l *sizing.GuyLine, names map[string]string) string {
	if l.Point != "" {
		return p.to.say("the fixed point %s %s, %s up", l.Point, place(p, l.To), p.to.fixed(l.To.Z, 2)+" m")
	}
	goods := strconv.Itoa(l.Anchor.Quantity) + " × " + named(l.Anchor, names)
	off := p.to.fixed(math.Hypot(l.To.X-l.From.X, l.To.Y-l.From.Y), 1) + " m"
	if l.OnFrame() {
		return p.to.say("%s %s from below that corner: %s", goods, off, place(p, l.To))
	}
	return p.to.say("%s %s from that mast: %s", goods, off, place(p, l.To))
}

// ropeGone says what a piece with ropes holds without the one that matters most, as an order where that is less than the gust
// asked; empty for one without ropes.
func ropeGone(p *printer, v *sizing.Piece) string {
	if len(v.Lines) == 0 {
		return ""
	}
	gone := DownToTenth(v.Hold.RopeGoneMS)
	switch none := gone <= 0; {
	case none:
		return p.to.say("a rope that hangs slack: lower it at once (without its worst rope it holds no wind)")
	case gone < p.shot.GustMS:
		return p.to.say("a rope that hangs slack: lower it at once (without its worst rope it holds %.1f m/s)", gone)
	}
	return p.to.say("without its worst rope it holds %.1f m/s", gone)
}

// TellsBending reports whether a bending moment at the foot of a mast, in N·m at the gust asked, is worth comparing with a maker's
// figure. In calm air that is from 20 N·m, what 2 kg at the end of an arm of 1 m give (common practice, no source);
// frames on long arms bend masts by more without any wind.
func TellsBending(momentNM, gustMS float64) bool {
	const calmNM = 20
	return momentNM > 0 && (gustMS > 0 || momentNM >= calmNM)
}

// bending prints the bending moments at the feet of masts, stand by stand where they differ; nothing where there are none, as on
// machines, or where calm air bends them too little to tell.
func bending(p *printer, supports []*sizing.Support) {
	const nearlyAll = 0.9 // of the largest
	list := make([]string, len(supports))
	least, most := math.Inf(1), 0.0
	for i, s := range supports {
		least, most = math.Min(least, s.MastNM), math.Max(most, s.MastNM)
		list[i] = p.to.fixed(UpToWhole(s.MastNM), 0)
	}
	if !TellsBending(most, p.shot.GustMS) {
		return
	}
	all := []any{p.to.and(list)}
	switch same := len(list) > 1 && least >= nearlyAll*most; {
	case same:
		all = []any{p.to.fixed(math.Ceil(most), 0)}
		p.bends("Bending at the foot of each mast: %s N·m at %.1f m/s, without factor.", "Bending at the foot of each mast: %s N·m in calm air, without factor.", all)
	case len(list) > 1:
		p.bends("Bending at the foot of the masts, in this order: %s N·m at %.1f m/s, without factor.",
			"Bending at the foot of the masts, in this order: %s N·m in calm air, without factor.", all)
	default:
		p.bends("Bending at the foot of the mast: %s N·m at %.1f m/s, without factor.", "Bending at the foot of the mast: %s N·m in calm air, without factor.", all)
	}
}

// bends prints a sentence about bending in the gust asked, or the one about calm air where none is.
func (p *printer) bends(inGust, calm phrase.Key, args []any) {
	k := calm
	if p.shot.GustMS > 0 {
		k, args = inGust, append(args, p.shot.GustMS)
	}
	p.line("     ", p.to.say(k, args...)+" "+p.to.say("Compare with the maker's figure."))
}
