package oracle_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/job/oracle"
)

// chance makes jobs from a seed.
type chance struct {
	*rand.Rand
	house string
	stock *catalog.Snapshot
	days  []string
}

// weeks are the first days of jobs: a summer's, and those around the nights in which clocks change.
var weeks = []string{"2027-06-15", "2027-03-27", "2027-10-30"}

func newChance(t testing.TB, seed uint64) *chance {
	c := &chance{Rand: rand.New(rand.NewPCG(seed, 20270615))}
	c.house = []string{"quayside", "northpier"}[c.IntN(2)]
	c.stock = demo(t, c.house)
	first, err := time.Parse(time.DateOnly, weeks[c.IntN(len(weeks))])
	if err != nil {
		t.Fatal(err)
	}
	for k := range 1 + c.IntN(3) {
		c.days = append(c.days, first.AddDate(0, 0, k).Format(time.DateOnly))
	}
	return c
}

func of[T any](c *chance, list ...T) T { return list[c.IntN(len(list))] }

// odds reports true once in so many times.
func (c *chance) odds(n int) bool { return c.IntN(n) == 0 }

// scarce takes from the shelves, and changes rates within the hire.
func (c *chance) scarce(t testing.TB) {
	c.stock = changed(c.stock, func(item *catalog.Item) {
		if item.Kind() == catalog.KindLabour || item.Kind() == catalog.KindVehicle {
			return
		}
		if c.odds(2) {
			item.Owned = max(1, item.Owned/of(c, 2, 4, 8))
		}
		if c.odds(3) {
			from, err := catalog.ParseDate(of(c, c.days...))
			if err != nil {
				t.Fatal(err)
			}
			rate, err := currency.NewAmount(fmt.Sprintf("%d.50", c.IntN(30)), "EUR")
			if err != nil {
				t.Fatal(err)
			}
			item.Rates = append(slices.DeleteFunc(item.Rates, func(r catalog.Rate) bool { return r.From == from }), catalog.Rate{From: from, PerDay: rate})
		}
	})
}

func clock(minutes int) string { return fmt.Sprintf("%02d:%02d", minutes/60%24, minutes%60) }

// window is when a shot is shot: by day, by night, or past midnight.
func (c *chance) window() body {
	k := c.IntN(len(c.days))
	start, length := 8*60+15*c.IntN(44), 15+15*c.IntN(4)
	switch c.IntN(12) {
	case 0:
		start = 22 * 60
	case 1:
		start, length = 23*60+30, 60
	case 2:
		start = 3 * 60 // clocks change from 1 to 2, or from 2 to 1, in Lisbon
	}
	w := body{"date": c.days[k], "start": clock(start), "end": clock(start + length)}
	if start+length >= 24*60 {
		w["end_date"] = shifted(c.days[k], 1)
	}
	return w
}

// shifted is so many days later.
func shifted(date string, days int) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		panic(err)
	}
	return t.AddDate(0, 0, days).Format(time.DateOnly)
}

// shot is one of a job.
func (c *chance) shot(i int) body {
	s := body{
		"number": fmt.Sprint(i+1) + of(c, "", "A", "B"), "place": of(c, "quay", "quay", "field"),
		"camera": body{"bearing_deg": c.IntN(360)}, "framing": body{"width_m": 0.8 + 0.2*float64(c.IntN(10)), "distance_m": 2 + 0.5*float64(c.IntN(6))},
		"gust_ms": 4 + c.IntN(5),
	}
	if c.odds(6) {
		s["when"] = c.when()
	} else {
		s["window"] = c.window()
	}
	switch c.IntN(10) {
	case 0:
		s["pin"] = of(c, "reflectors-only", "overhead-on-lift", "overhead-and-reflector", "lamps", "hand-held")
	case 1:
		s["look"] = body{"soften": of(c, "off", "preferred")}
	case 2:
		s["prefer"] = of(c, "smallest", "cheapest", "lightest", "fewest_hands")
	case 3:
		s["limits"] = body{"crew": 1 + c.IntN(4)}
	case 4:
		s["sky"] = body{"condition": "overcast"}
	case 5:
		s["framing"] = body{"width_m": 14.0, "distance_m": 18} // wider than any frame
	}
	return s
}

