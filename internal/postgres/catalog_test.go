package postgres_test

import (
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5/pgxpool"

	"kitspan/internal/catalog"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

// seeded is a catalogue with the demo houses in it.
func seeded(t testing.TB) (*postgres.Catalogue, *pgxpool.Pool) {
	t.Helper()
	pool := pgtest.New(t)
	c := postgres.NewCatalogue(pool)
	if _, err := c.Seed(t.Context()); err != nil {
		t.Fatal(err)
	}
	return c, pool
}

func demoItem(t testing.TB, sku string) catalog.Item {
	t.Helper()
	s, _ := catalog.DemoSnapshot("quayside")
	item := s.Item(sku)
	if item == nil {
		t.Fatalf("the demo has no %s", sku)
	}
	return *item
}

func houseVersion(t testing.TB, c *postgres.Catalogue, house string) int64 {
	t.Helper()
	v, err := c.Version(t.Context(), house)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestSeededHousesReadBackAsTheDemo(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	houses, err := c.Houses(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	want := catalog.DemoHouses()
	slices.SortFunc(want, func(a, b catalog.House) int { return cmpText(a.Slug, b.Slug) })
	if d := cmp.Diff(want, houses); d != "" {
		t.Errorf("houses (-demo +stored):\n%s", d)
	}
	for _, h := range want {
		demo, _ := catalog.DemoSnapshot(h.Slug)
		got, at, err := c.Snapshot(t.Context(), h.Slug)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(demo.Items(), got.Items()); d != "" {
			t.Errorf("%s (-demo +stored):\n%s", h.Slug, d)
		}
		if at != houseVersion(t, c, h.Slug) {
			t.Errorf("%s: snapshot at %d, house at %d", h.Slug, at, houseVersion(t, c, h.Slug))
		}
		for _, want := range demo.Items() {
			one, err := c.Item(t.Context(), h.Slug, want.SKU)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(want, one.Item); d != "" || one.Version > at {
				t.Errorf("%s at version %d of %d (-demo +stored):\n%s", want.SKU, one.Version, at, d)
			}
		}
	}
}

func cmpText(a, b string) int {
	if a < b {
		return -1
	}
	return 1
}

func TestSeedingAgainChangesNothing(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	gone, err := c.Item(t.Context(), "quayside", "QG-BAG-07")
	if err != nil {
		t.Fatal(err)
	}
	if err := c.DeleteItem(t.Context(), "quayside", "QG-BAG-07", gone.Version); err != nil {
		t.Fatal(err)
	}
	before := houseVersion(t, c, "quayside")
	added, err := c.Seed(t.Context())
	if err != nil || added != 0 {
		t.Fatalf("added %d, %v", added, err)
	}
	if after := houseVersion(t, c, "quayside"); after != before {
		t.Errorf("version went from %d to %d", before, after)
	}
	if _, err := c.Item(t.Context(), "quayside", "QG-BAG-07"); !errors.Is(err, catalog.ErrNoItem) {
		t.Errorf("what the staff deleted: %v, want it to stay deleted", err)
	}
}

func TestSeveralSeedAtOnce(t *testing.T) {
	t.Parallel()
	c := postgres.NewCatalogue(pgtest.New(t))
	var sum int
	var mu sync.Mutex
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			added, err := c.Seed(t.Context())
			if err != nil {
				t.Error(err)
			}
			mu.Lock()
			defer mu.Unlock()
			sum += added
		})
	}
	wg.Wait()
	if want := len(catalog.DemoHouses()); sum != want {
		t.Errorf("%d houses added, want %d", sum, want)
	}
}

func TestCreateAddsAnItemAndMovesTheHouseOn(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	for i, kind := range catalog.Kinds() { // one item of each kind, under a new SKU
		demo, _ := catalog.DemoSnapshot("quayside")
		k := slices.IndexFunc(demo.Items(), func(i catalog.Item) bool { return i.Kind() == kind })
		item := demo.Items()[k]
		item.SKU = fmt.Sprintf("NEW-%d", i)
		before := houseVersion(t, c, "quayside")
		made, err := c.CreateItem(t.Context(), "quayside", item, item.SKU, []byte{1})
		if err != nil {
			t.Fatalf("%s: %v", kind, err)
		}
		got, err := c.Item(t.Context(), "quayside", item.SKU)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(catalog.StoredItem{Item: item, Version: made.Version}, got); d != "" {
			t.Errorf("%s (-created +read):\n%s", kind, d)
		}
		if after := houseVersion(t, c, "quayside"); after <= before {
			t.Errorf("%s: house at %d before and %d after", kind, before, after)
		}
		if _, err := c.CreateItem(t.Context(), "quayside", item, "another key", []byte{1}); !errors.Is(err, catalog.ErrItemExists) {
			t.Errorf("%s a second time: %v, want ErrItemExists", kind, err)
		}
	}
	if v := houseVersion(t, c, "northpier"); v > 3 {
		t.Errorf("the other house moved on to %d", v)
	}
}

