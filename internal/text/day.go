package text

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"kitspan/internal/finding"
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
	p.row("%-5s  %6s  %7s  %-8s  %-*s %5s  %-6s  %8s %5s %5s  %4s  %8s", "time", "sun at", "sun, lx", "sun is",
		skus, "frame", "m²", "on", perDay, "key", "lit", "crew", "total")
	for _, row := range r.Rows {
		s := row.Sun
		seen, key := sunIs[row.SunIs], "-"
		if k := row.KeyUnliftedStops; k != nil {
			key = fmt.Sprintf("%+.2f", *k)
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
		lit, people, total := "-", "", ""
		if w := row.Whole; w != nil {
			lit, people, total = fmt.Sprintf("%+.2f", w.KeyStops), strconv.Itoa(w.People), w.TotalPerDay.Number()
		}
		p.row("%-5s  %5.1f°  %7s  %-8s  %-*s %5s  %-6s  %8s %5s %5s  %4s  %8s", s.At.Format("15:04"), s.ElevationDeg,
			threeDigits(s.IlluminanceLx), seen, skus, frame, area, on, price, key, lit, people, total)
	}
	p.line("", "")
	p.line("", "Each row holds from its time to the next, %d minutes on. m²: the frame's opening. Per day: the frame with its fabric and supports.", r.Steps.StepMin)
	p.line("", "Key: the key face against the background of that time, in stops, with the overhead up and nothing that lifts the face; - where the background is dark.")
	p.line("", "Lit, crew and total are of the whole plan about that overhead, with its reflectors, labour and transport.")
	p.line("", "Sun at: its elevation. Sun is: where it stands for the people; \"behind\" them within 60° of where the lens looks, \"in front\" within 60° of the other way.")
	p.line("", "%s", Scheme(r.Spans))
	if best := Best(r.Best); best != "" {
		p.line("", "%s", best)
	}
	if limit := r.Shot.Limits.PricePerDay; over && limit != nil {
		p.line("", "* over the limit of %s %s a day, which no rig keeps.", limit.Number(), limit.CurrencyCode())
	}
	without(&p, r.Rows)
	p.remarks(r.Notes)
	p.cautions(r.Cautions)
	return p.writeTo(w)
}

var sunIs = map[sizing.SunIs]string{
	sizing.SunBehind: "behind", sizing.SunBeside: "beside", sizing.SunInPicture: "in shot", sizing.SunInFront: "in front", sizing.SunAway: "away",
}

// SunIs returns where the sun stands, in words.
func SunIs(w sizing.SunIs) string {
	return map[sizing.SunIs]string{
		sizing.SunBehind: "behind the people", sizing.SunBeside: "beside them", sizing.SunInPicture: "in the picture",
		sizing.SunInFront: "in front of them", sizing.SunAway: "no direct sun",
	}[w]
}

// Scheme says when the scheme holds.
func Scheme(spans []sizing.SweepSpan) string {
	if len(spans) == 0 {
		return "The sun is never behind the people, out of the picture and softened by a frame."
	}
	var when []string
	for _, s := range spans {
		when = append(when, s.From.Format("15:04")+" to "+s.To.Format("15:04"))
	}
	return "The sun is behind the people, out of the picture and softened by a frame: " + strings.Join(when, ", ") + "."
}

// Best says which steps are the best, and in what; empty where none has an overhead.
func Best(list []sizing.SweepBest) string {
	var parts []string
	for _, b := range list {
		what := map[finding.Measure]string{
			finding.MeasureFrame: "the smallest frame", finding.MeasureTotal: "the cheapest hour for the same shot", finding.MeasurePeople: "the fewest people",
		}[b.In]
		parts = append(parts, what+" from "+b.At.Format("15:04"))
	}
	if len(parts) == 0 {
		return ""
	}
	return upper(strings.Join(parts, "; ")) + "."
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
