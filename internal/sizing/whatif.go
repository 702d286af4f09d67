package sizing

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/rigging"
)

// GustRow is what another gust than the one asked makes of an option, every piece where it stands.
type GustRow struct {
	GustMS float64
	// Add is what holds it besides the kit, Lower the pieces, by their index, that nothing there holds: they are to be down.
	Add   []catalog.Count
	Lower []int
	// Hands is the crew while what holds is up, PerDay the hire with what is added.
	Hands  int
	PerDay currency.Amount
	// Work is what the gust asks to be done.
	Work finding.GustWork
}

// whatIf returns the rows of the gusts asked for.
func whatIf(ctx context.Context, pl *planner, a *lighting.Arrangement) ([]GustRow, error) {
	var out []GustRow
	for _, gust := range pl.shot.WhatIfMS {
		row, err := atGust(ctx, pl, a, gust)
		if err != nil {
			return nil, err
		}
		out = append(out, row)
	}
	return out, nil
}

func atGust(ctx context.Context, pl *planner, a *lighting.Arrangement, gustMS float64) (GustRow, error) {
	row := GustRow{GustMS: gustMS, Add: []catalog.Count{}, Lower: []int{}}
	now := anchoragesOf(a)
	more, had := map[string]int{}, map[string]int{}
	left := func(sku string) int { return a.Remaining(sku) - more[sku] + had[sku] } // what lies at other pieces stays there
	var then []*anchorage.Anchorage
	for i, f := range now {
		if err := ctx.Err(); err != nil {
			return row, err
		}
		clear(had)
		for _, c := range f.Counts() {
			had[c.SKU] += c.Quantity
		}
		g := *f
		switch {
		case holds(f, gustMS): // as it is
		case i < len(a.Rigs):
			g = a.Rigs[i].Secure(gustMS, a.Rigs[:i], left, false)
		default:
			p := a.Pieces[i-len(a.Rigs)]
			g = a.Secure(p, p, gustMS, left, false)
		}
		if !holds(&g, gustMS) {
			row.Lower = append(row.Lower, i)
			g = anchorage.Anchorage{}
		}
		for _, c := range g.Counts() {
			if n := c.Quantity - had[c.SKU]; n > 0 {
				more[c.SKU] += n
			}
		}
		then = append(then, &g)
	}
	for sku, n := range more {
		row.Add = append(row.Add, catalog.Count{SKU: sku, Quantity: n})
	}
	slices.SortFunc(row.Add, func(x, y catalog.Count) int { return strings.Compare(x.SKU, y.SKU) })
	tasks, _ := tasksOf(pl, a, then)
	var up []rigging.Task
	for i := range tasks {
		if !slices.Contains(row.Lower, i) {
			up = append(up, tasks[i])
		}
	}
	crew, _ := rigging.PlanCrew(up, gustMS)
	row.Hands = crew.Total
	kit, err := pl.prices.Price(append(a.Counts(), row.Add...))
	if err != nil {
		return row, fmt.Errorf("sizing: price at %.1f m/s: %w", gustMS, err)
	}
	row.PerDay = kit.PerDay
	row.Work = gustWork(pl, a, &row, now, then)
	return row, nil
}

// gustWork returns what the gust asks to be done.
func gustWork(pl *planner, a *lighting.Arrangement, row *GustRow, now, then []*anchorage.Anchorage) finding.GustWork {
	w := finding.GustWork{NothingUp: len(now) == 0}
	for _, c := range row.Add {
		w.Add = append(w.Add, goodsOf(pl, c))
	}
	for _, i := range row.Lower {
		if r := roleOf(a, i); !slices.Contains(w.Lower, r) {
			w.Lower = append(w.Lower, r)
		}
	}
	return w
}

func holds(f *anchorage.Anchorage, gustMS float64) bool {
	h := f.Hold()
	return h.Holds(gustMS)
}

// roleOf returns the role of a piece, by its index.
func roleOf(a *lighting.Arrangement, i int) finding.Role {
	roles := overhead.RolesOf(a.Rigs)
	if i < len(roles) {
		return roles[i]
	}
	return a.Pieces[i-len(roles)].Role
}
