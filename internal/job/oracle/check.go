package oracle

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"kitspan/internal/catalog"
)

// check compares an answer with what follows from its pool.
type check struct {
	*set
	a      *Answer
	choice []int
	w      *worth
	found  []string
}

// Check lists whatever an answer says that does not follow from its pool and from what was asked.
func Check(a *Answer, asked *Asked) []string {
	s, err := read(a, asked)
	if err != nil {
		return []string{err.Error()}
	}
	c := &check{set: s, a: a, choice: make([]int, len(a.Shots))}
	c.chosen()
	if len(c.found) > 0 {
		return c.found
	}
	c.w = s.evaluate(c.choice)
	c.totals()
	c.lines()
	c.days()
	c.clashes()
	c.limits()
	c.bounds()
	return c.found
}

// Result is what a choice is compared by, in this order: units short, by how much limits are broken, the aim in kilograms or people, and the
// total.
type Result struct {
	Short      int
	Over, Aim  float64
	TotalMinor int64
}

// resultOf rounds what only rounding tells apart.
func (w *worth) result(aim string) Result {
	round := func(x float64) float64 { return math.Round(x*1e6) / 1e6 }
	return Result{w.short, round(w.over), round(w.aim(aim)), w.total}
}

// Best returns the best that any choice from an answer's pool comes to; ok is false where there are more choices than most.
func Best(a *Answer, asked *Asked, most int) (best Result, ok bool) {
	s, err := read(a, asked)
	if err != nil || s.choices(most) > most {
		return Result{}, false
	}
	return s.best().result(asked.Aim), true
}

// Reached returns what the choice of an answer comes to.
func Reached(a *Answer, asked *Asked) Result {
	s, err := read(a, asked)
	if err != nil {
		return Result{}
	}
	choice := make([]int, len(a.Shots))
	for i := range choice {
		choice[i] = -1
		if o := a.Shots[i].OptionIndex; o != nil {
			choice[i] = *o
		}
	}
	return s.evaluate(choice).result(asked.Aim)
}

func (c *check) say(format string, args ...any) {
	c.found = append(c.found, fmt.Sprintf(format, args...))
}

func want[T comparable](c *check, what string, got, want T) {
	if got != want {
		c.say("%s is %v, want %v", what, got, want)
	}
}

// chosen looks at what was chosen for each shot, and at the pool.
func (c *check) chosen() {
	considered := 0
	for i := range c.a.Shots {
		sh, pool := &c.a.Shots[i], c.a.Pool[c.a.Shots[i].Number]
		want(c, "the number of a shot", sh.Number, c.a.Job.Shots[i].Number)
		considered += len(pool)
		for k := range pool {
			want(c, "the state of an option of "+sh.Number, pool[k].State, pool[0].State)
			if !pool[k].UpTo.After(pool[k].UpFrom) {
				c.say("shot %s: up from %s to %s", sh.Number, pool[k].UpFrom, pool[k].UpTo)
			}
			kg, m3 := 0.0, 0.0
			for _, n := range pool[k].Kit {
				item := c.asked.Stock.Item(n.SKU)
				kg, m3 = kg+item.MassKg*float64(n.Quantity), m3+item.PackedM3*float64(n.Quantity)
			}
			if math.Abs(kg-pool[k].MassKg) > 0.01 || math.Abs(m3-pool[k].VolumeM3) > 0.01 {
				c.say("shot %s, option %d: %g kg and %g m³, want %g and %g", sh.Number, k, pool[k].MassKg, pool[k].VolumeM3, kg, m3)
			}
			if pin := c.a.Job.Shots[i].Pin; pin != nil && pool[k].Label != *pin || pin == nil && pool[k].Label == "other-hour" {
				c.say("shot %s has an option of label %s", sh.Number, pool[k].Label)
			}
			c.when(i, &pool[k])
		}
		c.choice[i] = -1
		if len(pool) == 0 {
			if sh.Option != nil || sh.OptionIndex != nil || sh.UpFrom != nil || sh.Alone != nil {
				c.say("shot %s has an option and no pool", sh.Number)
			}
			continue
		}
		if sh.Option == nil || sh.OptionIndex == nil || *sh.OptionIndex < 0 || *sh.OptionIndex >= len(pool) {
			c.say("shot %s has a pool and no option of it", sh.Number)
			continue
		}
		c.choice[i] = *sh.OptionIndex
		c.same(sh, &pool[*sh.OptionIndex], c.a.Job.Places[sh.Place].TimeZone)
	}
	want(c, "considered", c.a.Considered, considered)
}

