package job

import (
	"context"
	"fmt"
	"sync"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/sharedkit"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/terms"
)

// Limits bound a whole job; what is 0 or nil is not bounded.
type Limits struct {
	Crew   int
	Total  *currency.Amount
	MassKg float64
}

// Request is a job to be planned from a house's catalogue.
type Request struct {
	Job   Job
	Stock *catalog.Snapshot
	// Prices opens the desk at the rates of a day. It is asked from several goroutines at once.
	Prices func(catalog.Date) *price.Desk
	// Terms say how many days of hire are charged; nil charges every calendar day.
	Terms  *terms.Terms
	Aim    sharedkit.Aim
	Limits Limits
	// Workers is how many shots are sized side by side. The plan does not depend on it.
	Workers int
	// Progress, if not nil, is called with how many of the first sizings ([Job.Sizings]) are done.
	Progress func(done, all int)
	// Turn is called before each sizing, by whoever does it: it may wait there for others, and an error ends the plan. Nil waits for nobody.
	Turn func(context.Context) error
}

// mostRounds bounds how often shots are sized again by what the kit holds. Most jobs end after two.
const mostRounds = 4

// Make plans a job. The second context ends the search for a better choice: what was found by then is the plan, unless a shot was not
// sized yet. Its errors are that of the first context, and those of [sizing.Plan], which are the program's own.
func Make(ctx, search context.Context, req Request) (*Plan, error) {
	m := newMaker(req)
	if err := m.sizeAll(ctx); err != nil {
		return nil, err
	}
	// By price first, whatever is aimed at: what another aim finds beside it is then no worse than what the price does.
	if req.Aim != sharedkit.Price {
		if _, _, err := m.rounds(ctx, search, false); err != nil {
			return nil, err
		}
		m.aim = req.Aim
	}
	problem, choice, err := m.rounds(ctx, search, true)
	if err != nil {
		return nil, err
	}
	return m.plan(ctx, problem, choice)
}

// rounds chooses, and sizes shots again by what is chosen, until nothing new comes. The last choice is proven where that is asked; those before
// are guesses, which say well enough what the others hire.
func (m *maker) rounds(ctx, search context.Context, prove bool) (problem *sharedkit.Problem, choice *sharedkit.Choice, err error) {
	for round := 0; ; round++ {
		problem = m.problem()
		if choice, err = m.choose(ctx, search, problem, sharedkit.Guess); err != nil {
			return nil, nil, err
		}
		more, err := m.sizeAgain(ctx, search, problem, choice, round)
		if err == nil && !more && prove && !choice.Proven {
			if choice, err = m.choose(ctx, search, problem, sharedkit.Choose); err == nil {
				more, err = m.sizeAgain(ctx, search, problem, choice, round)
			}
		}
		if err != nil || !more {
			return problem, choice, err
		}
	}
}

// searcher is a way to choose.
type searcher func(context.Context, *sharedkit.Problem) (*sharedkit.Choice, error)

// maker plans one job.
type maker struct {
	req   Request
	aim   sharedkit.Aim          // of what is chosen at the moment
	days  []catalog.Date         // of the hire
	desks []*price.Desk          // of each day
	fleet []*sizing.Fleet        // of each day
	place map[string]int         // by name
	way   [][]int                // minutes between places; nil without moves
	pools []pool                 // of each shot
	items map[string]int         // by SKU, their places in the problem
	skus  []string               // the other way round
	roles map[string]int         // by SKU of labour
	folk  []*catalog.Item        // the other way round; nil for people whom the house does not send
	asked []map[string]bool      // what each shot was sized again for
	bring map[bringing]bringable // what was asked of the fleets
	found int                    // sizings so far
}

// bringing is a question to the fleet of a day.
type bringing struct {
	day   int
	load  sharedkit.Load
	hands int
}

type bringable struct {
	minor int64
	ok    bool
}

