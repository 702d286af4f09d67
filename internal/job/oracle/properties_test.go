package oracle_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/job/oracle"
	"kitspan/internal/office"
	"kitspan/internal/rest"
)

// What must hold between the answers to requests that have to do with each other, of random jobs.
func TestRandomJobsAnswerAlike(t *testing.T) {
	n := 10
	if full {
		n = 300
	}
	for seed := range uint64(n) {
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) {
			c := newChance(t, 1000+seed)
			if c.odds(2) {
				c.scarce(t)
			}
			b := c.request(2 + c.IntN(2))
			a, out := planned(t, c.stock, b)
			echoed(t, c, b, out)
			byOneWorker(t, c, b, out)
			reordered(t, c, b, a)
			alone(t, c, b, a)
			sized(t, c, b, a)
			if t.Failed() {
				t.Logf("%s", b.json(t))
			}
		})
	}
}

// The job of an answer, asked again, gets the same answer.
func echoed(t *testing.T, c *chance, b body, out []byte) {
	t.Helper()
	var answer struct{ Job json.RawMessage }
	if err := json.Unmarshal(out, &answer); err != nil {
		t.Fatal(err)
	}
	_, again := planned(t, c.stock, b.with(body{"job": answer.Job}))
	if string(again) != string(out) {
		t.Errorf("the echo gets another answer:\n%s\nwant\n%s", again, out)
	}
}

// The answer does not depend on how many work on it.
func byOneWorker(t *testing.T, c *chance, b body, out []byte) {
	t.Helper()
	d := desk(c.stock)
	var err error
	if d.Capacity, err = office.NewCapacity(office.Limits{Solving: 1, Wait: time.Hour, Solve: time.Hour}); err != nil {
		t.Fatal(err)
	}
	if _, again := plannedBy(t, d, b.with(body{"pool": true}).json(t)); string(again) != string(out) {
		t.Errorf("one worker finds\n%s\nwant\n%s", again, out)
	}
}

// The order of the shots tells nothing but ties apart.
func reordered(t *testing.T, c *chance, b body, a *oracle.Answer) {
	t.Helper()
	shots := slices.Clone(b.shots())
	slices.Reverse(shots)
	again, _ := planned(t, c.stock, b.withShots(shots...))
	q := asked(t, c.stock, b)
	if got, want := oracle.Reached(again, q), oracle.Reached(a, q); got != want && a.Proven && again.Proven {
		t.Errorf("in the other order it comes to %+v, want %+v", got, want)
	}
}

// What a shot costs alone is what a job of it alone comes to, with the same hire.
func alone(t *testing.T, c *chance, b body, a *oracle.Answer) {
	t.Helper()
	for i, s := range b.shots() {
		one := b.withShots(s)
		one["job"].(body)["hire"] = body{"from": a.Job.Hire.From, "to": a.Job.Hire.To}
		p, _ := planned(t, c.stock, one)
		for _, wrong := range oracle.Check(p, asked(t, c.stock, b)) {
			t.Errorf("alone, %v: %s", s["number"], wrong)
		}
		if optimal(t, p, asked(t, c.stock, b)); lit(p) != (a.Shots[i].Alone != nil) {
			t.Errorf("shot %v has an option alone: %t", s["number"], lit(p))
			continue
		}
		if !lit(p) {
			continue
		}
		if got := *a.Shots[i].Alone; got.Total != p.Total || got.Label != p.Shots[0].Option.Label || *p.Shots[0].Alone != got {
			t.Errorf("shot %v is alone %+v, and as a job %+v, %s", s["number"], got, p.Total, p.Shots[0].Option.Label)
		}
	}
}

// lit reports whether the first shot has an option.
func lit(a *oracle.Answer) bool { return a.Shots[0].Option != nil }

// sizing is what is compared of a sizing's answer.
type sizing struct {
	Options []struct {
		Label, State string
		Window       oracle.Window
		Crew         struct {
			RigMin    int `json:"rig_min"`
			StrikeMin int `json:"strike_min"`
		}
		Kit []struct {
			SKU      string
			Quantity int
		}
		Price     oracle.Money `json:"price_per_day"`
		Labour    oracle.Money `json:"labour_per_day"`
		Transport oracle.Money `json:"transport_per_day"`
	}
}

func sizedAs(t *testing.T, c *chance, stock *catalog.Snapshot, b body, i int) sizing {
	t.Helper()
	s := maps.Clone(b.shots()[i])
	limits, prefer := s["limits"], s["prefer"]
	site := b.job()["places"].(body)[s["place"].(string)]
	for _, name := range []string{"number", "place", "pin", "limits", "prefer"} {
		delete(s, name)
	}
	s["site"] = site
	asked := body{"house": c.house, "shot": s}
	if limits != nil {
		asked["limits"] = limits
	}
	if prefer != nil {
		asked["prefer"] = prefer
	}
	r, err := desk(stock).SizeJSON(t.Context(), asked.json(t))
	if err != nil {
		t.Fatalf("%v\n%s", err, asked.json(t))
	}
	out, err := rest.SizingJSON(r)
	if err != nil {
		t.Fatal(err)
	}
	var answer sizing
	if err := json.Unmarshal(out, &answer); err != nil {
		t.Fatal(err)
	}
	return answer
}

