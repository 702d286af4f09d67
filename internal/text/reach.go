package text

import (
	"io"

	"kitspan/internal/sizing"
)

// WriteReach prints how far frames go as a table, and below it why some go nowhere. An error is w's.
func WriteReach(w io.Writer, r sizing.ReachResult) error {
	p := printer{axes: r.Shot.Axes()}
	p.setting(r.Shot, r.Shot.Window.Start, r.Shot.Window.End)
	p.line("", "")
	skus := len("frame")
	for _, f := range r.Frames {
		skus = max(skus, len(f.SKU))
	}
	p.row("%-*s  %20s  %20s", skus, "frame", "widest zone", "widest shot")
	for _, f := range r.Frames {
		p.row("%-*s  %20s  %20s", skus, f.SKU, width(f.WidestZoneM), width(f.WidestShotM))
	}
	p.line("", "")
	p.line("", "Widest zone: that the frame covers with everything else as asked, the picture too. Widest shot: that it serves when the picture and the zone in it widen or narrow together; a wider picture leaves the frame less room.")
	for _, f := range r.Frames {
		if f.Because != nil {
			p.line("  ", "%s: %s", f.SKU, NoReach(Metres, f.Because))
		}
	}
	p.remarks(r.Notes)
	p.cautions(r.Cautions)
	return p.writeTo(w)
}

// width prints a width, and none as that.
func width(m float64) string {
	if m < 0.005 { // prints as 0.00
		return "none"
	}
	return metres(m)
}