func TestOneIdempotencyKeyCreatesOnce(t *testing.T) {
	t.Parallel()
	c, pool := seeded(t)
	item := demoItem(t, "QG-LINE-10")
	item.SKU = "QG-LINE-11"
	first, err := c.CreateItem(t.Context(), "quayside", item, "k", []byte("digest"))
	if err != nil {
		t.Fatal(err)
	}
	before := houseVersion(t, c, "quayside")
	again, err := c.CreateItem(t.Context(), "quayside", item, "k", []byte("digest"))
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(first, again); d != "" {
		t.Errorf("(-first +again):\n%s", d)
	}
	other := item
	other.SKU = "QG-LINE-12"
	if _, err := c.CreateItem(t.Context(), "quayside", other, "k", []byte("other")); !errors.Is(err, catalog.ErrKeyReused) {
		t.Errorf("another body: %v, want ErrKeyReused", err)
	}
	if after := houseVersion(t, c, "quayside"); after != before {
		t.Errorf("version went from %d to %d", before, after)
	}
	exec(t, pool, `UPDATE item_creations SET created_at = now() - INTERVAL '8 days'`)
	if _, err := c.CreateItem(t.Context(), "quayside", other, "k", []byte("other")); err != nil {
		t.Errorf("the key after a week: %v", err)
	}
}

func TestReplacePutsTheWholeItemInPlace(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	was, err := c.Item(t.Context(), "quayside", "QG-FRAME-08X08")
	if err != nil {
		t.Fatal(err)
	}
	item := demoItem(t, "QG-BAG-07") // another kind, other rates
	item.SKU = "QG-FRAME-08X08"
	item.Name = "Sack, “8 × 8”"
	item.Rates = nil
	stored, err := c.ReplaceItem(t.Context(), "quayside", item, was.Version)
	if err != nil {
		t.Fatal(err)
	}
	got, err := c.Item(t.Context(), "quayside", item.SKU)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(catalog.StoredItem{Item: item, Version: stored.Version}, got); d != "" {
		t.Errorf("(-replaced +read):\n%s", d)
	}
	if stored.Version <= was.Version {
		t.Errorf("version %d after %d", stored.Version, was.Version)
	}
	if _, err := c.ReplaceItem(t.Context(), "quayside", item, was.Version); !errors.Is(err, catalog.ErrItemChanged) {
		t.Errorf("with the old version: %v, want ErrItemChanged", err)
	}
}

func TestVersionsAreNotUsedAgainAfterADelete(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	item := demoItem(t, "QG-LINE-10")
	seen := map[int64]bool{}
	for i := range 3 {
		was, err := c.Item(t.Context(), "quayside", item.SKU)
		if err != nil {
			t.Fatal(err)
		}
		if seen[was.Version] {
			t.Fatalf("version %d came back", was.Version)
		}
		seen[was.Version] = true
		if err := c.DeleteItem(t.Context(), "quayside", item.SKU, was.Version); err != nil {
			t.Fatal(err)
		}
		if err := c.DeleteItem(t.Context(), "quayside", item.SKU, was.Version); !errors.Is(err, catalog.ErrNoItem) {
			t.Fatalf("deleted twice: %v", err)
		}
		if _, err := c.CreateItem(t.Context(), "quayside", item, fmt.Sprint("key", i), []byte{1}); err != nil {
			t.Fatal(err)
		}
	}
}

func TestOfSeveralWritersWithOneVersionOneWins(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	was, err := c.Item(t.Context(), "quayside", "QG-LINE-10")
	if err != nil {
		t.Fatal(err)
	}
	const writers = 8
	results := make([]error, writers)
	var wg sync.WaitGroup
	for i := range writers {
		wg.Go(func() {
			item := was.Item
			item.Owned = i
			_, results[i] = c.ReplaceItem(t.Context(), "quayside", item, was.Version)
		})
	}
	wg.Wait()
	won := 0
	for i, err := range results {
		switch {
		case err == nil:
			won++
			if got, _ := c.Item(t.Context(), "quayside", "QG-LINE-10"); got.Owned != i {
				t.Errorf("writer %d won, %d is stored", i, got.Owned)
			}
		case !errors.Is(err, catalog.ErrItemChanged):
			t.Errorf("writer %d: %v", i, err)
		}
	}
	if won != 1 {
		t.Errorf("%d writers won", won)
	}
}

