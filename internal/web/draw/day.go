package draw

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// Panels of the day, one under the other on one axis of time.
const (
	dayLeft   = 60.0
	dayRight  = paperWidth - 16
	sunTop    = 44.0
	sunHeight = 150.0
	barTop    = sunTop + sunHeight + 62
	barHeight = 110.0
	feeTop    = barTop + barHeight + 50
	feeHeight = 76.0
	dayKeyTop = feeTop + feeHeight + 58
	keyRow    = 20.0
	headroom  = 20.0 // over the tallest bar, for its letter
)

// dayChart is what a sweep is drawn with.
type dayChart struct {
	*canvas
	s    *sizing.SweepResult
	u    Units
	end  time.Time
	keys []frameKey
	why  []reason
	best []bool
}

// Day draws a sweep: how high the sun stands, where it is in the picture, and from step to step the smallest frame that
// does and what it costs.
func Day(s *sizing.SweepResult, u Units) string {
	d := &dayChart{s: s, u: u}
	if len(s.Rows) == 0 {
		d.canvas = newCanvas("day", paperWidth, 60)
		d.say(pt{16, 36}, "start", textSize, ink, d.u.say("No step of the day was asked for."))
		return d.finish(d.u.say("The day: %s", s.Shot.Name), d.u.say("Nothing to draw."), "")
	}
	d.end = s.Rows[len(s.Rows)-1].Sun.At.Add(time.Duration(s.Steps.StepMin) * time.Minute)
	d.keys, d.why, d.best = frameKeys(s), reasons(s, u), bestOf(s)
	lines := d.keyLines()
	d.canvas = newCanvas("day", paperWidth, dayKeyTop+keyRow*float64(len(lines)))
	d.raw(`<defs><pattern id="day-seen" width="8" height="8" patternUnits="userSpaceOnUse"><path d="M-2 2L2 -2M0 8L8 0M6 10L10 6" stroke="` + sunInk +
		`" stroke-width="1"/></pattern><pattern id="day-lift" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 3H6" stroke="` + ink + `" stroke-width="1.2"/></pattern></defs>` + "\n")
	d.hours()
	d.sunPanel()
	d.areas()
	d.fees()
	for i, l := range lines {
		d.say(pt{16, dayKeyTop + keyRow*float64(i)}, "start", smallSize, ink, l)
	}
	return d.finish(d.u.say("The day: %s", s.Shot.Name), d.desc(), attr("data-from", d.s.Rows[0].Sun.At.Format("15:04"))+attr("data-step", strconv.Itoa(s.Steps.StepMin)))
}

func (d *dayChart) x(t time.Time) float64 {
	from := d.s.Rows[0].Sun.At
	return dayLeft + (dayRight-dayLeft)*float64(t.Sub(from))/float64(d.end.Sub(from))
}

// step is where a row begins and ends on the paper.
func (d *dayChart) step(i int) (from, to float64) {
	end := d.end
	if i+1 < len(d.s.Rows) {
		end = d.s.Rows[i+1].Sun.At
	}
	return d.x(d.s.Rows[i].Sun.At), d.x(end)
}

// hours are the full hours of local time, under the sun's panel and the last.
func (d *dayChart) hours() {
	for _, t := range hourMarks(d.s.Rows[0].Sun.At, d.end) {
		x := d.x(t)
		d.line(pt{x, sunTop}, pt{x, feeTop + feeHeight}, pen{stroke: paleGrey, width: 0.7, dash: "2 4", faint: true}, "")
		if x < dayLeft+14 || x > dayRight-8 {
			continue
		}
		for _, y := range [2]float64{sunTop + sunHeight + 20, feeTop + feeHeight + 20} {
			d.say(pt{x, y}, "middle", smallSize, ink, t.Format("15:04"))
		}
	}
}

