package rest

import (
	"testing"

	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

func newPostgres(t testing.TB) *postgres.Catalogue {
	t.Helper()
	store := postgres.NewCatalogue(pgtest.New(t))
	if _, err := store.Seed(t.Context()); err != nil {
		t.Fatal(err)
	}
	return store
}

func TestItemsInPostgres(t *testing.T) {
	testItems(t, func(t *testing.T) storage { return newPostgres(t) })
}

// What only the database can see is reported by pointer like any other fault.
func TestOperatorsAreLookedUp(t *testing.T) {
	f := newFace(t, newPostgres(t))
	machine := edit(t, map[string]any{"support": map[string]any{"class": "machine", "lowest_m": 1, "highest_m": 9, "safe_load_kg": 200,
		"footprint_m": 2, "legs": 4, "arm_reach_m": 5, "operator_sku": "T-NOBODY"}})
	got := f.staff("POST", "/v1/houses/quayside/items", machine, "Idempotency-Key", "k").want(422).places()
	if len(got) != 1 || got[0] != "/support/operator_sku" {
		t.Errorf("faults at %v", got)
	}
	var labour ItemPage
	f.do("GET", "/v1/houses/quayside/items?kind=labour", "").want(200).into(&labour)
	var machines ItemPage
	f.do("GET", "/v1/houses/quayside/items?kind=support&limit=500", "").want(200).into(&machines)
	for _, m := range machines.Items {
		if operator := deref(m.Support.OperatorSku); operator != "" {
			path := "/v1/houses/quayside/items/" + operator
			f.staff("DELETE", path, "", "If-Match", f.do("GET", path, "").want(200).header.Get("ETag")).want(409)
			return
		}
	}
	t.Error("the demo catalogue has no machine")
}

func TestSizingFromPostgresEqualsTheDemo(t *testing.T) {
	body := examples(t)[anglers]
	fromMemory := newFace(t, newMemory()).do("POST", "/v1/sizings", body).want(200)
	fromPostgres := newFace(t, newPostgres(t)).do("POST", "/v1/sizings", body).want(200)
	if string(fromMemory.body) != string(fromPostgres.body) {
		t.Error("the database's catalogue gives another answer than the demo that it was seeded from")
	}
}
