package sharedkit

import (
	"math"
)

// Plan is what a choice comes to.
type Plan struct {
	// Choice is the option of each shot, -1 where it has none.
	Choice []int
	// Need is how many of each item each day takes: Need[item][day].
	Need [][]int
	// Spans are the spans of hire of each item; Hired is how many units are there: Hired[item][day].
	Spans [][]Span
	Hired [][]int
	// People are those that a day takes of each role: People[day][role].
	People [][]int
	// MostPeople is the most at one moment, and MassKg the hire of the heaviest day.
	MostPeople int
	MassKg     float64
	// HireMinor, LabourMinor and TransportMinor are in minor units, and TotalMinor is their sum.
	HireMinor, LabourMinor, TransportMinor, TotalMinor int64
	// Hauled says of each day whether the fleet brings its load.
	Hauled []bool

	score score
}

// Short is how many units are missing: of each item what each day lacks, added up.
func (pl *Plan) Short() int { return pl.score.short }

// Keeps reports whether the plan keeps stock, limits and fleet.
func (pl *Plan) Keeps() bool { return pl.score.short == 0 && pl.score.over == 0 }

// score orders plans: units short, then by how much limits are broken, then the aim, then the total.
type score struct {
	short int
	// over is what goes beyond the limits as shares of them, added up, and 1 for each day whose load the fleet cannot bring.
	over float64
	aim  float64
	cost int64
}

// none is worse than every score.
var none = score{math.MaxInt, math.Inf(1), math.Inf(1), math.MaxInt64}

func (a score) less(b score) bool {
	switch {
	case a.short != b.short:
		return a.short < b.short
	case a.over != b.over:
		return a.over < b.over
	case a.aim != b.aim:
		return a.aim < b.aim
	}
	return a.cost < b.cost
}

// atLeast is the larger of both in every part, and orLess the smaller: what bounds a choice in two ways, and what bounds those of two kinds.
// By order alone a smaller aim would hide a smaller total.
func (a score) atLeast(b *score) score {
	return score{max(a.short, b.short), max(a.over, b.over), max(a.aim, b.aim), max(a.cost, b.cost)}
}

func (a score) orLess(b *score) score {
	return score{min(a.short, b.short), min(a.over, b.over), min(a.aim, b.aim), min(a.cost, b.cost)}
}

// Evaluate returns what a choice comes to. It is exact, and alone says what a plan costs: a search only compares.
func (p *Problem) Evaluate(choice []int) *Plan {
	pl := &Plan{Choice: choice, Need: grid(len(p.Items), p.Days), Spans: make([][]Span, len(p.Items)), Hired: grid(len(p.Items), p.Days), People: grid(p.Days, len(p.Roles)), Hauled: make([]bool, p.Days)}
	ups := p.ups(choice)
	shooting := make([]bool, p.Days)
	for _, set := range p.together(ups) {
		p.addMoment(pl, ups, set, shooting)
	}
	missing := 0
	for i := range p.Items {
		it := &p.Items[i]
		spans, minor, ok := Hire(it.Charges, pl.Need[i])
		if !ok {
			missing++ // no rate: as good as one short
		}
		pl.Spans[i] = spans
		pl.HireMinor += minor
		for _, sp := range spans {
			for d := sp.First; d <= sp.Last; d++ {
				pl.Hired[i][d] += sp.Units
			}
		}
		for d, n := range pl.Need[i] {
			missing += max(0, n-it.Free[d])
		}
	}
	unhauled := p.addDays(pl, shooting)
	pl.TotalMinor = pl.HireMinor + pl.LabourMinor + pl.TransportMinor
	pl.score = score{short: missing, over: p.over(pl) + float64(unhauled), cost: pl.TotalMinor}
	switch p.Aim {
	case Mass:
		pl.score.aim = pl.MassKg
	case People:
		pl.score.aim = float64(pl.MostPeople)
	case Price:
	}
	return pl
}

