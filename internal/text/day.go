package text

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/sizing"
)

// WriteDay prints a sweep as a table, and below it why some steps have no overhead. An error is w's.
func WriteDay(w io.Writer, to Reader, r sizing.SweepResult) error {
	p := printer{to: to, axes: r.Shot.Axes()}
	p.setting(r.Shot, r.Steps.Start, r.Steps.End)
	p.line("", "")
	over := p.steps(&r)
	p.line("", "")
	p.say("", "Each row holds from its time to the next, %d minutes on. m²: the frame's opening. Per day: the frame with its fabric and supports.", r.Steps.StepMin)
	p.say("", "Key: the key face against the background of that time, in stops, with the overhead up and nothing that lifts the face; - where the background is dark.")
	p.say("", "Lit, crew and total are of the whole plan about that overhead, with its reflectors, labour and transport.")
	p.say("", "Sun at: its elevation. Sun is: where it stands for the people; \"behind\" them within 60° of where the lens looks, \"in front\" within 60° of the other way.")
	p.line("", Scheme(to, r.Spans))
	if best := Best(to, r.Best); best != "" {
		p.line("", best)
	}
	if limit := r.Shot.Limits.PricePerDay; over && limit != nil {
		p.say("", "* over the limit of %s a day, which no rig keeps.", to.money(*limit))
	}
	without(&p, r.Rows)
	p.remarks(r.Notes)
	p.cautions(r.Cautions)
	return p.writeTo(w)
}

// steps prints the table, and reports whether a rig is over the limit.
func (p *printer) steps(r *sizing.SweepResult) (over bool) {
	to := p.to
	frames, perDay := to.say("table|frame"), to.say("table|per day")
	skus := columns(frames)
	for _, row := range r.Rows {
		if o := row.Overhead; o != nil {
			skus, over, perDay = max(skus, columns(o.SKU)), over || o.OverLimit, to.say("%s/day", o.PerDay.CurrencyCode())
		}
	}
	p.row("%-5s  %6s  %7s  %-8s  %-*s %5s  %-6s  %8s %5s %5s  %4s  %8s", to.say("table|time"), to.say("table|sun at"), to.say("table|sun, lx"), to.say("table|sun is"),
		skus, frames, "m²", to.say("table|on"), perDay, to.say("table|key"), to.say("table|lit"), to.say("table|crew"), to.say("table|total"))
	for _, row := range r.Rows {
		s := row.Sun
		seen, key := to.say(sunIs[row.SunIs]), "-"
		if k := row.KeyUnliftedStops; k != nil {
			key = to.say("%+.2f", *k)
		}
		frame, area, on, price := "-", "", "", ""
		if o := row.Overhead; o != nil {
			frame, area, on, price = o.SKU, to.fixed(o.AreaM2, 2), to.say("table|stands"), to.amount(o.PerDay)
			if o.OnLift {
				on = to.say("table|lift")
			}
			if o.OverLimit {
				price += "*"
			}
		}
		lit, people, total := "-", "", ""
		if w := row.Whole; w != nil {
			lit, people, total = to.say("%+.2f", w.KeyStops), strconv.Itoa(w.People), to.amount(w.TotalPerDay)
		}
		p.row("%-5s  %6s  %7s  %-8s  %-*s %5s  %-6s  %8s %5s %5s  %4s  %8s", clock(s.At), to.fixed(s.ElevationDeg, 1)+"°",
			to.threeDigits(s.IlluminanceLx), seen, skus, frame, area, on, price, key, lit, people, total)
	}
	return over
}

var sunIs = map[sizing.SunIs]phrase.Key{
	sizing.SunBehind: "sun is|behind", sizing.SunBeside: "sun is|beside", sizing.SunInPicture: "sun is|in shot", sizing.SunInFront: "sun is|in front", sizing.SunAway: "sun is|away",
}

var whereSunIs = map[sizing.SunIs]phrase.Key{
	sizing.SunBehind: "sun is|behind the people", sizing.SunBeside: "sun is|beside them", sizing.SunInPicture: "sun is|in the picture",
	sizing.SunInFront: "sun is|in front of them", sizing.SunAway: "no direct sun",
}

// SunIs returns where the sun stands, in words.
func SunIs(to Reader, w sizing.SunIs) string { return to.say(whereSunIs[w]) }

// Scheme says when the scheme holds.
func Scheme(to Reader, spans []sizing.SweepSpan) string {
	if len(spans) == 0 {
		return to.say("The sun is never behind the people, out of the picture and softened by a frame.")
	}
	var when []string
	for _, s := range spans {
		when = append(when, to.say("hours|%s to %s", clock(s.From), clock(s.To)))
	}
	return to.say("The sun is behind the people, out of the picture and softened by a frame: %s.", strings.Join(when, ", "))
}

// Best says which steps are the best, and in what; empty where none has an overhead.
func Best(to Reader, list []sizing.SweepBest) string {
	words := map[finding.Measure]phrase.Key{
		finding.MeasureFrame: "the smallest frame from %s", finding.MeasureTotal: "the cheapest hour for the same shot from %s", finding.MeasurePeople: "the fewest people from %s",
	}
	var parts []string
	for _, b := range list {
		parts = append(parts, to.say(words[b.In], clock(b.At)))
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
		reason := Without(p.to, rows[i].Without)
		for last+1 < len(rows) && Without(p.to, rows[last+1].Without) == reason {
			last++
		}
		if reason != "" {
			if !heading {
				p.line("", "")
				p.say("", "No overhead:")
				heading = true
			}
			when := clock(rows[i].Sun.At)
			if last > i {
				when = p.to.say("hours|%s to %s", when, clock(rows[last].Sun.At))
			}
			p.line("  ", fmt.Sprintf("%s: %s", when, reason))
		}
		i = last + 1
	}
}
