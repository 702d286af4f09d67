package draw

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// Panels of the forecast: its gusts, and under them a strip for each piece.
const (
	gustTop    = 50.0
	gustHeight = 96.0
	stripTop   = gustTop + gustHeight + 44
	stripRow   = 26.0
)

// forecastChart is what an option is drawn with along a day.
type forecastChart struct {
	*canvas
	r        *sizing.Result
	u        Units
	from, to time.Time
	bottom   float64 // of the strips
}

// Forecast draws from when to when each piece may stand by the forecast, over the forecast's gusts, with the option's window marked. It is
// empty where the forecast says nothing of the day.
func Forecast(r *sizing.Result, o *sizing.Option, u Units) string {
	if r.Forecast == nil {
		return ""
	}
	d := &forecastChart{r: r, u: u, from: r.Forecast.From, to: r.Forecast.To, bottom: stripTop + stripRow*float64(len(o.Pieces))}
	if o.Window.From.Before(d.from) {
		d.from = o.Window.From
	}
	if o.Window.To.After(d.to) {
		d.to = o.Window.To
	}
	var key []string
	for _, words := range [2]phrase.Key{
		"dark: may stand; grey: on watch; dotted: to be down; nothing: not forecast", "a forecast is not the wind on the spot: measure at each piece",
	} {
		key = append(key, wrap(u.say(words), u.width()-32)...)
	}
	d.canvas = newCanvas("forecast", u.width(), d.bottom+42+20*float64(len(key)))
	d.window(o)
	d.hours()
	d.gusts()
	for i := range o.Pieces {
		d.strip(i, &o.Pieces[i])
	}
	for i, line := range key {
		d.say(pt{16, d.bottom + 52 + 20*float64(i)}, "start", smallSize, grey, line)
	}
	desc := strings.Join(append([]string{text.ForecastSays(u.Text, r)}, text.ForecastStands(u.Text, r, o, true)...), " ")
	return d.finish(u.say("Forecast: %s", r.Shot.Name), desc, attr("data-from", d.from.Format(time.RFC3339))+attr("data-to", d.to.Format(time.RFC3339)))
}

// right is where the time ends on the paper.
func (d *forecastChart) right() float64 { return d.width - paperWidth + dayRight }

func (d *forecastChart) x(t time.Time) float64 {
	return dayLeft + (d.right()-dayLeft)*float64(t.Sub(d.from))/float64(d.to.Sub(d.from))
}

// window is the time of the shot, as a band through all panels.
func (d *forecastChart) window(o *sizing.Option) {
	from, to := d.x(o.Window.From), d.x(o.Window.To)
	d.rect(box{from, gustTop - 8, to - from, d.bottom - gustTop + 12}, pen{fill: beamInk, opacity: 0.12}, attr("data-part", "window"))
	for _, x := range [2]float64{from, to} {
		d.line(pt{x, gustTop - 8}, pt{x, d.bottom + 4}, pen{stroke: beamInk, width: 1.2, dash: "6 3", faint: true}, "")
	}
	name := d.u.say("shot, %s to %s", o.Window.Start, o.Window.End)
	half := textWidth(name, smallSize) / 2
	d.say(pt{math.Min(math.Max((from+to)/2, 16+half), d.width-16-half), stripTop - 10}, "middle", smallSize, beamInk, name)
}

// hours are full hours of local time under the strips.
func (d *forecastChart) hours() {
	for _, t := range hourMarks(d.from, d.to) {
		x := d.x(t)
		d.line(pt{x, gustTop}, pt{x, d.bottom}, pen{stroke: paleGrey, width: 0.7, dash: "2 4", faint: true}, "")
		if x >= dayLeft+14 && x <= d.right()-8 {
			d.say(pt{x, d.bottom + 22}, "middle", smallSize, ink, t.Format("15:04"))
		}
	}
}

// gusts are the rows of the forecast, and between two the larger of both, which is what counts.
func (d *forecastChart) gusts() {
	rows := d.r.Shot.Forecast
	most := d.r.Shot.GustMS
	for _, row := range rows {
		if !row.At.Before(d.from) && !row.At.After(d.to) {
			most = math.Max(most, row.GustMS)
		}
	}
	most = math.Max(5, 5*math.Ceil(most/5))
	y := func(gust float64) float64 { return gustTop + gustHeight*(1-math.Min(gust, most)/most) }
	axis := pen{stroke: ink, width: 1.4}
	d.line(pt{dayLeft, gustTop}, pt{dayLeft, gustTop + gustHeight}, axis, "")
	d.line(pt{dayLeft, gustTop + gustHeight}, pt{d.right(), gustTop + gustHeight}, axis, attr("data-part", "axis"))
	d.say(pt{dayLeft - 8, gustTop + 5}, "end", smallSize, ink, d.u.Number(most, 0))
	d.say(pt{dayLeft - 8, gustTop + gustHeight + 4}, "end", smallSize, ink, d.u.Number(0, 0))
	d.say(pt{16, gustTop - 22}, "start", smallSize, ink, d.u.say("forecast gust, metres a second; dashed: the gust asked"))
	for i := 1; i < len(rows); i++ {
		from, to := latest(rows[i-1].At, d.r.Forecast.From), earliest(rows[i].At, d.r.Forecast.To)
		if !from.Before(to) {
			continue
		}
		gust := math.Max(rows[i-1].GustMS, rows[i].GustMS)
		d.rect(box{d.x(from), y(gust), d.x(to) - d.x(from), gustTop + gustHeight - y(gust)}, pen{stroke: grey, width: 0.8, fill: cloth, faint: true}, attr("data-gust", fmt.Sprint(gust)))
	}
	asked := y(d.r.Shot.GustMS)
	d.line(pt{dayLeft, asked}, pt{d.right(), asked}, pen{stroke: beamInk, width: 1.6, dash: "6 3", faint: true}, "")
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earliest(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}

// strip is when a piece may stand.
func (d *forecastChart) strip(i int, v *sizing.Piece) {
	y := stripTop + stripRow*(float64(i)+0.5)
	d.say(pt{16, y + 5}, "start", smallSize, ink, strconv.Itoa(i+1))
	along := func(s finding.Span, p pen, name string) {
		p.faint = true
		d.line(pt{d.x(s.From), y}, pt{d.x(s.To), y}, p, part(i, name))
	}
	along(*d.r.Forecast, pen{stroke: grey, width: 2, dash: "2 3"}, "forecast")
	for _, s := range v.Stands {
		along(s, pen{stroke: ink, width: 8}, "stands")
	}
	for _, s := range v.OnWatch {
		along(s, pen{stroke: paleGrey, width: 8.8}, "watch")
	}
}
