package oracle

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"kitspan/internal/catalog"
)

// set is the job of an answer as numbers: what each option of each shot takes, and when.
type set struct {
	asked *Asked
	dates []catalog.Date
	zone  *time.Location
	zero  time.Time
	shots []shotOf
	way   map[[2]string]int
	hires map[string]hireOf // by item and need, since choices have many in common
	hauls map[string]haulOf
	sets  map[string][]int // by place and time
}

type haulOf struct {
	minor int64
	ok    bool
}

type shotOf struct {
	number, place string
	day           int // of the hire
	pool          []optionOf
}

type optionOf struct {
	from, to int // minutes
	kit      map[string]int
	people   map[string]int
}

// read takes the numbers from an answer.
func read(a *Answer, asked *Asked) (*set, error) {
	zone, err := time.LoadLocation(a.Job.TimeZone)
	if err != nil {
		return nil, err
	}
	s := &set{asked: asked, dates: dates(a.Job.Hire.From, a.Job.Hire.To), zone: zone, way: map[[2]string]int{}, hires: map[string]hireOf{}, hauls: map[string]haulOf{}, sets: map[string][]int{}}
	s.zero = day(a.Job.Hire.From).AddDate(0, 0, -2) // long before anything is rigged
	for _, m := range a.Job.Moves {
		s.way[[2]string{m.Between[0], m.Between[1]}] = m.Minutes
		s.way[[2]string{m.Between[1], m.Between[0]}] = m.Minutes
	}
	for _, sh := range a.Job.Shots {
		one := shotOf{number: sh.Number, place: sh.Place, day: -1}
		place, err := time.LoadLocation(a.Job.Places[sh.Place].TimeZone)
		if err != nil {
			return nil, err
		}
		for _, o := range a.Pool[sh.Number] {
			start, err := time.ParseInLocation("2006-01-02 15:04", o.Window.Date+" "+o.Window.Start, place)
			if err != nil {
				return nil, err
			}
			// Of a time that occurs twice up_from tells which it is.
			if start.Before(o.UpFrom) || start.Sub(o.UpFrom) >= 24*time.Hour {
				return nil, fmt.Errorf("shot %s starts at %s and is up from %s", sh.Number, start, o.UpFrom)
			}
			on := s.dayOf(start)
			if one.day >= 0 && on != one.day {
				return nil, fmt.Errorf("shot %s starts on days %d and %d", sh.Number, one.day, on)
			}
			one.day = on
			opt := optionOf{from: s.minute(o.UpFrom), to: s.minute(o.UpTo), kit: map[string]int{}, people: map[string]int{}}
			for _, k := range o.Kit {
				opt.kit[k.SKU] += k.Quantity
			}
			for _, k := range o.People {
				opt.people[k.SKU] += k.Quantity
			}
			for _, k := range o.Unsent {
				opt.people[nobody+k.Labour] += k.Quantity
			}
			one.pool = append(one.pool, opt)
		}
		s.shots = append(s.shots, one)
	}
	return s, nil
}

// dayOf is the place of an instant's date in the hire, -1 where it is outside.
func (s *set) dayOf(t time.Time) int {
	y, m, d := t.In(s.zone).Date()
	return slices.Index(s.dates, catalog.Date{Year: y, Month: m, Day: d})
}

func (s *set) minute(t time.Time) int { return int(t.Sub(s.zero) / time.Minute) }

// up is a shot of a choice.
type up struct {
	*optionOf
	shot  int
	place string
	day   int
}

func (s *set) ups(choice []int) (out []up) {
	for i, o := range choice {
		if o >= 0 {
			out = append(out, up{&s.shots[i].pool[o], i, s.shots[i].place, s.shots[i].day})
		}
	}
	return out
}

// meet reports whether two shots are up at once, or nearer in time than the way between their places: whether in some minute of the one and
// some minute of the other they are.
func (s *set) meet(a, b up) bool {
	way := 0
	if a.place != b.place {
		way = s.way[[2]string{a.place, b.place}]
	}
	for t := a.from; t < a.to; t++ {
		if t-way <= b.to-1 && t+way >= b.from {
			return true
		}
	}
	return false
}

// together lists every set of shots of which each two meet, as bits of places in ups.
func (s *set) together(ups []up) (out []int) {
	key := make([]byte, 0, 64)
	for _, u := range ups {
		key = fmt.Appendf(key, "%s %d %d,", u.place, u.from, u.to)
	}
	if known, is := s.sets[string(key)]; is {
		return known
	}
	defer func() { s.sets[string(key)] = out }()
	meets := make([]int, len(ups))
	for i := range ups {
		for j := range ups {
			if i == j || s.meet(ups[i], ups[j]) {
				meets[i] |= 1 << j
			}
		}
	}
next:
	for bits := 1; bits < 1<<len(ups); bits++ {
		for i := range ups {
			if bits>>i&1 == 1 && bits&^meets[i] != 0 {
				continue next
			}
		}
		out = append(out, bits)
	}
	return out
}

// takes adds up what shots take that are up at once: items, and people by role, of whom one place has only one in charge.
func (s *set) takes(ups []up, bits int) (kit, people map[string]int) {
	kit, people = map[string]int{}, map[string]int{}
	leads := map[[2]string]int{}
	for i, u := range ups {
		if bits>>i&1 == 0 {
			continue
		}
		for sku, n := range u.kit {
			kit[sku] += n
		}
		for sku, n := range u.people {
			if s.asked.role(sku) == catalog.RoleLead {
				key := [2]string{u.place, sku}
				leads[key] = max(leads[key], n)
				continue
			}
			people[sku] += n
		}
	}
	for key, n := range leads {
		people[key[1]] += n
	}
	return kit, people
}

