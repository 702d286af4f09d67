package text

import (
	"fmt"
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// Ropes, and what they and the wind ask of the masts.

// ropes prints where a piece's ropes go. at names the places that its supports hold; it and s are nil for a piece on one stand.
func ropes(p *printer, v *sizing.Piece, s *frameSides, at []hold, names map[string]string) {
	most := 0.0
	for i := range v.Lines {
		l := &v.Lines[i]
		from := "the head of the stand"
		switch {
		case l.OnFrame():
			from = "the " + s.corner(seen(p, l.From))
		case s != nil:
			for _, h := range at {
				if h.support == &v.Supports[l.Support] {
					from = "the head of the mast at the " + h.at
				}
			}
		}
		p.line("     ", "Rope (%s) from %s, %s to %s.", named(catalog.Count{SKU: l.SKU}, names), from, slope(l.To.Sub(l.From)), foot(p, l, names))
		most = math.Max(most, l.PullN)
	}
	if most > 0 {
		p.line("     ", "Any of these ropes may pull up to %.0f N, without factor.", math.Ceil(most))
	}
}

// slope is the angle of a rope with the ground, from the piece.
func slope(along geom.Vec) string {
	deg := math.Atan2(-along.Z, math.Hypot(along.X, along.Y)) * 180 / math.Pi
	if math.Round(deg) < 0 {
		return fmt.Sprintf("%.0f° up", -deg)
	}
	return fmt.Sprintf("%.0f° down", math.Abs(deg))
}

// foot is what a rope is tied to, and where that is: how far from the mast or from the ground below the corner, so that one tape lays it
// out, and its place as those of the stands are given.
func foot(p *printer, l *sizing.GuyLine, names map[string]string) string {
	if l.Point == "" {
		mark := "that mast"
		if l.OnFrame() {
			mark = "below that corner"
		}
		return fmt.Sprintf("%d × %s %.1f m from %s: %s", l.Anchor.Quantity, named(l.Anchor, names), math.Hypot(l.To.X-l.From.X, l.To.Y-l.From.Y), mark, place(p, l.To))
	}
	return fmt.Sprintf("the fixed point %s %s, %.2f m up", l.Point, place(p, l.To), l.To.Z)
}

// ropeGone says what a piece with ropes holds without the one that matters most, as an order where that is less than the gust
// asked; empty for one without ropes.
func ropeGone(p *printer, v *sizing.Piece) string {
	if len(v.Lines) == 0 {
		return ""
	}
	gone := DownToTenth(v.Hold.RopeGoneMS)
	holds := fmt.Sprintf("%.1f m/s", gone)
	if gone <= 0 {
		holds = "no wind"
	}
	if gone < p.shot.GustMS || gone <= 0 {
		return fmt.Sprintf("; a rope that hangs slack: lower it at once (without its worst rope it holds %s)", holds)
	}
	return "; without its worst rope it holds " + holds
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
		list[i] = fmt.Sprintf("%.0f", UpToWhole(s.MastNM))
	}
	if !TellsBending(most, p.shot.GustMS) {
		return
	}
	at := "in calm air"
	if p.shot.GustMS > 0 {
		at = fmt.Sprintf("at %.1f m/s", p.shot.GustMS)
	}
	masts := "the mast"
	switch upTo := fmt.Sprintf("%.0f", math.Ceil(most)); {
	case len(list) > 1 && least >= nearlyAll*most:
		masts, list = "each mast", []string{upTo}
	case len(list) > 1:
		masts = "the masts, in this order"
	}
	p.line("     ", "Bending at the foot of %s: %s N·m %s, without factor. Compare with the maker's figure.", masts, listed(list, " and "), at)
}
