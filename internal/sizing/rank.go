package sizing

import (
	"fmt"

	"github.com/bojanz/currency"

	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/rigging"
	"kitspan/internal/shot"
)

// taken is what a plan, or a part of it, takes of what may be limited.
type taken struct {
	perDay currency.Amount // hire
	people int
	massKg float64
}

// takes returns what the whole option takes.
func (o *Option) takes() taken { return taken{o.Kit.PerDay, o.Crew.Total, o.Load.MassKg} }

func isShade(p *lighting.Piece) bool { return p.Role == finding.RoleCameraShade }

// restOf returns what an arrangement takes but for the shades on its lens.
func restOf(pl *planner, a *lighting.Arrangement) (t taken, err error) {
	rest := overhead.CountAll(a.Rigs)
	tasks, _ := tasksOf(pl, a, anchoragesOf(a))
	others := tasks[:len(a.Rigs):len(a.Rigs)]
	for i, p := range a.Pieces {
		if !isShade(p) {
			rest = append(rest, p.Counts()...)
			others = append(others, tasks[len(a.Rigs)+i])
		}
	}
	kit, err := pl.prices.Price(rest)
	if err != nil {
		return t, fmt.Errorf("without the lens shade: %w", err)
	}
	crew, _ := rigging.PlanCrew(others, pl.holding.GustMS)
	t = taken{kit.PerDay, crew.Total, 0}
	for _, l := range kit.Lines {
		t.massKg += float64(l.Quantity) * pl.stock.Item(l.SKU).MassKg
	}
	return t, nil
}

// rankBy fills in what the option is compared by, given what it takes; shades on the lens do not count.
func (o *Option) rankBy(prefer string, a *lighting.Arrangement, t taken) {
	minor, _ := t.perDay.Int64() // no more than the whole hire, which has been read
	area := 0.0
	for _, ch := range a.Rigs {
		area += ch.Candidate.AreaM2
	}
	whole := area
	for _, p := range a.Pieces {
		if !isShade(p) {
			whole += p.AreaM2
		}
	}
	o.areaM2, o.minor = area, minor
	o.rank = overhead.RankBy(prefer, area, t.massKg, minor, t.people)
	if prefer == shot.PreferSmallest {
		o.rank = overhead.Rank{area, whole, float64(minor), t.massKg}
	}
}
