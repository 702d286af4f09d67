package draw

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"kitspan/internal/job"
)

// A day of a job: a row for each shot, under them the people.
const (
	jobTop    = 34.0
	jobRow    = 28.0
	jobBar    = 18.0
	jobLeft   = 96.0
	jobGap    = 46.0 // between the rows and the people
	crowdHigh = 84.0
)

// jobDay is a day of a plan on paper.
type jobDay struct {
	*canvas
	u        Units
	day      *job.Day
	shots    []*job.PlannedShot
	from, to time.Time
	bottom   float64 // of the rows
}

// JobDay draws a day of a job along time: each shot as it is rigged, a slope up, shot, a block, and struck, a slope down, and below how many
// people it takes. Times at which something is missing are hatched. Its text says the same; nothing of it is in colour alone.
func JobDay(plan *job.Plan, day int, u Units) string {
	d := &jobDay{u: u, day: &plan.Days[day]}
	for i := range plan.Shots {
		s := &plan.Shots[i]
		if s.Option != nil && slices.ContainsFunc(d.day.Moments, func(m job.Moment) bool { return slices.Contains(m.Shots, s.Number) }) {
			d.shots = append(d.shots, s)
		}
	}
	slices.SortStableFunc(d.shots, func(a, b *job.PlannedShot) int { return a.Up.From.Compare(b.Up.From) })
	if len(d.shots) == 0 {
		return ""
	}
	d.from, d.to = d.shots[0].Up.From, d.shots[0].Up.To
	for _, s := range d.shots {
		if s.Up.To.After(d.to) {
			d.to = s.Up.To
		}
	}
	d.from, d.to = d.from.Truncate(15*time.Minute), d.to.Add(15*time.Minute-1).Truncate(15*time.Minute)
	d.bottom = jobTop + jobRow*float64(len(d.shots))
	var key []string
	key = append(key, wrap(u.say("slope up: rigging; block: shooting; slope down: striking; hatched: more is needed at once than the house has"), paperWidth-32)...)
	foot := d.bottom + jobGap + crowdHigh + 34
	d.canvas = newCanvas("jobday", paperWidth, foot+keyRow*float64(len(key))+4)
	d.id += "-" + d.day.Date.String()
	d.raw(`<defs><pattern id="` + d.id + `-short" width="7" height="7" patternUnits="userSpaceOnUse"><path d="M-2 2L2 -2M0 7L7 0M5 9L9 5" stroke="` + sunInk + `" stroke-width="1.4"/></pattern></defs>` + "\n")
	d.clashes(plan.Clashes)
	d.hours()
	for i, s := range d.shots {
		d.bar(i, s)
	}
	d.crowd()
	for i, line := range key {
		d.say(pt{16, foot + 12 + keyRow*float64(i)}, "start", smallSize, grey, line)
	}
	return d.finish(u.say("The day along time: %s", d.day.Date.String()), d.desc(), attr("data-from", d.from.Format(time.RFC3339))+attr("data-to", d.to.Format(time.RFC3339)))
}

func (d *jobDay) x(t time.Time) float64 {
	share := float64(t.Sub(d.from)) / float64(d.to.Sub(d.from))
	return jobLeft + (dayRight-jobLeft)*math.Min(1, math.Max(0, share))
}

// clashes are the spans in which something is missing, behind all else.
func (d *jobDay) clashes(list []job.Clash) {
	var last job.Span
	for i := range list {
		c := &list[i]
		if c.Span == last || !c.From.Before(d.to) || !c.To.After(d.from) {
			continue
		}
		last = c.Span
		from, to := d.x(c.From), d.x(c.To)
		d.rect(box{from, jobTop - 4, math.Max(2, to-from), d.bottom - jobTop + 8}, pen{stroke: sunInk, width: 1.2, fill: "url(#" + d.id + "-short)", faint: true}, attr("data-part", "short"))
	}
}