// grid returns rows of zeros.
func grid(rows, columns int) [][]int {
	all := make([]int, rows*columns)
	out := make([][]int, rows)
	for i := range out {
		out[i] = all[i*columns : (i+1)*columns : (i+1)*columns]
	}
	return out
}

// addMoment adds to needs and people what is up at once; set is of places in ups.
func (p *Problem) addMoment(pl *Plan, ups []up, set []int, shooting []bool) {
	items, roles := map[int]int{}, p.rolesOf(pl, ups, set)
	for _, k := range set {
		opt := &p.Shots[ups[k].shot].Options[pl.Choice[ups[k].shot]]
		for _, u := range opt.Items {
			items[u.Of] += u.N
		}
	}
	people := 0
	for _, n := range roles {
		people += n
	}
	pl.MostPeople = max(pl.MostPeople, people)
	for _, k := range set {
		d := p.Shots[ups[k].shot].Day
		shooting[d] = true
		for i, n := range items {
			pl.Need[i][d] = max(pl.Need[i][d], n)
		}
		for r, n := range roles {
			pl.People[d][r] = max(pl.People[d][r], n)
		}
	}
}

// rolesOf returns how many of each role a moment takes; of a shared one, one place takes as many as its shot with the most.
func (p *Problem) rolesOf(pl *Plan, ups []up, set []int) []int {
	out := make([]int, len(p.Roles))
	shared := map[Use]int{} // of a place and a role, by N and Of
	for _, k := range set {
		opt := &p.Shots[ups[k].shot].Options[pl.Choice[ups[k].shot]]
		for _, u := range opt.Roles {
			if !p.Roles[u.Of].Shared {
				out[u.Of] += u.N
				continue
			}
			key := Use{Of: u.Of, N: ups[k].place}
			if more := u.N - shared[key]; more > 0 {
				shared[key] += more
				out[u.Of] += more
			}
		}
	}
	return out
}

// addDays adds what people and vehicles cost on each day; it returns on how many the fleet cannot bring the load.
func (p *Problem) addDays(pl *Plan, shooting []bool) (unhauled int) {
	for d := range p.Days {
		hands := 0
		for r, n := range pl.People[d] {
			pl.LabourMinor += p.Roles[r].Rates[d] * int64(n)
			if !p.Roles[r].Apart {
				hands += n
			}
		}
		load, kg := p.load(d, pl.Hired)
		pl.MassKg = math.Max(pl.MassKg, kg)
		pl.Hauled[d] = true
		if p.Haul == nil || !shooting[d] {
			continue
		}
		minor, ok := p.Haul(d, load, hands)
		if pl.Hauled[d] = ok; !ok {
			unhauled++
			continue
		}
		pl.TransportMinor += minor
	}
	return unhauled
}

// load returns what is brought on a day, and the mass of all that is hired, machines included.
func (p *Problem) load(day int, hired [][]int) (load Load, kg float64) {
	for i := range p.Items {
		n := hired[i][day]
		if n == 0 {
			continue
		}
		it := &p.Items[i]
		kg += float64(n) * it.MassKg
		if it.Alone {
			continue
		}
		load.MassKg += float64(n) * it.MassKg
		load.VolumeM3 += float64(n) * it.VolumeM3
		load.HeaviestKg, load.BulkiestM3 = math.Max(load.HeaviestKg, it.MassKg), math.Max(load.BulkiestM3, it.VolumeM3)
	}
	return load, kg
}

// over adds up by which share the limits are broken.
func (p *Problem) over(pl *Plan) float64 {
	beyond := func(got, limit float64) float64 {
		if limit <= 0 || got <= limit {
			return 0
		}
		return got/limit - 1
	}
	l := &p.Limits
	return beyond(float64(pl.MostPeople), float64(l.Crew)) + beyond(float64(pl.TotalMinor), float64(l.TotalMinor)) +
		beyond(pl.MassKg, l.MassKg) + beyond(float64(pl.HireMinor), float64(l.HireMinor))
}