func newMaker(req Request) *maker {
	m := &maker{req: req, place: map[string]int{}, pools: make([]pool, len(req.Job.Shots)), asked: make([]map[string]bool, len(req.Job.Shots)), bring: map[bringing]bringable{}}
	for k := range daysFrom(req.Job.From, req.Job.To) + 1 {
		t := time.Date(req.Job.From.Year, req.Job.From.Month, req.Job.From.Day+k, 0, 0, 0, 0, time.UTC)
		day := catalog.Date{Year: t.Year(), Month: t.Month(), Day: t.Day()}
		m.days = append(m.days, day)
		m.desks = append(m.desks, req.Prices(day))
		m.fleet = append(m.fleet, sizing.NewFleet(m.desks[k]))
	}
	for i := range req.Job.Sites {
		m.place[req.Job.Sites[i].Name] = i
	}
	if len(req.Job.Moves) > 0 {
		m.way = make([][]int, len(req.Job.Sites))
		for i := range m.way {
			m.way[i] = make([]int, len(req.Job.Sites))
		}
		for _, mv := range req.Job.Moves {
			a, b := m.place[mv.Between[0]], m.place[mv.Between[1]]
			m.way[a][b], m.way[b][a] = mv.Minutes, mv.Minutes
		}
	}
	for s := range req.Job.Shots {
		m.pools[s].day = daysFrom(req.Job.From, req.Job.Day(s))
		m.asked[s] = map[string]bool{}
	}
	return m
}

// minute is an instant as minutes from the first day of the hire on.
func (m *maker) minute(t time.Time) int {
	return int(t.Sub(m.zero()) / time.Minute)
}

func (m *maker) instant(minute int) time.Time {
	return m.zero().Add(time.Duration(minute) * time.Minute)
}

func (m *maker) zero() time.Time {
	d := m.req.Job.From
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, m.req.Job.Zone)
}

// sizeAll sizes every shot, a movable one at each of its starts.
func (m *maker) sizeAll(ctx context.Context) error {
	type task struct {
		shot   int
		window shot.Window
	}
	var tasks []task
	for s := range m.req.Job.Shots {
		sh := &m.req.Job.Shots[s]
		if sh.When == nil {
			tasks = append(tasks, task{s, sh.Window})
			continue
		}
		for _, w := range sh.When.starts(sh.Window.From.Location()) {
			tasks = append(tasks, task{s, w})
		}
	}
	// Found in any order, taken in that of the shots: the pools do not depend on who was first.
	var mu sync.Mutex
	waiting, next, done := map[int]func(){}, 0, 0
	took := func(k int, take func()) {
		mu.Lock()
		defer mu.Unlock()
		for waiting[k] = take; waiting[next] != nil; next++ {
			waiting[next]()
			delete(waiting, next)
		}
		if done++; m.req.Progress != nil {
			m.req.Progress(done, len(tasks))
		}
	}
	err := eachOf(ctx, m.req.Workers, len(tasks), func(ctx context.Context, k int) error {
		s := tasks[k].shot
		sh := &m.req.Job.Shots[s]
		of := &source{shot: sh.At(tasks[k].window), otherHour: sh.Pin == string(sizing.LabelOtherHour)}
		if of.shot.Window.From.IsZero() { // no start
			took(k, func() {})
			return nil
		}
		c, err := m.find(ctx, of)
		if err != nil {
			return fmt.Errorf("shot %s: %w", sh.Number, err)
		}
		took(k, func() { m.pools[s].add(m, s, of, c) })
		return nil
	})
	if err != nil {
		return err
	}
	for s := range m.pools {
		m.pools[s].keepBest()
	}
	return nil
}

// eachOf does so many things by so many workers; the first error ends it.
func eachOf(ctx context.Context, workers, n int, do func(ctx context.Context, i int) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	next := make(chan int)
	var group sync.WaitGroup
	for range max(1, min(workers, n)) {
		group.Go(func() {
			for i := range next {
				if ctx.Err() != nil {
					continue
				}
				if err := do(ctx, i); err != nil {
					cancel(err)
				}
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	group.Wait()
	return context.Cause(ctx)
}
