package text

import (
	"io"

	"kitspan/internal/sizing"
)

// WriteReach prints how far frames go as a table, and below it why some go nowhere. An error is w's.
func WriteReach(w io.Writer, to Reader, r sizing.ReachResult) error {
	p := printer{to: to, axes: r.Shot.Axes()}
	p.setting(r.Shot, r.Shot.Window.Start, r.Shot.Window.End)
	p.line("", "")
	heading := to.say("table|frame")
	skus := columns(heading)
	for _, f := range r.Frames {
		skus = max(skus, columns(f.SKU))
	}
	p.row("%-*s  %20s  %20s", skus, heading, to.say("widest zone"), to.say("widest shot"))
	for _, f := range r.Frames {
		p.row("%-*s  %20s  %20s", skus, f.SKU, width(to, f.WidestZoneM), width(to, f.WidestShotM))
	}
	p.line("", "")
	p.say("", "Widest zone: that the frame covers with everything else as asked, the picture too. Widest shot: that it serves when the picture and the zone in it widen or narrow together; a wider picture leaves the frame less room.")
	for _, f := range r.Frames {
		if f.Because != nil {
			p.line("  ", to.say("%s: %s", f.SKU, NoReach(to, f.Because)))
		}
	}
	p.remarks(r.Notes)
	p.cautions(r.Cautions)
	return p.writeTo(w)
}

// width prints a width, and none as that.
func width(to Reader, m float64) string {
	if m < 0.005 { // prints as 0.00
		return to.say("width|none")
	}
	return to.metres(m)
}