// hourMarks are the times of the clock that an axis from one time to another marks: some nine, as many hours or minutes apart.
func hourMarks(from, to time.Time) []time.Time {
	every := time.Hour
	for _, h := range [...]time.Duration{15 * time.Minute, 30 * time.Minute, time.Hour, 2 * time.Hour, 3 * time.Hour, 6 * time.Hour} {
		if every = h; to.Sub(from)/every <= 9 {
			break
		}
	}
	y, m, day := from.Date()
	var out []time.Time
	for t := time.Date(y, m, day, 0, 0, 0, 0, from.Location()); !t.After(to); t = t.Add(every) {
		if !t.Before(from) {
			out = append(out, t)
		}
	}
	return out
}

// axis is a panel's left edge with its largest and its least value, and its name over it.
func (d *dayChart) axis(top, head, height float64, most, least, name string) {
	p := pen{stroke: ink, width: 1.4}
	d.line(pt{dayLeft, top}, pt{dayLeft, top + height}, p, "")
	d.line(pt{dayLeft, top + height}, pt{dayRight, top + height}, p, "")
	d.line(pt{dayLeft - 4, top + head}, pt{dayLeft, top + head}, p, "")
	d.say(pt{dayLeft - 8, top + head + 5}, "end", smallSize, ink, most)
	d.say(pt{dayLeft - 8, top + height + 4}, "end", smallSize, ink, least)
	d.say(pt{16, top - 18}, "start", smallSize, ink, name)
}

// sunPanel is the elevation of the sun, hatched where its disc is in the picture.
func (d *dayChart) sunPanel() {
	most, lowest := 10.0, 0.0
	for i := range d.s.Rows {
		e := d.s.Rows[i].Sun.ElevationDeg
		most, lowest = math.Max(most, math.Ceil(e/10)*10), math.Min(lowest, e)
	}
	d.axis(sunTop, 0, sunHeight, d.u.Number(most, 0)+"°", d.u.Number(0, 0)+"°", d.u.say("height of the sun"))
	y := func(e float64) float64 { return sunTop + sunHeight*(1-math.Max(e, 0)/most) }
	var curve []pt
	said := false
	for i := 0; i < len(d.s.Rows); i++ {
		row := &d.s.Rows[i].Sun
		curve = append(curve, pt{d.x(row.At), y(row.ElevationDeg)})
		if !row.InView {
			continue
		}
		from, to := d.step(i)
		for i+1 < len(d.s.Rows) && d.s.Rows[i+1].Sun.InView {
			i++
			curve = append(curve, pt{d.x(d.s.Rows[i].Sun.At), y(d.s.Rows[i].Sun.ElevationDeg)})
			_, to = d.step(i)
		}
		d.rect(box{from, sunTop, to - from, sunHeight}, pen{stroke: sunInk, width: 0.8, fill: "url(#day-seen)"}, attr("data-part", "in-picture"))
		if !said {
			said = d.note(wish{at: pt{(from + to) / 2, sunTop + 14}, in: box{dayLeft, sunTop - 6, dayRight - dayLeft, sunHeight}, on: true}, smallSize, sunInk, d.u.say("sun in the picture"))
		}
	}
	d.shape(curve, true, pen{stroke: sunInk, width: 2.2}, attr("data-part", "sun")+attr("data-most", fmt.Sprint(most)))
}

// tenSquareFeetM2 is what the scale of areas is rounded up to for readers of feet, in square metres.
const tenSquareFeetM2 = 10 * metresPerFoot * metresPerFoot