func TestRefusalsNameTheirKind(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	ctx := t.Context()
	line := demoItem(t, "QG-LINE-10")
	line.SKU = "NEW"
	lift := demoItem(t, "QG-LIFT-BOOM-16")
	spec := *lift.Spec.(*catalog.Support)
	spec.OperatorSKU = "QG-LINE-10" // there, but no labour
	lift.SKU, lift.Spec = "NEW", &spec
	operator, err := c.Item(ctx, "quayside", "QG-CREW-OPERATOR")
	if err != nil {
		t.Fatal(err)
	}
	turned := line
	turned.SKU = operator.SKU
	unsound := line
	unsound.MassKg = -1
	dear := line
	dear.Replacement, _ = catalog.ParseMoney("1.00", "USD")
	second := func(_ any, err error) error { return err }
	third := func(_ any, _ int64, err error) error { return err }
	for _, check := range []struct {
		name string
		err  error
		want error
	}{
		{"version of no house", second(c.Version(ctx, "nowhere")), catalog.ErrNoHouse},
		{"snapshot of no house", third(c.Snapshot(ctx, "nowhere")), catalog.ErrNoHouse},
		{"item of no house", second(c.Item(ctx, "nowhere", "QG-LINE-10")), catalog.ErrNoHouse},
		{"creation in no house", second(c.CreateItem(ctx, "nowhere", line, "k", []byte{1})), catalog.ErrNoHouse},
		{"replacement in no house", second(c.ReplaceItem(ctx, "nowhere", line, 1)), catalog.ErrNoHouse},
		{"deletion in no house", c.DeleteItem(ctx, "nowhere", "QG-LINE-10", 1), catalog.ErrNoHouse},
		{"no item", second(c.Item(ctx, "quayside", "NONE")), catalog.ErrNoItem},
		{"replacement of nothing", second(c.ReplaceItem(ctx, "quayside", line, 1)), catalog.ErrNoItem},
		{"deletion of nothing", c.DeleteItem(ctx, "quayside", "NONE", 1), catalog.ErrNoItem},
		{"deletion at an old version", c.DeleteItem(ctx, "quayside", "QG-LINE-10", 0), catalog.ErrItemChanged},
		{"deletion of an operator", c.DeleteItem(ctx, "quayside", operator.SKU, operator.Version), catalog.ErrItemInUse},
		{"operator turned into a line", second(c.ReplaceItem(ctx, "quayside", turned, operator.Version)), catalog.ErrItemInUse},
		{"machine without its operator", second(c.CreateItem(ctx, "quayside", lift, "k", []byte{1})), &catalog.InvalidError{}},
		{"negative mass", second(c.CreateItem(ctx, "quayside", unsound, "k", []byte{1})), &catalog.InvalidError{}},
		{"another currency", second(c.CreateItem(ctx, "quayside", dear, "k", []byte{1})), &catalog.InvalidError{}},
	} {
		if bad := (*catalog.InvalidError)(nil); errors.As(check.want, &bad) {
			if !errors.As(check.err, &bad) || len(bad.Problems) == 0 {
				t.Errorf("%s: %v, want an InvalidError", check.name, check.err)
			}
		} else if !errors.Is(check.err, check.want) {
			t.Errorf("%s: %v, want %v", check.name, check.err, check.want)
		}
	}
	if _, err := c.Item(ctx, "quayside", "NEW"); !errors.Is(err, catalog.ErrNoItem) {
		t.Errorf("a refused item is there: %v", err)
	}
}

func TestADatabaseOutOfReachIsUnavailable(t *testing.T) {
	t.Parallel()
	pool, err := pgxpool.New(t.Context(), "postgres://nobody@127.0.0.1:1/none") // port 1 has no listener
	if err != nil {
		t.Fatal(err)
	}
	defer pool.Close()
	c := postgres.NewCatalogue(pool)
	if _, err := c.Version(t.Context(), "quayside"); !errors.Is(err, catalog.ErrUnavailable) {
		t.Errorf("version: %v", err)
	}
	if _, _, err := c.Snapshot(t.Context(), "quayside"); !errors.Is(err, catalog.ErrUnavailable) {
		t.Errorf("snapshot: %v", err)
	}
	if err := c.Ping(t.Context()); !errors.Is(err, catalog.ErrUnavailable) {
		t.Errorf("ping: %v", err)
	}
}
