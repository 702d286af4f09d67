package job

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"kitspan/internal/sharedkit"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// This file sizes shots again by what the others hire anyway, which costs nothing more.

// preferences are those by which a shot is sized again for an aim: people are most of what a day costs, so that few of them count by price
// as well.
func preferences(aim sharedkit.Aim) []string {
	switch aim {
	case sharedkit.Mass:
		return []string{shot.PreferLightest}
	case sharedkit.People:
		return []string{shot.PreferFewestHands}
	case sharedkit.Price:
	}
	return []string{shot.PreferCheapest, shot.PreferFewestHands}
}

// moreStarts is at how many starts beside the chosen a movable shot is sized again: those with the cheapest options of its own.
const moreStarts = 4

// task is a shot to be sized again by a preference, at the start of one of its options.
type task struct {
	shot, option int
	held         map[string]int
	prefer       string
}

// sizeAgain sizes each shot once more with what the others hire on its day, and do not use while it is up, for nothing. It reports whether
// an option came that was not there. Past the last round it asks for nothing.
func (m *maker) sizeAgain(ctx, search context.Context, p *sharedkit.Problem, chosen *sharedkit.Choice, round int) (more bool, err error) {
	if round >= mostRounds || search.Err() != nil {
		return false, ctx.Err()
	}
	var tasks []task
	for s, o := range chosen.Plan.Choice {
		if o >= 0 {
			tasks = append(tasks, m.tasksOf(p, chosen.Plan.Choice, s, round)...)
		}
	}
	type answer struct {
		of *source
		c  *sizing.Candidates
	}
	found := make([]answer, len(tasks))
	err = eachOf(ctx, m.req.Workers, len(tasks), func(ctx context.Context, k int) error {
		if over(search) {
			return nil
		}
		t := &tasks[k]
		of := &source{shot: m.pools[t.shot].options[t.option].of.shot, held: t.held}
		of.shot.Prefer = t.prefer
		c, err := m.find(ctx, of)
		if err != nil {
			return fmt.Errorf("shot %s: %w", m.req.Job.Shots[t.shot].Number, err)
		}
		found[k] = answer{of, c}
		return nil
	})
	if err != nil {
		return false, err
	}
	for k, a := range found {
		if a.c != nil {
			more = m.pools[tasks[k].shot].add(m, tasks[k].shot, a.of, a.c) > 0 || more
		}
	}
	return more, nil
}

// over reports whether a search is to end, which is no error.
func over(search context.Context) bool { return search.Err() != nil }

// tasksOf returns what a shot is to be sized again for: at the start chosen, and in the first round at more of its starts. What was asked
// before is not asked again.
func (m *maker) tasksOf(p *sharedkit.Problem, choice []int, s, round int) (tasks []task) {
	without := slices.Clone(choice)
	without[s] = -1
	manned := p.Evaluate(without).LabourMinor < p.Evaluate(choice).LabourMinor // somebody is there for this shot alone
	for k, o := range m.startsOf(s, choice[s], round) {
		prefer := preferences(m.aim)
		if k > 0 || !manned {
			prefer = prefer[:1]
		}
		held := m.heldBeside(p, choice, s, o)
		for _, by := range prefer {
			key := keyOf(held, m.pools[s].options[o].Window, by)
			if len(held) > 0 && !m.asked[s][key] {
				m.asked[s][key] = true
				tasks = append(tasks, task{s, o, held, by})
			}
		}
	}
	return tasks
}

// startsOf returns an option for each start at which a shot is sized again, the one chosen first.
func (m *maker) startsOf(s, chosen, round int) []int {
	out := []int{chosen}
	if m.req.Job.Shots[s].When == nil || round > 0 {
		return out
	}
	all := m.pools[s].options
	order := make([]int, len(all))
	for o := range order {
		order[o] = o
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(all[a].minor, all[b].minor) })
	for _, o := range order {
		if len(out) > moreStarts {
			break
		}
		if !slices.ContainsFunc(out, func(q int) bool { return all[q].Window == all[o].Window }) {
			out = append(out, o)
		}
	}
	return out
}

// heldBeside returns how many units of each item the others hire on a shot's day and do not use while it is up by one of its options, by their
// SKU.
func (m *maker) heldBeside(p *sharedkit.Problem, choice []int, s, option int) map[string]int {
	without := slices.Clone(choice)
	without[s] = -1
	plan := p.Evaluate(without)
	used := make([]int, len(p.Items))
	for t, o := range without {
		if o < 0 || !p.AtOnce(s, option, t, o) {
			continue
		}
		for _, u := range p.Shots[t].Options[o].Items {
			used[u.Of] += u.N
		}
	}
	held := map[string]int{}
	for i, sku := range m.skus {
		if free := plan.Hired[i][p.Shots[s].Day] - used[i]; free > 0 {
			held[sku] = free
		}
	}
	return held
}

// keyOf names what a shot is sized again with.
func keyOf(held map[string]int, w shot.Window, prefer string) string {
	var b strings.Builder
	b.WriteString(w.From.String() + " " + prefer)
	for _, sku := range sortedKeys(held) {
		fmt.Fprintf(&b, " %s×%d", sku, held[sku])
	}
	return b.String()
}