// when holds an option's window against that of its shot.
func (c *check) when(i int, o *Option) {
	sh := &c.a.Job.Shots[i]
	zone, err := time.LoadLocation(c.a.Job.Places[sh.Place].TimeZone)
	if err != nil {
		c.say("%v", err)
		return
	}
	at := func(date, clock string) time.Time {
		t, err := time.ParseInLocation("2006-01-02 15:04", date+" "+clock, zone)
		if err != nil {
			c.say("%v", err)
		}
		return t
	}
	if sh.When == nil {
		if o.Label != "other-hour" && o.Label != "overhead-moved" {
			want(c, "the window of an option of "+sh.Number, o.Window, *sh.Window)
		}
		return
	}
	w := sh.When
	start, end := at(o.Window.Date, o.Window.Start), at(o.Window.EndDate, o.Window.End)
	if o.Window.Date != w.Date || o.Window.Start < w.Earliest || o.Window.End > w.Latest || o.Window.EndDate != w.Date {
		c.say("shot %s is shot %v, may be %v", sh.Number, o.Window, *w)
	}
	if o.Window.Start != w.Earliest && start.Minute()%15 != 0 {
		c.say("shot %s starts at %s, which is no quarter hour", sh.Number, o.Window.Start)
	}
	if got := int(end.Sub(start).Minutes()); o.Label != "other-hour" && got != w.DurationMin {
		// A time that occurs twice may be meant the second time: then up_to tells.
		c.say("shot %s takes %d minutes from %s to %s, want %d", sh.Number, got, o.Window.Start, o.Window.End, w.DurationMin)
	}
}

// same holds the option of a shot against that of the pool, and its times against its minutes.
func (c *check) same(sh *Shot, o *Option, zoneName string) {
	want(c, "label of "+sh.Number, sh.Option.Label, o.Label)
	want(c, "state of "+sh.Number, sh.Option.State, o.State)
	want(c, "window of "+sh.Number, *sh.Window, o.Window)
	zone, err := time.LoadLocation(zoneName)
	if err != nil {
		c.say("%v", err)
		return
	}
	start, _ := time.ParseInLocation("2006-01-02 15:04", o.Window.Date+" "+o.Window.Start, zone)
	end, _ := time.ParseInLocation("2006-01-02 15:04", o.Window.EndDate+" "+o.Window.End, zone)
	up := func(what string, got time.Time, from time.Time, minutes int) {
		if want := from.Add(time.Duration(minutes) * time.Minute); !got.Equal(want) {
			c.say("shot %s is %s %s, want %s", sh.Number, what, got, want)
		}
	}
	up("up from", *sh.UpFrom, start, -sh.Option.Crew.RigMin)
	up("up to", *sh.UpTo, end, sh.Option.Crew.StrikeMin)
	up("by the pool up from", o.UpFrom, *sh.UpFrom, 0)
	up("by the pool up to", o.UpTo, *sh.UpTo, 0)
	kit, people := map[string]int{}, 0
	for _, n := range sh.Option.Kit {
		kit[n.SKU] += n.Quantity
	}
	for _, n := range o.Kit {
		kit[n.SKU] -= n.Quantity
	}
	for sku, n := range kit {
		if n != 0 {
			c.say("shot %s: its kit has %d more %s than the pool's", sh.Number, n, sku)
		}
	}
	for _, n := range o.People {
		people += n.Quantity
	}
	for _, n := range o.Unsent {
		people += n.Quantity
	}
	want(c, "people of "+sh.Number, people, sh.Option.Crew.Total)
}