// Whatever a sizing of the shot offers in its best state at the hour asked is in the pool, and alone the plan is no dearer than the cheapest.
func sized(t *testing.T, c *chance, b body, a *oracle.Answer) {
	t.Helper()
	var forbidden []string
	forbidden, _ = b["forbid"].([]string)
	for i, s := range b.shots() {
		if s["when"] != nil || s["pin"] != nil {
			continue
		}
		stock := c.stock.Without(forbidden)
		best, rank := "", map[string]int{"does_it": 1, "does_less": 2, "over_limit": 3}
		answer := sizedAs(t, c, stock, b, i)
		for _, o := range answer.Options {
			if o.Label != "other-hour" && (best == "" || rank[o.State] < rank[best]) {
				best = o.State
			}
		}
		number := s["number"].(string)
		for _, o := range answer.Options {
			if o.Label == "other-hour" || o.State != best {
				continue
			}
			if !slices.ContainsFunc(a.Pool[number], func(p oracle.Option) bool {
				if p.Label != o.Label || p.State != o.State || p.Window != o.Window || int(p.UpTo.Sub(p.UpFrom).Minutes()) < o.Crew.RigMin+o.Crew.StrikeMin {
					return false
				}
				kit := map[string]int{}
				for _, n := range p.Kit {
					kit[n.SKU] += n.Quantity
				}
				for _, n := range o.Kit {
					if kit[n.SKU] -= n.Quantity; kit[n.SKU] == 0 {
						delete(kit, n.SKU)
					}
				}
				return len(kit) == 0
			}) {
				t.Errorf("shot %s: the pool lacks %s, %s, %v", number, o.Label, o.State, o.Kit)
			}
		}
	}
}

// One shot with a day's hire costs what the cheapest of a sizing's options of its best state does.
func TestAJobOfOneShotCostsWhatItsSizingDoes(t *testing.T) {
	n := 12
	if full {
		n = 200
	}
	for seed := range uint64(n) {
		c := newChance(t, 2000+seed)
		b := c.request(1)
		delete(b, "aim")
		delete(b, "limits")
		delete(b, "forbid")
		s := b.shots()[0]
		delete(s, "pin")
		delete(s, "when")
		s["window"] = c.window()
		a, _ := planned(t, c.stock, b)
		least := int64(-1)
		best, rank := "", map[string]int{"": 4, "does_it": 1, "does_less": 2, "over_limit": 3}
		for _, o := range sizedAs(t, c, c.stock, b, 0).Options {
			if o.Label == "other-hour" || rank[o.State] > rank[best] {
				continue
			}
			total := o.Price.Minor() + o.Labour.Minor() + o.Transport.Minor()
			if o.State != best || total < least {
				best, least = o.State, total
			}
		}
		if least < 0 {
			if lit(a) {
				t.Errorf("seed %d: a plan and no sizing", seed)
			}
			continue
		}
		// The plan's pool has what the sizing compared its options with, too: it may cost less, and never more.
		if !lit(a) || a.Total.Minor() > least {
			t.Errorf("seed %d: %v, sized for %d\n%s", seed, a.Total, least, b.json(t))
		}
	}
}

// A search that is cut short has a bound under whatever any choice comes to.
func TestTheBoundOfASearchThatIsCutShort(t *testing.T) {
	n, short := 6, 0
	if full {
		n = 100
	}
	for seed := range uint64(n) {
		c := newChance(t, 3000+seed)
		b := c.request(4)
		delete(b, "limits")
		a, _ := planned(t, c.stock, b.with(body{"seconds": 1e-9}))
		q := asked(t, c.stock, b)
		for _, wrong := range oracle.Check(a, q) {
			t.Errorf("seed %d: %s", seed, wrong)
		}
		best, ok := oracle.Best(a, q, mostChoices)
		if !ok || best.Short > 0 {
			continue
		}
		if !a.Proven {
			short++
		}
		switch {
		case a.Bound != nil && a.Bound.Minor() > best.TotalMinor, a.BoundMassKg != nil && *a.BoundMassKg > best.Aim+0.01,
			a.BoundPeople != nil && float64(*a.BoundPeople) > best.Aim:
			t.Errorf("seed %d: a bound of %v, %v or %v, and the best is %+v\n%s", seed, a.Bound, a.BoundMassKg, a.BoundPeople, best, b.json(t))
		}
	}
	if short == 0 {
		t.Error("no search was cut short")
	}
}

// What is forbidden is nowhere in an answer but in the question.
func TestForbiddenItemsAreNowhere(t *testing.T) {
	for seed := range uint64(4) {
		c := newChance(t, 4000+seed)
		b := c.request(2)
		delete(b, "forbid")
		a, _ := planned(t, c.stock, b)
		if len(a.Kit) == 0 {
			continue
		}
		skus := []string{a.Kit[0].SKU, a.Kit[len(a.Kit)/2].SKU}
		skus = slices.Compact(skus)
		for _, d := range a.Days {
			for _, v := range d.Vehicles {
				if !slices.Contains(skus, v.SKU) {
					skus = append(skus, v.SKU)
				}
			}
		}
		_, out := planned(t, c.stock, b.with(body{"forbid": skus}))
		for _, sku := range skus {
			if strings.Contains(string(out), `"`+sku+`"`) {
				t.Errorf("seed %d: %s is forbidden and in the answer", seed, sku)
			}
		}
	}
}