// areas are the smallest frames as bars, each run of one frame under its letter.
func (d *dayChart) areas() {
	most, round := 1.0, 1.0
	if d.u.Text.Feet() {
		round = tenSquareFeetM2
	}
	for _, k := range d.keys {
		most = math.Max(most, k.areaM2)
	}
	most = math.Ceil(most/round) * round
	d.axis(barTop, headroom, barHeight, d.u.Area(most, 0), d.u.Area(0, 0), d.u.say("smallest frame, area of its opening"))
	scale := (barHeight - headroom) / most
	for i := 0; i < len(d.s.Rows); {
		row := &d.s.Rows[i]
		from, to := d.step(i)
		j := i + 1
		for ; j < len(d.s.Rows) && d.sameBar(row, &d.s.Rows[j]); j++ {
			_, to = d.step(j)
		}
		base := barTop + barHeight
		if v := row.Overhead; v == nil {
			d.line(pt{from + 1, base - 5}, pt{to - 1, base - 5}, pen{stroke: grey, width: 1.4, dash: "1 3"}, attr("data-part", "none"))
			d.note(wish{at: pt{(from + to) / 2, base - 16}, in: box{dayLeft, barTop - 14, dayRight - dayLeft, barHeight + 14}, on: true}, smallSize, grey, d.markOf(row))
		} else {
			p := pen{stroke: ink, width: 1, fill: cloth}
			if v.OnLift {
				p.fill = "url(#day-lift)"
			}
			for k := i; k < j; k++ {
				a, b := d.step(k)
				h := v.AreaM2 * scale
				d.rect(box{a, base - h, b - a, h}, p, attr("data-step", strconv.Itoa(k))+attr("data-sku", v.SKU))
			}
			d.note(wish{at: pt{(from + to) / 2, base - v.AreaM2*scale}, in: box{dayLeft, barTop - 18, dayRight - dayLeft + 14, barHeight + 18}, first: pt{0, -1}}, textSize, ink, d.letter(v.SKU))
		}
		i = j
	}
}

func (d *dayChart) sameBar(a, b *sizing.SweepRow) bool {
	if a.Overhead == nil || b.Overhead == nil {
		return a.Overhead == nil && b.Overhead == nil && text.WithoutAnyHour(d.u.Text, a.Without) == text.WithoutAnyHour(d.u.Text, b.Without)
	}
	return a.Overhead.SKU == b.Overhead.SKU && a.Overhead.OnLift == b.Overhead.OnLift
}

// fees are what the overhead costs per day, with the best steps marked.
func (d *dayChart) fees() {
	most, unit := 0.0, ""
	for i := range d.s.Rows {
		if v := d.s.Rows[i].Overhead; v != nil {
			most, unit = math.Max(most, money(v)), v.PerDay.CurrencyCode()
		}
	}
	if most = niceUp(most); most == 0 {
		most = 1
	}
	says := d.u.say("price of the overhead per day")
	if unit != "" {
		says = d.u.say("price of the overhead per day, %s", unit)
	}
	d.axis(feeTop, 0, feeHeight, d.u.Number(most, 0), d.u.Number(0, 0), says)
	base := feeTop + feeHeight
	for i := range d.s.Rows {
		v := d.s.Rows[i].Overhead
		if v == nil {
			continue
		}
		from, to := d.step(i)
		y := base - feeHeight*money(v)/most
		p := pen{stroke: ink, width: 2}
		if v.OverLimit {
			p.dash = "3 3"
		}
		d.line(pt{from, y}, pt{to, y}, p, attr("data-fee", v.PerDay.Number()))
		d.line(pt{from, y}, pt{from, base}, pen{stroke: paleGrey, width: 0.8, faint: true}, "")
		d.line(pt{to, y}, pt{to, base}, pen{stroke: paleGrey, width: 0.8, faint: true}, "")
	}
	for i := 0; i < len(d.s.Rows); i++ {
		if !d.best[i] {
			continue
		}
		from, to := d.step(i)
		y := base - feeHeight*money(d.s.Rows[i].Overhead)/most
		for i+1 < len(d.s.Rows) && d.best[i+1] {
			i++
			_, to = d.step(i)
		}
		d.rect(box{from, base + 2, to - from, 5}, pen{fill: beamInk}, attr("data-part", "best"))
		d.note(wish{at: pt{(from + to) / 2, y}, in: box{dayLeft, feeTop - 14, dayRight - dayLeft, feeHeight + 14}, first: pt{0, -1}}, smallSize, beamInk, d.u.say("smallest frame"))
	}
}

func money(v *sizing.SweepOverhead) float64 {
	f, err := strconv.ParseFloat(v.PerDay.Number(), 64)
	if err != nil {
		return 0
	}
	return f
}

// niceUp is the next round number.
func niceUp(v float64) float64 {
	if v <= 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range [...]float64{1, 2, 3, 4, 5, 6, 8} {
		if k*unit >= v {
			return k * unit
		}
	}
	return 10 * unit
}