// totals compares the sums.
func (c *check) totals() {
	a, w := c.a, c.w
	want(c, "hire", a.Hire.Minor(), w.hire)
	want(c, "labour", a.Labour.Minor(), w.labour)
	want(c, "transport", a.Transport.Minor(), w.transport)
	want(c, "total", a.Total.Minor(), w.total)
	want(c, "people", a.People, w.people)
	if math.Abs(a.MassKg-w.heaviestKg) > 0.01 {
		c.say("mass_kg is %g, want %g", a.MassKg, w.heaviestKg)
	}
	sum, all := int64(0), len(a.Shots) > 0
	for i := range a.Shots {
		if alone := a.Shots[i].Alone; alone != nil {
			sum += alone.Total.Minor()
		} else {
			all = false
		}
	}
	if all != (a.Separately != nil) || all && a.Separately.Minor() != sum {
		c.say("separately is %v, want %d", a.Separately, sum)
	}
	// By another aim a plan may cost more for less of that.
	if all && c.asked.Aim == "price" && a.Total.Minor() > sum && !Has(a.Notes, "cannot_together") {
		c.say("the total of %s is over the %s of the shots separately, and no note says why", a.Total.Amount, a.Separately.Amount)
	}
}

// lines compares what is hired.
func (c *check) lines() {
	type tally struct {
		cost
		there []int
	}
	of := map[string]*tally{}
	for i := range c.a.Kit {
		l := &c.a.Kit[i]
		from, to := slices.IndexFunc(c.dates, func(d catalog.Date) bool { return d.String() == l.From }), slices.IndexFunc(c.dates, func(d catalog.Date) bool { return d.String() == l.To })
		if from < 0 || to < from || l.Quantity < 1 {
			c.say("line %v", *l)
			continue
		}
		rate := c.asked.rate(l.SKU, c.dates[from])
		want(c, "day rate of "+l.SKU, l.DayRate.Minor(), rate)
		want(c, "charged days of "+l.SKU, l.ChargedDays, to-from+1)
		want(c, "amount of "+l.SKU, l.Amount.Minor(), rate*int64(l.Quantity*(to-from+1)))
		t := of[l.SKU]
		if t == nil {
			t = &tally{there: make([]int, len(c.dates))}
			of[l.SKU] = t
		}
		t.minor += l.Amount.Minor()
		t.unitDays += l.Quantity * (to - from + 1)
		t.lasts += l.Quantity * to
		for d := from; d <= to; d++ {
			t.there[d] += l.Quantity
		}
	}
	for sku, need := range c.w.need {
		t := of[sku]
		if t == nil {
			c.say("%s is needed %v and not hired", sku, need)
			continue
		}
		for d, n := range need {
			if t.there[d] < n {
				c.say("%s: %d hired on day %d, want %d", sku, t.there[d], d, n)
			}
		}
		want(c, "hire of "+sku, t.cost, c.w.hires[sku].cost)
	}
	for sku := range of {
		if c.w.need[sku] == nil {
			c.say("%s is hired and not needed", sku)
		}
	}
	for i := range c.a.Kit {
		if t := of[c.a.Kit[i].SKU]; t != nil {
			c.needed(&c.a.Kit[i], t.there)
		}
	}
}

