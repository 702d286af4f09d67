package job

import (
	"math"
	"slices"
	"strings"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/sharedkit"
)

// note adds what is to be said of the whole: limits that are broken, long days, ways that nobody gave, what has no rate.
func (m *maker) note(out *Plan, p *sharedkit.Problem, plan *sharedkit.Plan) {
	m.noteLimits(out)
	for d := range m.days {
		m.noteLongDay(out, p, plan, d)
		for r, n := range plan.People[d] {
			if item := m.folk[r]; item != nil && n > 0 {
				m.noteRate(out, item, d)
			}
		}
		for i := range m.skus {
			if plan.Need[i][d] > 0 {
				m.noteRate(out, m.req.Stock.Item(m.skus[i]), d)
			}
		}
	}
	m.noteTooFew(out, plan)
	m.noteWays(out, p, plan)
	m.noteAtOnce(out)
	m.noteLeads(out, p, plan)
}

func (m *maker) noteLimits(out *Plan) {
	l := &m.req.Limits
	if l.Crew > 0 && out.People > l.Crew {
		out.Broken = append(out.Broken, finding.OverCrew{People: out.People, Limit: l.Crew})
	}
	if l.Total != nil {
		if over, err := out.Total.Sub(*l.Total); err == nil && over.IsPositive() {
			out.Broken = append(out.Broken, finding.OverJobTotal{Limit: *l.Total, Got: out.Total, Over: over})
		}
	}
	if l.MassKg > 0 && out.MassKg > l.MassKg+1e-9 {
		out.Broken = append(out.Broken, finding.OverMass{MassKg: out.MassKg, LimitKg: l.MassKg})
	}
	out.Notes = append(out.Notes, out.Broken...)
}

func (m *maker) noteRate(out *Plan, item *catalog.Item, day int) {
	if _, ok := m.rate(item.SKU, day); !ok {
		out.Notes = append(out.Notes, finding.NoRate{Item: finding.ItemOf(item), Date: m.days[day].String()})
	}
}

// noteLongDay notes whose rate is for fewer hours than a day has from its first rigging to its last strike. What takes nobody makes no day
// longer.
func (m *maker) noteLongDay(out *Plan, p *sharedkit.Problem, plan *sharedkit.Plan, day int) {
	from, to := math.MaxInt, math.MinInt
	for s, o := range plan.Choice {
		if o >= 0 && p.Shots[s].Day == day && len(p.Shots[s].Options[o].Roles) > 0 {
			from, to = min(from, p.Shots[s].Options[o].From), max(to, p.Shots[s].Options[o].To)
		}
	}
	for r, n := range plan.People[day] {
		if n == 0 || m.folk[r] == nil {
			continue
		}
		hours := float64(to-from) / 60
		if spec := m.folk[r].Spec.(*catalog.Labour); spec.HoursPerDay > 0 && hours > spec.HoursPerDay {
			out.Notes = append(out.Notes, finding.LongDay{Date: m.days[day].String(), Labour: finding.ItemOf(m.folk[r]), Hours: hours, HoursPerDay: spec.HoursPerDay})
		}
	}
}

// noteTooFew notes of whom a day takes more than the house has.
func (m *maker) noteTooFew(out *Plan, plan *sharedkit.Plan) {
	for r, item := range m.folk {
		most := 0
		for d := range m.days {
			most = max(most, plan.People[d][r])
		}
		if item != nil && most > item.Owned {
			out.Notes = append(out.Notes, finding.TooFew{Goods: finding.Goods{Item: finding.ItemOf(item), Quantity: most}, Owned: item.Owned})
		}
	}
}

// sameSpotKm is up to how far apart two places are one: nobody loads a van for it (common practice, no source).
const sameSpotKm = 1

// noteWays notes places that are used on one day, between which no way is given.
func (m *maker) noteWays(out *Plan, p *sharedkit.Problem, plan *sharedkit.Plan) {
	given := map[[2]int]bool{}
	for _, mv := range m.req.Job.Moves {
		a, b := m.place[mv.Between[0]], m.place[mv.Between[1]]
		given[[2]int{a, b}], given[[2]int{b, a}] = true, true
	}
	for s, o := range plan.Choice {
		for t, q := range plan.Choice[:s] {
			a, b := p.Shots[t].Place, p.Shots[s].Place
			if o < 0 || q < 0 || a == b || p.Shots[s].Day != p.Shots[t].Day || given[[2]int{a, b}] {
				continue
			}
			given[[2]int{a, b}], given[[2]int{b, a}] = true, true
			x, y := &m.req.Job.Sites[a], &m.req.Job.Sites[b]
			if km := geom.GreatCircleKm(x.LatitudeDeg, x.LongitudeDeg, y.LatitudeDeg, y.LongitudeDeg); km > sameSpotKm {
				out.Notes = append(out.Notes, finding.WayUnsaid{Between: x.Name, And: y.Name, Km: km})
			}
		}
	}
}

// noteAtOnce notes the shots that are shot at the same time.
func (m *maker) noteAtOnce(out *Plan) {
	var list []*PlannedShot
	for i := range out.Shots {
		if out.Shots[i].Option != nil {
			list = append(list, &out.Shots[i])
		}
	}
	slices.SortStableFunc(list, func(a, b *PlannedShot) int { return a.Option.Window.From.Compare(b.Option.Window.From) })
	for i, s := range list {
		numbers := []string{}
		for _, t := range list[:i] {
			if t.Option.Window.To.After(s.Option.Window.From) {
				numbers = append(numbers, t.Number)
			}
		}
		if len(numbers) > 0 {
			out.Notes = append(out.Notes, finding.ShotAtOnce{Shots: append(numbers, s.Number)})
		}
	}
}

// noteLeads notes the shots up at once at one place whose shared lead lifts at one of them.
func (m *maker) noteLeads(out *Plan, p *sharedkit.Problem, plan *sharedkit.Plan) {
	said := map[string]bool{}
	for _, mo := range p.Moments(plan.Choice) {
		byPlace, lifts := map[int][]string{}, map[int]bool{}
		for _, s := range mo.Shots {
			if o := out.Shots[s].Option; o.Crew.Total > 0 {
				place := p.Shots[s].Place
				byPlace[place] = append(byPlace[place], out.Shots[s].Number)
				lifts[place] = lifts[place] || o.Crew.LeadLifts
			}
		}
		for place := range m.req.Job.Sites {
			numbers := byPlace[place]
			if key := strings.Join(numbers, "\x00"); len(numbers) > 1 && lifts[place] && !said[key] {
				said[key] = true
				out.Notes = append(out.Notes, finding.LeadLifts{Shots: numbers})
			}
		}
	}
}
