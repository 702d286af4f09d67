package oracle_test

import (
	"context"
	"encoding/json"
	"errors"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/job/oracle"
	"kitspan/internal/rest"
)

// full reports whether many more jobs are tried.
var full = os.Getenv("KITSPAN_ORACLE") == "full"

// today is the date on which all is asked.
var today = catalog.Date{Year: 2027, Month: time.January, Day: 4}

// shelf is a stock of one catalogue.
type shelf struct{ stock *catalog.Snapshot }

func (s shelf) Houses(context.Context) ([]catalog.House, error) { return catalog.DemoHouses(), nil }

func (s shelf) Snapshot(_ context.Context, house string) (*catalog.Snapshot, error) {
	if house != s.stock.House.Slug {
		return nil, catalog.ErrNoHouse
	}
	return s.stock, nil
}

func desk(stock *catalog.Snapshot) rest.Desk {
	return rest.NewDesk(shelf{stock}, func() time.Time { return time.Date(today.Year, today.Month, today.Day, 12, 0, 0, 0, time.UTC) })
}

func demo(t testing.TB, house string) *catalog.Snapshot {
	t.Helper()
	stock, ok := catalog.DemoSnapshot(house)
	if !ok {
		t.Fatalf("no house %s", house)
	}
	return stock
}

// changed is a catalogue with some items changed; the items of the first are left alone.
func changed(stock *catalog.Snapshot, change func(*catalog.Item)) *catalog.Snapshot {
	items := slices.Clone(stock.Items())
	for i := range items {
		items[i].Rates = slices.Clone(items[i].Rates)
		change(&items[i])
	}
	return catalog.NewSnapshot(stock.House, items)
}

// body is a plan request.
type body map[string]any

// with is the request with some members in place of others.
func (b body) with(members body) body {
	out := maps.Clone(b)
	maps.Copy(out, members)
	return out
}

func (b body) job() body { return b["job"].(body) }

func (b body) shots() []body { return b.job()["shots"].([]body) }

// withShots is the request with other shots.
func (b body) withShots(shots ...body) body {
	return b.with(body{"job": b.job().with(body{"shots": shots})})
}

func (b body) json(t testing.TB) []byte {
	t.Helper()
	out, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// planned asks for a plan with its pool.
func planned(t testing.TB, stock *catalog.Snapshot, b body) (*oracle.Answer, []byte) {
	t.Helper()
	return plannedBy(t, desk(stock), b.with(body{"pool": true}).json(t))
}

func plannedBy(t testing.TB, d rest.Desk, asked []byte) (*oracle.Answer, []byte) {
	t.Helper()
	plan, pool, err := d.PlanJSON(t.Context(), asked)
	if refused := (*rest.Refusal)(nil); errors.As(err, &refused) {
		var faults []string
		for _, f := range *rest.ProblemOf(err).Errors {
			faults = append(faults, *f.Pointer+": "+f.Detail)
		}
		t.Fatalf("refused: %s\n%s", strings.Join(faults, "\n"), asked)
	}
	if err != nil {
		t.Fatalf("%v\n%s", err, asked)
	}
	out, err := rest.JobPlanJSON(plan, pool)
	if err != nil {
		t.Fatal(err)
	}
	a, err := oracle.Read(out)
	if err != nil {
		t.Fatal(err)
	}
	return a, out
}

// asked is what a request asks beside the job.
func asked(t testing.TB, stock *catalog.Snapshot, b body) *oracle.Asked {
	t.Helper()
	q := &oracle.Asked{Stock: stock, Today: today, Aim: "price"}
	if aim, ok := b["aim"].(string); ok {
		q.Aim = aim
	}
	if l, ok := b["limits"].(body); ok {
		if n, ok := l["crew"].(int); ok {
			q.Crew = n
		}
		if kg, ok := l["mass_kg"].(int); ok {
			q.MassKg = float64(kg)
		}
		if total, ok := l["total"].(body); ok {
			a, err := currency.NewAmount(total["amount"].(string), total["currency"].(string))
			if err != nil {
				t.Fatal(err)
			}
			q.TotalMinor, _ = a.Int64()
		}
	}
	return q
}

func euros(amount string) body { return body{"amount": amount, "currency": "EUR"} }