// needed compares whom a line is for.
func (c *check) needed(l *Line, there []int) {
	var by, last []string
	for s, o := range c.choice {
		d := c.shots[s].day
		if o < 0 || c.shots[s].pool[o].kit[l.SKU] == 0 || c.dates[d].String() < l.From || c.dates[d].String() > l.To {
			continue
		}
		by = append(by, c.shots[s].number)
		without := slices.Clone(c.choice)
		without[s] = -1
		need := make([]int, len(c.dates))
		ups := c.ups(without)
		for _, bits := range c.together(ups) {
			kit, _ := c.takes(ups, bits)
			for k, u := range ups {
				if bits>>k&1 == 1 {
					need[u.day] = max(need[u.day], kit[l.SKU])
				}
			}
		}
		h := c.hire(l.SKU, need)
		for k := range c.dates {
			if c.dates[k].String() >= l.From && c.dates[k].String() <= l.To && h.there[k] < there[k] {
				last = append(last, c.shots[s].number)
				break
			}
		}
	}
	if !slices.Equal(by, l.NeededBy) {
		c.say("%s from %s to %s is needed by %v, want %v", l.SKU, l.From, l.To, l.NeededBy, by)
	}
	if !slices.Equal(last, l.LastUnitFor) {
		c.say("%s from %s to %s has its last unit for %v, want %v", l.SKU, l.From, l.To, l.LastUnitFor, last)
	}
}

// moments are the spans of time with the same shots up, minute by minute, and the times in between of those that count as up at once.
func (c *check) moments() (out []Moment) {
	ups := c.ups(c.choice)
	if len(ups) == 0 {
		return nil
	}
	begin, end := math.MaxInt, math.MinInt
	for _, u := range ups {
		begin, end = min(begin, u.from), max(end, u.to)
	}
	at := func(t int) (bits int) {
		for i, u := range ups {
			if u.from <= t && t < u.to {
				bits |= 1 << i
			}
		}
		return bits
	}
	instant := func(t int) time.Time { return c.zero.Add(time.Duration(t) * time.Minute) }
	add := func(bits, from, to int) {
		m := Moment{From: instant(from), To: instant(to)}
		for i, u := range ups {
			if bits>>i&1 == 1 {
				m.Shots = append(m.Shots, c.shots[u.shot].number)
			}
		}
		_, folk := c.takes(ups, bits)
		for _, n := range folk {
			m.People += n
		}
		out = append(out, m)
	}
	for from := begin; from < end; {
		to := from + 1
		for to < end && at(to) == at(from) {
			to++
		}
		if at(from) != 0 {
			add(at(from), from, to)
		}
		from = to
	}
	sets := c.together(ups)
	for _, bits := range sets {
		if slices.ContainsFunc(sets, func(more int) bool { return more != bits && more&bits == bits }) {
			continue
		}
		ended, begun := math.MaxInt, math.MinInt
		for i, u := range ups {
			if bits>>i&1 == 1 {
				ended, begun = min(ended, u.to), max(begun, u.from)
			}
		}
		if ended <= begun {
			add(bits, ended, begun)
		}
	}
	return out
}

func same(a, b Moment) bool {
	return a.From.Equal(b.From) && a.To.Equal(b.To) && slices.Equal(a.Shots, b.Shots) && a.People == b.People
}

