package sizing

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"kitspan/internal/finding"
	"kitspan/internal/overhead"
	"kitspan/internal/price"
)

// measures are what an option takes, by which options are compared, each better the smaller.
type measures struct {
	areaM2     float64
	totalMinor int64
	people     int
	massKg     float64
	minutes    int
}

func (o *Option) measures() measures {
	return measures{o.areaM2, o.totalMinor, o.Crew.Total, o.Load.MassKg, o.workMin()}
}

// The least differences for which somebody would choose another plan, as shares and as such (common practice, no source).
const (
	noticedArea, noticedTotal, noticedMass = 0.01, 0.02, 0.05
	noticedMin                             = 15
)

// better returns in what an option with these measures is better than one with others, by more than nobody would notice where noticed.
func (m *measures) better(o *measures, noticed bool) (in []finding.Measure) {
	share := func(s float64) float64 {
		if noticed {
			return 1 - s
		}
		return 1 - 1e-9
	}
	minutes := 0
	if noticed {
		minutes = noticedMin - 1
	}
	for _, is := range []struct {
		in finding.Measure
		ok bool
	}{
		{finding.MeasureFrame, m.areaM2 < o.areaM2*share(noticedArea)},
		{finding.MeasureTotal, float64(m.totalMinor) < float64(o.totalMinor)*share(noticedTotal)},
		{finding.MeasurePeople, m.people < o.people},
		{finding.MeasureMass, m.massKg < o.massKg*share(noticedMass)},
		{finding.MeasureTime, m.minutes < o.minutes-minutes},
	} {
		if is.ok {
			in = append(in, is.in)
		}
	}
	return in
}

// doesAsMuch reports whether an option does at least what another does: it is in as good a state, over no limit that the other keeps,
// gives up nothing more, is at the hour asked where the other is, stands all through it where the other does, leaves the lamps on
// that the other does, and stands by itself where that does.
func (o *Option) doesAsMuch(p *Option) bool {
	if o.State.Compare(p.State) > 0 || o.Label == LabelOtherHour && p.Label != LabelOtherHour || len(o.Moves) > 0 && len(p.Moves) == 0 ||
		o.Label == LabelHandHeld && p.Label != LabelHandHeld || !o.leavesOn(p) {
		return false
	}
	for _, n := range o.Broken {
		if !slices.ContainsFunc(p.Broken, func(m finding.Note) bool { return m.Code() == n.Code() }) {
			return false
		}
	}
	for _, s := range o.GivesUp {
		i := slices.IndexFunc(p.GivesUp, func(t finding.Shortfall) bool { return t.What == s.What && t.Zone == s.Zone })
		if i < 0 || lost(&s) > lost(&p.GivesUp[i])+sameStops {
			return false
		}
	}
	return true
}

// sameStops is by how many stops two shortfalls may differ and count as the same: nobody sees it (common practice, no source).
const sameStops = 0.1

// lost is by how many stops a level misses what is asked; +Inf for what is not there at all.
func lost(s *finding.Shortfall) float64 {
	if s.ByStops == nil {
		return math.Inf(1)
	}
	return math.Abs(*s.ByStops)
}

// mostOptions is how many options an answer has.
const mostOptions = 6

// frontier returns the options between which a crew would choose, best first: those that are better in something than each that does as
// much, and by as much as somebody would notice than each before them, six at most. Each says what it is best in, and what it takes
// more or less than the first.
func (p *pool) frontier() []Option {
	p.offered()
	all := p.options
	slices.SortStableFunc(all, func(a, b Option) int { return a.compare(&b) })
	var kept []Option
	for i := range all {
		o, own := &all[i], all[i].measures()
		if !slices.ContainsFunc(all, func(q Option) bool { return q.dominates(o) }) && !slices.ContainsFunc(kept, func(q Option) bool {
			m := q.measures()
			return q.doesAsMuch(o) && len(own.better(&m, true)) == 0
		}) {
			kept = append(kept, *o)
		}
	}
	kept = shortened(kept)
	for i := range kept {
		kept[i].onFrontier = true
	}
	if p.pl.ask.everything {
		for i := range all {
			if !slices.ContainsFunc(kept, func(q Option) bool { return q.same(&all[i]) }) {
				kept = append(kept, all[i])
			}
		}
	}
	for i := range kept {
		kept[i].Name = nameOf(kept, i)
		kept[i].BestIn = bestIn(kept, i)
		kept[i].Trade = p.trade(&kept[0], &kept[i])
		p.noteSwitchedOff(&kept[i], all)
	}
	return kept
}

// same reports whether two options of a shot take the same kit and people in the same window.
func (o *Option) same(p *Option) bool {
	return o.Label == p.Label && o.Window == p.Window && o.Crew.Total == p.Crew.Total && o.Crew.RigMin == p.Crew.RigMin && o.Crew.StrikeMin == p.Crew.StrikeMin &&
		slices.Equal(o.SwitchOff, p.SwitchOff) && slices.EqualFunc(o.Kit.Lines, p.Kit.Lines, func(a, b price.KitLine) bool { return a.SKU == b.SKU && a.Quantity == b.Quantity })
}

