package text

import (
	"fmt"
	"io"

	"kitspan/internal/sizing"
)

// WriteDay prints a sweep as a table, and below it why some steps have no overhead. An error is w's.
func WriteDay(w io.Writer, r sizing.SweepResult) error {
	p := printer{axes: r.Shot.Axes()}
	p.setting(r.Shot, r.Steps.Start, r.Steps.End)
	p.line("", "")
	skus, over, perDay := len("frame"), false, "per day"
	for _, row := range r.Rows {
		if o := row.Overhead; o != nil {
			skus, over, perDay = max(skus, len(o.SKU)), over || o.OverLimit, o.PerDay.CurrencyCode()+"/day"
		}
	}
	p.row("%-5s  %7s  %9s  %7s  %-7s  %-*s  %6s  %-6s  %9s  %6s", "time", "azimuth", "elevation", "sun, lx", "sun is",
		skus, "frame", "m²", "on", perDay, "key")
	for _, row := range r.Rows {
		s := row.Sun
		seen, key := "", "-"
		if k := row.KeyUnliftedStops; k != nil {
			key = fmt.Sprintf("%+.2f", *k)
		}
		switch {
		case s.IlluminanceLx <= 0:
			seen = "away"
		case s.InView:
			seen = "in shot"
		}
		frame, area, on, price := "-", "", "", ""
		if o := row.Overhead; o != nil {
			frame, area, on, price = o.SKU, fmt.Sprintf("%.2f", o.AreaM2), "stands", o.PerDay.Number()
			if o.OnLift {
				on = "lift"
			}
			if o.OverLimit {
				price += "*"
			}
		}
		p.row("%-5s  %6.1f°  %8.1f°  %7s  %-7s  %-*s  %6s  %-6s  %9s  %6s", s.At.Format("15:04"), s.AzimuthDeg, s.ElevationDeg,
			threeDigits(s.IlluminanceLx), seen, skus, frame, area, on, price, key)
	}
	p.line("", "")
	p.line("", "Each row holds from its time to the next, %d minutes on. m²: the frame's opening. Per day: the frame with its fabric and supports.", r.Steps.StepMin)
	p.line("", "Key: the key face against the background of that time, in stops, with the overhead up and nothing that lifts the face; - where the background is dark.")
	if limit := r.Shot.Limits.PricePerDay; over && limit != nil {
		p.line("", "* over the limit of %s %s a day, which no rig keeps.", limit.Number(), limit.CurrencyCode())
	}
	without(&p, r.Rows)
	p.remarks(r.Notes)
	p.cautions(r.Cautions)
	return p.writeTo(w)
}

// without prints why steps have no overhead, once for those that follow each other for the same reason.
func without(p *printer, rows []sizing.SweepRow) {
	heading := false
	for i := 0; i < len(rows); {
		last := i
		reason := Without(Metres, rows[i].Without)
		for last+1 < len(rows) && Without(Metres, rows[last+1].Without) == reason {
			last++
		}
		if reason != "" {
			if !heading {
				p.line("", "")
				p.line("", "No overhead:")
				heading = true
			}
			when := rows[i].Sun.At.Format("15:04")
			if last > i {
				when += " to " + rows[last].Sun.At.Format("15:04")
			}
			p.line("  ", "%s: %s", when, reason)
		}
		i = last + 1
	}
}