// worth is what a choice comes to.
type worth struct {
	need, there, folk              map[string][]int // by item or role, by day
	hires                          map[string]hireOf
	hire, labour, transport, total int64
	haul                           []int64 // by day, -1 where nobody brings it
	massKg                         []float64
	heaviestKg                     float64
	people                         int
	short                          int
	over                           float64
	shooting                       []bool
}

// evaluate works out what a choice comes to.
func (s *set) evaluate(choice []int) *worth {
	days := len(s.dates)
	w := &worth{need: map[string][]int{}, there: map[string][]int{}, folk: map[string][]int{}, hires: map[string]hireOf{}, haul: make([]int64, days), massKg: make([]float64, days), shooting: make([]bool, days)}
	most := func(of map[string][]int, sku string, d, n int) {
		if of[sku] == nil {
			of[sku] = make([]int, days)
		}
		of[sku][d] = max(of[sku][d], n)
	}
	ups := s.ups(choice)
	for _, bits := range s.together(ups) {
		kit, folk := s.takes(ups, bits)
		all := 0
		for _, n := range folk {
			all += n
		}
		w.people = max(w.people, all)
		for i, u := range ups {
			if bits>>i&1 == 0 {
				continue
			}
			w.shooting[u.day] = true
			for sku, n := range kit {
				most(w.need, sku, u.day, n)
			}
			for sku, n := range folk {
				most(w.folk, sku, u.day, n)
			}
		}
	}
	for sku, need := range w.need {
		h := s.hire(sku, need)
		w.hires[sku], w.there[sku] = h, h.there
		w.hire += h.minor
		lacks := 0
		for d, n := range need {
			lacks = max(lacks, n-s.asked.Stock.Item(sku).Owned)
			w.massKg[d] += float64(h.there[d]) * s.asked.Stock.Item(sku).MassKg
		}
		w.short += lacks
	}
	for sku, folk := range w.folk {
		for d, n := range folk {
			w.labour += int64(n) * s.asked.rate(sku, s.dates[d])
		}
	}
	unhauled := 0
	for d := range days {
		w.heaviestKg = max(w.heaviestKg, w.massKg[d])
		if !w.shooting[d] {
			continue
		}
		minor, ok := s.haul(w, d)
		if w.haul[d] = minor; !ok {
			w.haul[d] = -1
			unhauled++
			continue
		}
		w.transport += minor
	}
	w.total = w.hire + w.labour + w.transport
	beyond := func(got, limit float64) float64 {
		if limit == 0 {
			return 0
		}
		return max(0, got/limit-1)
	}
	w.over = float64(unhauled) + beyond(float64(w.people), float64(s.asked.Crew)) + beyond(float64(w.total), float64(s.asked.TotalMinor)) + beyond(w.heaviestKg, s.asked.MassKg)
	return w
}

func (s *set) hire(sku string, need []int) hireOf {
	key := fmt.Sprint(sku, need)
	h, known := s.hires[key]
	if !known {
		rates := make([]int64, len(s.dates))
		for d := range rates {
			rates[d] = s.asked.rate(sku, s.dates[d])
		}
		h = cheapest(rates, need)
		s.hires[key] = h
	}
	return h
}

func (s *set) haul(w *worth, d int) (int64, bool) {
	load, hands := map[string]int{}, 0
	for sku, there := range w.there {
		load[sku] = there[d]
	}
	for sku, folk := range w.folk {
		if s.asked.role(sku) != catalog.RoleOperator { // who come with their machines
			hands += folk[d]
		}
	}
	key := fmt.Sprint(d, hands, load)
	h, known := s.hauls[key]
	if !known {
		h.minor, h.ok = s.asked.bring(load, hands, s.dates[d])
		s.hauls[key] = h
	}
	return h.minor, h.ok
}

// aim is what comes before the total.
func (w *worth) aim(of string) float64 {
	switch of {
	case "mass":
		return w.heaviestKg
	case "people":
		return float64(w.people)
	}
	return 0
}

// better compares two by what is short, by how much limits are broken, by the aim, and by the total.
func (w *worth) better(v *worth, aim string) int {
	near := func(a, b float64) int {
		if d := a - b; d < -1e-9 || d > 1e-9 {
			return cmp.Compare(a, b)
		}
		return 0
	}
	return cmp.Or(w.short-v.short, near(w.over, v.over), near(w.aim(aim), v.aim(aim)), cmp.Compare(w.total, v.total))
}

// choices is how many there are, as far as most.
func (s *set) choices(most int) int {
	n := 1
	for i := range s.shots {
		if n *= max(1, len(s.shots[i].pool)); n > most {
			return most + 1
		}
	}
	return n
}

// best tries every choice.
func (s *set) best() (best *worth) {
	choice := make([]int, len(s.shots))
	var try func(i int)
	try = func(i int) {
		if i == len(choice) {
			if w := s.evaluate(choice); best == nil || w.better(best, s.asked.Aim) < 0 {
				best = w
			}
			return
		}
		if len(s.shots[i].pool) == 0 {
			choice[i] = -1
			try(i + 1)
		}
		for o := range s.shots[i].pool {
			choice[i] = o
			try(i + 1)
		}
	}
	try(0)
	return best
}