// days compares moments, people, vehicles and mass of each day, and the notes of long ones.
func (c *check) days() {
	moments := c.moments()
	k := 0
	for d := range c.dates {
		if !c.w.shooting[d] {
			continue
		}
		if k == len(c.a.Days) {
			c.say("day %s is missing", c.dates[d])
			return
		}
		got := &c.a.Days[k]
		k++
		want(c, "a day", got.Date, c.dates[d].String())
		var mine []Moment
		for _, m := range moments {
			if slices.ContainsFunc(c.shots, func(s shotOf) bool { return s.day == d && slices.Contains(m.Shots, s.number) }) {
				mine = append(mine, m)
			}
		}
		if len(mine) != len(got.Moments) {
			c.say("%s has moments %v, want %v", got.Date, got.Moments, mine)
		} else {
			for _, m := range got.Moments {
				if !slices.ContainsFunc(mine, func(n Moment) bool { return same(m, n) }) {
					c.say("%s has a moment %v, want one of %v", got.Date, m, mine)
				}
			}
			if !slices.IsSortedFunc(got.Moments, func(a, b Moment) int { return a.From.Compare(b.From) }) {
				c.say("%s has its moments out of order", got.Date)
			}
		}
		folk := map[string]int{}
		for _, p := range got.People {
			folk[p.SKU] += p.Quantity
			want(c, "rate of "+p.SKU, p.DayRate.Minor(), c.asked.rate(p.SKU, c.dates[d]))
			want(c, "pay of "+p.SKU, p.Amount.Minor(), int64(p.Quantity)*p.DayRate.Minor())
		}
		for sku, n := range c.w.folk {
			if strings.HasPrefix(sku, nobody) {
				continue // who is in no price
			}
			want(c, got.Date+": "+sku, folk[sku], n[d])
			delete(folk, sku)
		}
		if len(folk) > 0 {
			c.say("%s has %v, whom nobody needs", got.Date, folk)
		}
		if math.Abs(got.MassKg-c.w.massKg[d]) > 0.01 {
			c.say("%s: mass_kg is %g, want %g", got.Date, got.MassKg, c.w.massKg[d])
		}
		sum := int64(0)
		for _, v := range got.Vehicles {
			want(c, "rate of "+v.SKU, v.DayRate.Minor(), c.asked.rate(v.SKU, c.dates[d]))
			want(c, "amount of "+v.SKU, v.Amount.Minor(), int64(v.Quantity)*v.DayRate.Minor())
			sum += v.Amount.Minor()
		}
		want(c, got.Date+": vehicles", sum, max(0, c.w.haul[d]))
		noted := slices.ContainsFunc(c.a.Notes, func(n Note) bool { return n.Code == "no_day_transport" && n.Date == got.Date })
		want(c, got.Date+": a note that nobody brings it", noted, c.w.haul[d] < 0)
		c.longDay(d)
	}
	want(c, "days", len(c.a.Days), k)
}

// longDay compares the notes of a day that is longer than somebody's hours.
func (c *check) longDay(d int) {
	first, last := math.MaxInt, math.MinInt
	for _, u := range c.ups(c.choice) {
		if u.day == d && len(u.people) > 0 { // one that takes nobody makes no day longer
			first, last = min(first, u.from), max(last, u.to)
		}
	}
	for sku, folk := range c.w.folk {
		if strings.HasPrefix(sku, nobody) {
			continue
		}
		hours := c.asked.Stock.Item(sku).Spec.(*catalog.Labour).HoursPerDay
		long := folk[d] > 0 && float64(last-first) > 60*hours
		noted := slices.ContainsFunc(c.a.Notes, func(n Note) bool { return n.Code == "long_day" && n.Date == c.dates[d].String() && n.Labour.SKU == sku })
		want(c, fmt.Sprintf("%s: a long day for %s", c.dates[d], sku), noted, long)
	}
}

// clashes compares where more is needed than there is.
func (c *check) clashes() {
	var list []Clash
	ups := c.ups(c.choice)
	number := map[string]up{}
	for _, u := range ups {
		number[c.shots[u.shot].number] = u
	}
	for _, m := range c.moments() {
		var set []up
		for _, n := range m.Shots {
			set = append(set, number[n])
		}
		slices.SortStableFunc(set, func(a, b up) int { return cmp.Compare(a.from, b.from) })
		kit, _ := c.takes(set, 1<<len(set)-1)
		for sku, n := range kit {
			short := n - c.asked.Stock.Item(sku).Owned
			if short <= 0 {
				continue
			}
			one := Clash{SKU: sku, From: m.From, To: m.To, Short: short}
			for _, u := range set {
				one.Shots = append(one.Shots, c.shots[u.shot].number)
			}
			if len(set) > 1 {
				one.ShiftMin = c.shift(ups, set[len(set)-1], sku)
			}
			list = append(list, one)
		}
	}
	text := func(k Clash) string {
		shift := "null"
		if k.ShiftMin != nil {
			shift = fmt.Sprint(max(*k.ShiftMin, -*k.ShiftMin)) // of two as near, either
		}
		return fmt.Sprint(k.SKU, k.Shots, k.From.Unix(), k.To.Unix(), k.Short, " shift ", shift)
	}
	var got, wanted []string
	for _, k := range c.a.Clashes {
		got = append(got, text(k))
	}
	for _, k := range list {
		wanted = append(wanted, text(k))
	}
	slices.Sort(got)
	slices.Sort(wanted)
	if !slices.Equal(got, wanted) {
		c.say("clashes are\n%q, want\n%q", got, wanted)
	}
}