// hours are times of the clock over the rows and under the people, as many as have room.
func (d *jobDay) hours() {
	const room = 8.0
	base, end := d.bottom+jobGap+crowdHigh, -math.MaxFloat64
	for _, t := range hourMarks(d.from, d.to) {
		x, clock := d.x(t), t.Format("15:04")
		d.line(pt{x, jobTop - 4}, pt{x, base}, pen{stroke: paleGrey, width: 0.7, dash: "2 4", faint: true}, "")
		half := textWidth(clock, smallSize) / 2
		if x-half < end+room || x+half > paperWidth-4 {
			continue
		}
		end = x + half
		d.say(pt{x, jobTop - 14}, "middle", smallSize, ink, clock)
		d.say(pt{x, base + 20}, "middle", smallSize, ink, clock)
	}
}

// bar is one shot.
func (d *jobDay) bar(i int, s *job.PlannedShot) {
	base := jobTop + jobRow*float64(i) + jobRow - 5
	top := base - jobBar
	w := &s.Option.Window
	up, from, to, down := d.x(s.Up.From), d.x(w.From), d.x(w.To), d.x(s.Up.To)
	is := attr("data-shot", s.Number)
	outline := pen{stroke: ink, width: 1.2, fill: paper}
	d.shape([]pt{{up, base}, {from, top}, {from, base}}, false, outline, is+attr("data-part", "rig"))
	d.shape([]pt{{to, base}, {to, top}, {down, base}}, false, outline, is+attr("data-part", "strike"))
	block := pen{stroke: ink, width: 1.2, fill: beamInk}
	d.rect(box{from, top, math.Max(2, to-from), jobBar}, block, is+attr("data-part", "shoot"))
	d.say(pt{jobLeft - 10, base - 3}, "end", smallSize, ink, clip(s.Number, smallSize, jobLeft-26))
}

// crowd is how many people are there.
func (d *jobDay) crowd() {
	base, most := d.bottom+jobGap+crowdHigh, 1
	for _, m := range d.day.Moments {
		most = max(most, m.People)
	}
	axis := pen{stroke: ink, width: 1.4}
	d.line(pt{jobLeft, base - crowdHigh}, pt{jobLeft, base}, axis, "")
	d.line(pt{jobLeft, base}, pt{dayRight, base}, axis, "")
	d.say(pt{16, base - crowdHigh - 14}, "start", smallSize, ink, d.u.say("people"))
	y := func(n int) float64 { return base - crowdHigh*float64(n)/float64(most) }
	d.say(pt{jobLeft - 8, base + 4}, "end", smallSize, ink, d.u.Number(0, 0))
	d.say(pt{jobLeft - 8, y(most) + 5}, "end", smallSize, ink, d.u.Number(float64(most), 0))
	steps := []pt{{jobLeft, base}}
	last := d.from
	step := func(at time.Time, n int) {
		if x := d.x(at); x > jobLeft || n > 0 {
			steps = append(steps, pt{x, steps[len(steps)-1].y}, pt{x, y(n)})
		}
	}
	for _, m := range d.day.Moments {
		if m.From.After(last) {
			step(last, 0)
		}
		step(m.From, m.People)
		last = m.To
	}
	step(last, 0)
	d.shape(append(steps, pt{dayRight, base}), true, pen{stroke: ink, width: 2.2}, attr("data-part", "people"))
	for _, m := range d.day.Moments {
		mid := (d.x(m.From) + d.x(m.To)) / 2
		label := strconv.Itoa(m.People)
		if d.x(m.To)-d.x(m.From) > textWidth(label, smallSize)+6 && m.People < most {
			d.note(wish{at: pt{mid, y(m.People)}, in: box{jobLeft, base - crowdHigh - 20, dayRight - jobLeft, crowdHigh + 20}, first: pt{0, -1}, reach: 22}, smallSize, ink, label)
		}
	}
}

// desc says the day in words.
func (d *jobDay) desc() string {
	var b strings.Builder
	for _, s := range d.shots {
		w := &s.Option.Window
		fmt.Fprintf(&b, "%s ", d.u.say("Shot %s: rigging from %s, shooting %s to %s, struck by %s.", s.Number, s.Up.From.Format("15:04"), w.Start, w.End, s.Up.To.Format("15:04")))
	}
	for _, m := range d.day.Moments {
		fmt.Fprintf(&b, "%s ", d.u.say("%s to %s: %d people.", m.From.Format("15:04"), m.To.Format("15:04"), m.People))
	}
	return strings.TrimSpace(b.String())
}
