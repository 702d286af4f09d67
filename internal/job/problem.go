package job

import (
	"context"
	"maps"
	"slices"
	"strings"

	"kitspan/internal/catalog"
	"kitspan/internal/rigging"
	"kitspan/internal/sharedkit"
	"kitspan/internal/sizing"
)

func sortedKeys[V any](of map[string]V) []string { return slices.Sorted(maps.Keys(of)) }

// problem is the choice among all options so far.
func (m *maker) problem() *sharedkit.Problem {
	m.items, m.roles = map[string]int{}, map[string]int{}
	for s := range m.pools {
		for o := range m.pools[s].options {
			opt := &m.pools[s].options[o]
			for _, n := range opt.Kit {
				m.items[n.SKU] = 0
			}
			for _, n := range opt.People {
				m.roles[n.SKU] = 0
			}
			for _, n := range opt.Unsent {
				m.roles[unsent+n.Labour] = 0
			}
		}
	}
	p := &sharedkit.Problem{Days: len(m.days), Way: m.way, Aim: m.aim, Haul: m.haul, HaulAtLeast: m.haulAtLeast}
	p.Limits.Crew, p.Limits.MassKg = m.req.Limits.Crew, m.req.Limits.MassKg
	if t := m.req.Limits.Total; t != nil {
		p.Limits.TotalMinor, _ = t.Int64() // read once before
	}
	m.skus = sortedKeys(m.items)
	for i, sku := range m.skus {
		m.items[sku] = i
		p.Items = append(p.Items, m.item(sku))
	}
	m.folk = nil
	for r, sku := range sortedKeys(m.roles) {
		m.roles[sku] = r
		p.Roles = append(p.Roles, m.role(sku))
		m.folk = append(m.folk, m.req.Stock.Item(sku))
	}
	for s := range m.pools {
		p.Shots = append(p.Shots, m.shot(s, len(m.pools[s].options)))
	}
	return p
}

// unsent comes before the role of people whom the house does not send; no SKU begins with it.
const unsent = " "

func (m *maker) shot(s, options int) sharedkit.Shot {
	out := sharedkit.Shot{Day: m.pools[s].day, Place: m.place[m.req.Job.Shots[s].Place]}
	for o := range m.pools[s].options[:options] {
		opt := &m.pools[s].options[o]
		one := sharedkit.Option{From: opt.from, To: opt.to}
		for _, n := range opt.Kit {
			one.Items = append(one.Items, sharedkit.Use{Of: m.items[n.SKU], N: n.Quantity})
		}
		for _, n := range opt.People {
			one.Roles = append(one.Roles, sharedkit.Use{Of: m.roles[n.SKU], N: n.Quantity})
		}
		for _, n := range opt.Unsent {
			one.Roles = append(one.Roles, sharedkit.Use{Of: m.roles[unsent+n.Labour], N: n.Quantity})
		}
		out.Options = append(out.Options, one)
	}
	return out
}

// charged is for how many days so many calendar days are charged.
func (m *maker) charged(days int) int {
	if m.req.Terms == nil {
		return days
	}
	return m.req.Terms.Charged(days)
}

// item is what a SKU costs and how many there are.
func (m *maker) item(sku string) sharedkit.Item {
	item := m.req.Stock.Item(sku)
	out := sharedkit.Item{MassKg: item.MassKg, VolumeM3: item.PackedM3, Alone: sizing.ComesByItself(item), Charges: m.charges(sku, m.charged)}
	for range m.days {
		out.Free = append(out.Free, item.Owned)
	}
	return out
}

// charges are those of one unit: a span at the rate of its first day for as many days as charged says.
func (m *maker) charges(sku string, charged func(days int) int) sharedkit.Charges {
	out := make(sharedkit.Charges, len(m.days))
	for d := range m.days {
		rate, ok := m.rate(sku, d)
		for n := range len(m.days) - d {
			if !ok {
				out[d] = append(out[d], sharedkit.NoRate)
				continue
			}
			out[d] = append(out[d], rate*int64(charged(n+1)))
		}
	}
	return out
}

// rate is what one unit costs on a day, in minor units; ok is false where it has no rate.
func (m *maker) rate(sku string, day int) (minor int64, ok bool) {
	return m.desks[day].Minor([]catalog.Count{{SKU: sku, Quantity: 1}})
}

func (m *maker) role(sku string) sharedkit.Role {
	out := sharedkit.Role{Rates: make([]int64, len(m.days))}
	item := m.req.Stock.Item(sku)
	role := strings.TrimPrefix(sku, unsent)
	if item != nil {
		role = item.Spec.(*catalog.Labour).Role
	}
	out.Shared, out.Apart = role == catalog.RoleLead, role == catalog.RoleOperator
	if item == nil {
		return out
	}
	for d := range m.days {
		out.Rates[d], _ = m.rate(sku, d) // none: a note says so
	}
	return out
}

// haul is what vehicles for a load cost on a day.
func (m *maker) haul(day int, load sharedkit.Load, hands int) (minor int64, ok bool) {
	key := bringing{day, load, hands}
	if known, asked := m.bring[key]; asked {
		return known.minor, known.ok
	}
	h, ok := m.fleet[day].Bring(cargoOf(load), hands)
	if ok {
		minor, ok = m.desks[day].Minor(h.Counts)
	}
	m.bring[key] = bringable{minor, ok}
	return minor, ok
}

func (m *maker) haulAtLeast(day int, load sharedkit.Load) int64 {
	return m.fleet[day].AtLeast(cargoOf(load))
}

func cargoOf(l sharedkit.Load) rigging.Cargo {
	return rigging.Cargo{MassKg: l.MassKg, VolumeM3: l.VolumeM3, HeaviestKg: l.HeaviestKg, BulkiestM3: l.BulkiestM3}
}

// byDay is a good choice to start from: the best where every calendar day is charged, which falls into days and is found soon. nil without
// terms, where that is the choice itself.
func (m *maker) byDay(ctx context.Context, p *sharedkit.Problem) ([]int, error) {
	if m.req.Terms == nil {
		return nil, nil
	}
	flat := *p
	flat.Items = slices.Clone(p.Items)
	for i := range flat.Items {
		flat.Items[i].Charges = m.charges(m.skus[i], func(days int) int { return days })
	}
	choice, err := sharedkit.Guess(ctx, &flat)
	if err != nil {
		return nil, err
	}
	return choice.Plan.Choice, nil
}

// choose searches for the best choice until one of the contexts ends. What the shots would take by themselves is tried beside it, so that
// a search that was cut short is not dearer either.
func (m *maker) choose(ctx, search context.Context, p *sharedkit.Problem, by searcher) (*sharedkit.Choice, error) {
	both, cancel := context.WithCancel(search)
	defer cancel()
	defer context.AfterFunc(ctx, cancel)()
	start, err := m.byDay(both, p)
	if err != nil {
		return nil, err
	}
	p.Start = start
	choice, err := by(both, p)
	if err != nil {
		return nil, err
	}
	return choice, ctx.Err()
}