// nameOf returns the name of one of the options of an answer.
func nameOf(list []Option, i int) string {
	n := 1
	for k := range list[:i] {
		if list[k].Label == list[i].Label {
			n++
		}
	}
	if n == 1 {
		return string(list[i].Label)
	}
	return string(list[i].Label) + "-" + strconv.Itoa(n)
}

// dominates reports whether an option does as much as another and takes less of something and more of nothing.
func (o *Option) dominates(p *Option) bool {
	m, n := o.measures(), p.measures()
	return o.doesAsMuch(p) && len(n.better(&m, false)) == 0 && len(m.better(&n, false)) > 0
}

// shortened returns [mostOptions] of a list at most, in its order: the first, the first that is best in each measure, then others as
// they come.
func shortened(list []Option) []Option {
	if len(list) <= mostOptions {
		return list
	}
	keep := map[int]bool{0: true}
	for _, in := range []finding.Measure{finding.MeasureFrame, finding.MeasureTotal, finding.MeasurePeople, finding.MeasureMass, finding.MeasureTime} {
		best := 0
		for i := 1; i < len(list); i++ {
			m, least := list[i].measures(), list[best].measures()
			if list[i].State == list[0].State && slices.Contains(m.better(&least, false), in) {
				best = i
			}
		}
		keep[best] = true
	}
	for i := 0; i < len(list) && len(keep) < mostOptions; i++ {
		keep[i] = true
	}
	var out []Option
	for i := range list {
		if keep[i] {
			out = append(out, list[i])
		}
	}
	return out
}

// bestIn returns in what no option of as good a state takes less than one of them. Frames count where it has one.
func bestIn(list []Option, i int) []finding.Measure {
	o, own := &list[i], list[i].measures()
	in := []finding.Measure{finding.MeasureFrame, finding.MeasureTotal, finding.MeasurePeople, finding.MeasureMass, finding.MeasureTime}
	if o.areaM2 == 0 {
		in = in[1:]
	}
	for k := range list {
		if q := &list[k]; k != i && q.State.Compare(o.State) <= 0 {
			m := q.measures()
			less := m.better(&own, false)
			in = slices.DeleteFunc(in, func(what finding.Measure) bool {
				return slices.Contains(less, what) && (what != finding.MeasureFrame || q.areaM2 > 0)
			})
		}
	}
	return in
}

// compare orders options as the contract requires: by state, then those that soften, then by how much less they do, then those that are
// as warm as is asked, then those at the hour asked, then by what the user prefers.
func (o *Option) compare(p *Option) int {
	other := func(o *Option) bool { return o.Label == LabelOtherHour }
	return cmp.Or(
		o.State.Compare(p.State),
		trueFirst(!o.GivesUpOn(finding.Softening), !p.GivesUpOn(finding.Softening)),
		o.worst()-p.worst(),
		trueFirst(!o.GivesUpOn(finding.Colour), !p.GivesUpOn(finding.Colour)),
		trueFirst(!other(o), !other(p)),
		slices.Compare(o.rank[:], p.rank[:]),
	)
}

// worst is by how many stops, in whole ones rounded up, an option misses what it misses most, but for softening and colour.
func (o *Option) worst() (stops int) {
	for i := range o.GivesUp {
		s := &o.GivesUp[i]
		switch {
		case s.What == finding.Softening, s.What == finding.Colour:
		case s.ByStops == nil:
			stops = max(stops, 1)
		default:
			stops = max(stops, int(math.Ceil(lost(s))))
		}
	}
	return stops
}

// trueFirst compares two booleans, true first.
func trueFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// trade returns what an option takes more than the first.
func (p *pool) trade(first, o *Option) finding.Trade {
	m, n := first.measures(), o.measures()
	t := finding.Trade{FrameM2: n.areaM2 - m.areaM2, People: n.people - m.people, MassKg: n.massKg - m.massKg, Minutes: n.minutes - m.minutes}
	t.Total, _ = o.TotalPerDay.Sub(first.TotalPerDay) // one currency
	if a, b := largestM2(first), largestM2(o); a > 0 && b > 0 {
		t.Sizes = p.sizesBelow(b) - p.sizesBelow(a)
	}
	return t
}

// largestM2 is the opening of the largest frame of an option's overheads and sides; 0 where it has none.
func largestM2(o *Option) (largest float64) {
	for _, r := range o.scheme.rigs {
		largest = math.Max(largest, r.Candidate.AreaM2)
	}
	return largest
}

// sizesBelow is how many sizes of frame smaller than an area the house has.
func (p *pool) sizesBelow(areaM2 float64) int {
	var sizes []float64
	for _, list := range [2][]*overhead.Candidate{p.pl.frames.Stands, p.pl.frames.Lifts} {
		for _, c := range list {
			if c.AreaM2 < areaM2-1e-9 && c.Because != finding.NoStock && !slices.Contains(sizes, c.AreaM2) {
				sizes = append(sizes, c.AreaM2)
			}
		}
	}
	return len(sizes)
}
