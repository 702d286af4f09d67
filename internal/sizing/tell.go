package sizing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kitspan/internal/shot"
)

// explain adds what a gaffer would say of the setup, from its numbers.
func (a *arranged) explain(e *engine) {
	a.tellKey(e)
	a.tellContrast(e)
	a.tellBack(e)
	a.tellShift(e)
	for i := range a.levels.OtherZones {
		z := &a.levels.OtherZones[i]
		if miss := z.KeyStops - e.shot.OtherZones[i].KeyStops; math.Abs(miss) > closeStops {
			a.lacks = append(a.lacks, "zone")
			a.notes = append(a.notes, fmt.Sprintf("%s gets %+.1f stops against the asked %+.1f: nothing of the house that could stand there comes nearer.",
				sentence(z.Label), z.KeyStops, e.shot.OtherZones[i].KeyStops))
		}
	}
	if a.reaim != nil {
		length := a.sc.window.To.Sub(a.sc.window.From).Minutes()
		if *a.reaim < length/2 {
			a.notes = append(a.notes, fmt.Sprintf("The sun carries the beam off: aim anew every %.0f min or sooner, a hand at each board.", math.Max(1, math.Floor(*a.reaim))))
		} else {
			a.notes = append(a.notes, "Aimed for mid-window, the beam stays on the zone all through.")
		}
	}
	if w := a.power(); w > 0 {
		a.notes = append(a.notes, fmt.Sprintf("The lamps draw %.1f kW.", w/1000))
	}
}

func (a *arranged) power() (w float64) {
	for _, p := range a.pieces {
		w += p.powerW
	}
	return w
}

func (a *arranged) tellKey(e *engine) {
	want := e.shot.Look.KeyStops
	miss := a.levels.KeyStops - want
	if math.Abs(miss) > closeStops {
		a.lacks = append(a.lacks, "key")
	}
	switch {
	case a.key == nil && math.Abs(miss) <= closeStops:
		a.notes = append(a.notes, fmt.Sprintf("The key face needs no lift: it has %+.1f stops as it is.", tenth(a.levels.KeyStops)))
	case a.key == nil && miss > 0:
		a.notes = append(a.notes, fmt.Sprintf(
			"The key face has %+.1f stops without any lift, %.1f more than the asked %+.1f: turn the subject from the light, or ask for more.",
			a.levels.KeyStops, miss, want))
	case a.key == nil:
		a.notes = append(a.notes, fmt.Sprintf(
			"The key face has %+.1f stops, %.1f less than the asked %+.1f, and no %s of the house that could stand here lifts it.",
			tenth(a.levels.KeyStops), -miss, want, a.by))
	default:
		t := &a.key.train
		note := fmt.Sprintf("%s %.1f m from the subject on the %s", t.name(), t.r, sideName(a.key.to.side))
		if loss, ok := a.perHalfMetre(); ok {
			note += fmt.Sprintf("; each 0.5 m further back loses %.1f stop", loss)
		}
		if t.of.lamp == nil && t.of.specular() && t.of.front.LobeDeg < 1 && t.veil == nil {
			note += "; a flat mirror loses nothing by distance"
		}
		a.notes = append(a.notes, note+".")
		if math.Abs(miss) > closeStops {
			a.notes = append(a.notes, fmt.Sprintf("The key comes to %+.1f stops, %.1f %s than the asked %+.1f: no %s of the house that could stand here comes nearer.",
				tenth(a.levels.KeyStops), math.Abs(miss), moreOrLess(miss), want, a.by))
		}
	}
}

func (a *arranged) tellContrast(e *engine) {
	want := e.shot.Look.ContrastStops
	miss := a.levels.ContrastStops - want
	if math.Abs(miss) > closeStops {
		a.lacks = append(a.lacks, "contrast")
		a.notes = append(a.notes, fmt.Sprintf("Contrast comes to %.1f stops, %.1f %s than the asked %.1f.",
			tenth(a.levels.ContrastStops), math.Abs(miss), moreOrLess(miss), want))
	}
	switch {
	case a.fill == nil && math.Abs(miss) <= closeStops:
		a.notes = append(a.notes, fmt.Sprintf("The %s side is left as it is: contrast %.1f stops.", sideName(-a.sc.side), tenth(a.levels.ContrastStops)))
	case a.fill != nil:
		does := "lifts"
		if a.fill.dims {
			does = "darkens"
		}
		a.notes = append(a.notes, fmt.Sprintf("%s %.1f m off on the %s %s the other side: contrast %.1f stops.",
			a.fill.train.name(), a.fill.train.r, sideName(a.fill.to.side), does, tenth(a.levels.ContrastStops)))
	}
}