// shift is the least number of minutes by which a shot would have to move so that nothing with it lacks an item, found minute by minute;
// its window stays within its day.
func (c *check) shift(ups []up, last up, sku string) *int {
	window := c.a.Pool[c.shots[last.shot].number][c.choice[last.shot]].Window
	zone, _ := time.LoadLocation(c.a.Job.Places[last.place].TimeZone)
	start, _ := time.ParseInLocation("2006-01-02 15:04", window.Date+" "+window.Start, zone)
	end, _ := time.ParseInLocation("2006-01-02 15:04", window.EndDate+" "+window.End, zone)
	y, m, d := start.Date()
	dawn, night := time.Date(y, m, d, 0, 0, 0, 0, zone), time.Date(y, m, d+1, 0, 0, 0, 0, zone)
	for by := 1; by <= 25*60; by++ {
		for _, by := range [2]int{by, -by} {
			move := time.Duration(by) * time.Minute
			if start.Add(move).Before(dawn) || end.Add(move).After(night) {
				continue
			}
			moved := slices.Clone(ups)
			for i := range moved {
				if moved[i].shot == last.shot {
					there := *moved[i].optionOf
					there.from, there.to = there.from+by, there.to+by
					moved[i].optionOf = &there
				}
			}
			if !c.lacks(moved, last.shot, sku) {
				return &by
			}
		}
	}
	return nil
}

// lacks reports whether there is too little of an item somewhere with a shot.
func (c *check) lacks(ups []up, shot int, sku string) bool {
	for _, bits := range c.together(ups) {
		with := false
		for i, u := range ups {
			with = with || bits>>i&1 == 1 && u.shot == shot
		}
		if kit, _ := c.takes(ups, bits); with && kit[sku] > c.asked.Stock.Item(sku).Owned {
			return true
		}
	}
	return false
}

// limits compares what is broken.
func (c *check) limits() {
	over := map[string]bool{}
	for _, b := range c.a.Broken {
		over[b.Limit] = true
	}
	q := c.asked
	want(c, "broken: crew", over["crew"], q.Crew > 0 && c.w.people > q.Crew)
	want(c, "broken: total", over["total"], q.TotalMinor > 0 && c.w.total > q.TotalMinor)
	want(c, "broken: mass", over["mass_kg"], q.MassKg > 0 && c.w.heaviestKg > q.MassKg+1e-9)
}

// bounds holds the certificate against the answer; whether it is true, [Best] says.
func (c *check) bounds() {
	a := c.a
	set := map[string]bool{"price": a.Bound != nil, "mass": a.BoundMassKg != nil, "people": a.BoundPeople != nil}
	for aim, there := range set {
		want(c, "whether a bound is there of "+aim, there, aim == c.asked.Aim)
	}
	off := 0.0
	switch {
	case a.Bound != nil:
		off = float64(a.Total.Minor()-a.Bound.Minor()) / 100
	case a.BoundMassKg != nil:
		off = a.MassKg - *a.BoundMassKg
	case a.BoundPeople != nil:
		off = float64(a.People - *a.BoundPeople)
	}
	if off < -0.01 || a.Proven && off > 0.01 {
		c.say("the bound is %g under what was found, proven: %t", off, a.Proven)
	}
}