// when is a small span.
func (c *chance) when() body {
	earliest, length := 9*60+5*c.IntN(100), 20+10*c.IntN(4)
	return body{"date": of(c, c.days...), "earliest": clock(earliest), "latest": clock(earliest + length + of(c, 0, 10, 25)), "duration_min": length}
}

// request is a plan's.
func (c *chance) request(shots int) body {
	job := body{
		"name": "By chance", "places": body{
			"quay":  body{"latitude_deg": 38.6935, "longitude_deg": -9.2057, "time_zone": "Europe/Lisbon"},
			"field": body{"latitude_deg": 38.7648, "longitude_deg": -8.9421, "time_zone": of(c, "Europe/Lisbon", "Europe/Lisbon", "Europe/Madrid"), "ground": "grass"},
		},
		"time_zone": "Europe/Lisbon",
	}
	if !c.odds(3) {
		job["moves"] = []body{{"between": []string{"quay", "field"}, "minutes": of(c, 0, 15, 45, 120)}}
	}
	if c.odds(4) {
		job["hire"] = body{"from": shifted(c.days[0], -c.IntN(3)), "to": shifted(c.days[len(c.days)-1], c.IntN(3))}
	}
	var list []body
	for i := range shots {
		list = append(list, c.shot(i))
	}
	job["shots"] = list
	b := body{"house": c.house, "job": job, "aim": of(c, "price", "price", "mass", "people")}
	switch c.IntN(5) {
	case 0:
		b["limits"] = body{"crew": 2 + c.IntN(8)}
	case 1:
		b["limits"] = body{"mass_kg": 100 + 100*c.IntN(10)}
	case 2:
		b["limits"] = body{"total": euros(fmt.Sprintf("%d.00", 500+500*c.IntN(8)))}
	}
	if c.odds(3) {
		var skus []string
		for _, item := range c.stock.Items() {
			if item.Kind() != catalog.KindLabour && item.Kind() != catalog.KindVehicle && c.odds(8) {
				skus = append(skus, item.SKU)
			}
		}
		if c.odds(4) { // somebody whom the house then does not send
			role := of(c, catalog.RoleLead, catalog.RoleHand)
			for _, item := range c.stock.Items() {
				if l, ok := item.Spec.(*catalog.Labour); ok && l.Role == role {
					skus = append(skus, item.SKU)
				}
			}
		}
		b["forbid"] = skus
	}
	return b
}

// mostChoices is how many are tried of a job.
const mostChoices = 3000

// Plans of random jobs say what follows from their pools, and where every choice can be tried, none is better.
func TestRandomJobs(t *testing.T) {
	n := 25
	if full {
		n = 600
	}
	for seed := range uint64(n) {
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) {
			c := newChance(t, seed)
			if c.odds(2) {
				c.scarce(t)
			}
			b := c.request(1 + c.IntN(5))
			a, _ := planned(t, c.stock, b)
			q := asked(t, c.stock, b)
			for _, wrong := range oracle.Check(a, q) {
				t.Errorf("%s", wrong)
			}
			optimal(t, a, q)
			if t.Failed() {
				t.Logf("%s", b.json(t))
			}
		})
	}
}

// optimal holds an answer against every choice there is, where they are few.
func optimal(t *testing.T, a *oracle.Answer, q *oracle.Asked) {
	t.Helper()
	best, ok := oracle.Best(a, q, mostChoices)
	if !ok {
		return
	}
	if got := oracle.Reached(a, q); got != best && a.Proven {
		t.Errorf("proven is %+v, best is %+v", got, best)
	}
}