// tellBack says where hair and shoulders are not as asked, with everything up.
func (a *arranged) tellBack(e *engine) {
	want := e.shot.Look.BackStops
	if want == nil {
		return
	}
	if got := a.sc.stops(a.levels.BackLx); math.Abs(got-*want) > closeStops {
		a.lacks = append(a.lacks, "back")
		a.notes = append(a.notes, fmt.Sprintf("Hair and shoulders get %+.1f stops against the asked %+.1f.", tenth(got), *want))
	}
}

// tellShift says when reflectors have the sun that they work with, where that is not all of the window.
func (a *arranged) tellShift(e *engine) {
	if a.sc.driver < 0 || a.sc.throughout || !slices.ContainsFunc(a.pieces, func(p *piece) bool { return p.sunny }) {
		return
	}
	from, to := a.sc.times[0].In(e.zone), a.sc.until().In(e.zone)
	a.notes = append(a.notes, fmt.Sprintf(
		"The reflectors have the sun from %s to %s; in the rest of the window it gives less than an eighth of its most or stands under %d°: light by lamps then, or stop.",
		from.Format("15:04"), to.Format("15:04"), lowestSunDeg))
}

// perHalfMetre is what half a metre more of distance costs the key, in stops.
func (a *arranged) perHalfMetre() (stops float64, ok bool) {
	if len(a.trim) < trimSteps {
		return 0, false
	}
	from, to := a.trim[trimSteps/2], a.trim[trimSteps/2+1]
	if to.DistanceM-from.DistanceM < 1e-6 {
		return 0, false
	}
	stops = (from.KeyStops - to.KeyStops) / (to.DistanceM - from.DistanceM) / 2
	return stops, stops >= 0.05
}

// name is the train in a sentence: "2 × Silver board 1.1 x 1.1 m, silver side".
func (t *train) name() string {
	n := t.of.item.Name
	if t.of.cloth != nil {
		n += " with " + t.of.cloth.Name
	} else if t.of.lamp == nil {
		n += ", " + t.of.face + " side,"
	}
	if t.n > 1 {
		n = fmt.Sprintf("%d × %s", t.n, n)
	}
	if t.veil != nil {
		n += fmt.Sprintf(" behind %s with %s", t.veil.frame.Name, t.veil.cloth.Name)
	}
	return n
}

// tenth rounds to one decimal without leaving a minus before nothing.
func tenth(x float64) float64 { return math.Round(x*10)/10 + 0 }

func sideName(side float64) string {
	if side > 0 {
		return "right"
	}
	return "left"
}

func moreOrLess(miss float64) string {
	if miss > 0 {
		return "more"
	}
	return "less"
}

// sentence starts with a capital.
func sentence(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// sourceName is a hard source in a sentence.
func sourceName(label string) string {
	if label == shot.SunLabel {
		return "the sun"
	}
	return "lamp " + label
}

// summary is one sentence that a person can act on.
func (e *engine) summary(opt *Option, choices []*choice, a *arranged) string {
	var parts []string
	times := map[string]int{}
	for _, ch := range choices {
		var on []string
		for _, n := range ch.supports() {
			on = append(on, fmt.Sprintf("%d × %s", n.Quantity, e.stock.Item(n.SKU).Name))
		}
		part := fmt.Sprintf("%s with %s on %s, middle %.1f m up",
			ch.candidate.item.Name, ch.candidate.fabric.Name, strings.Join(on, " and "), ch.rigged.opening.Center.Z)
		if times[part]++; times[part] == 1 {
			parts = append(parts, part)
		}
	}
	for i, part := range parts {
		if n := times[part]; n > 1 {
			parts[i] = fmt.Sprintf("%d times %s", n, part)
		}
	}
	if len(parts) == 0 {
		parts = append(parts, "No overhead")
	}
	if a.key != nil {
		parts = append(parts, fmt.Sprintf("key by %s", a.key.train.name()))
	}
	if a.fill != nil {
		role := "fill"
		if a.fill.dims {
			role = "black"
		}
		parts = append(parts, fmt.Sprintf("%s by %s", role, a.fill.train.name()))
	}
	s := strings.ReplaceAll(strings.Join(parts, "; "), " side,;", " side;")
	s = strings.TrimSuffix(s, ",")
	if opt.Label == LabelLaterHour {
		s = fmt.Sprintf("Shoot %s to %s: %s", opt.Window.Start, opt.Window.End, s)
	}
	if a.sc.reference < dimmestReferenceLx {
		return s + ". No light is planned: there is none on the background to set the camera by."
	}
	return fmt.Sprintf("%s. Key %+.1f stops, contrast %.1f; %s %s a day.", s, tenth(opt.Levels.KeyStops), tenth(opt.Levels.ContrastStops),
		opt.Kit.PerDay.Number(), opt.Kit.PerDay.CurrencyCode())
}
