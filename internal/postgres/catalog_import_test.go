package postgres_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/catalog"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

const (
	lineHead = "house,sku,name,mass_kg,packed_m3,owned,replacement,account,length_m,safe_pull_n,currency,rates\n"
	supHead  = "house,sku,name,mass_kg,packed_m3,owned,replacement,account,class,lowest_m,highest_m,safe_load_kg,footprint_m,legs,arm_reach_m,operator_sku,currency,rates\n"
)

func demoCSV(t testing.TB, kind catalog.Kind) string {
	t.Helper()
	s, _ := catalog.DemoSnapshot("quayside")
	var b bytes.Buffer
	if err := catalog.WriteCSV(&b, kind, s.House, s.Items()); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestImportOfWhatIsThereChangesNothing(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	before := houseVersion(t, c, "quayside")
	for _, kind := range catalog.Kinds() {
		text := demoCSV(t, kind)
		counts, err := c.ImportItems(t.Context(), "quayside", kind, strings.NewReader(text))
		if err != nil {
			t.Fatalf("%s: %v", kind, err)
		}
		if want := (catalog.ImportCounts{Unchanged: strings.Count(text, "\n") - 1}); counts != want {
			t.Errorf("%s: %+v, want %+v", kind, counts, want)
		}
	}
	if after := houseVersion(t, c, "quayside"); after != before {
		t.Errorf("version went from %d to %d", before, after)
	}
}

func TestImportAddsAndChangesAndLeavesTheRest(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	old, _, err := c.Snapshot(t.Context(), "quayside")
	if err != nil {
		t.Fatal(err)
	}
	quiet, err := c.Item(t.Context(), "quayside", "QG-LINE-25")
	if err != nil {
		t.Fatal(err)
	}
	before := houseVersion(t, c, "quayside")
	text := demoCSV(t, catalog.KindLine)
	text = strings.Replace(text, "Guy rope 10 m", "Guy rope, ten metres", 1)              // an attribute
	text = strings.Replace(text, "quayside,QG-LINE-15", "quayside,QG-LINE-16", 1)         // a new item; the old one is not listed
	text = strings.Replace(text, "2026-01-01=2.00", "2026-01-01=2.00;2027-06-01=2.25", 1) // a rate alone
	text = strings.Replace(text, `Guy rope, ten metres`, `"Guy rope, ten metres"`, 1)     // a comma in a name
	counts, err := c.ImportItems(t.Context(), "quayside", catalog.KindLine, strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if want := (catalog.ImportCounts{Created: 1, Changed: 2, Unchanged: 1}); counts != want {
		t.Errorf("%+v, want %+v", counts, want)
	}
	got, after, err := c.Snapshot(t.Context(), "quayside")
	if err != nil {
		t.Fatal(err)
	}
	var want []catalog.Item
	if err := catalog.ReadCSV(strings.NewReader(text), catalog.KindLine, catalog.OneHouse(old.House), func(_ string, i catalog.Item) error {
		want = append(want, i)
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{}
	for i := range want {
		listed[want[i].SKU] = true
	}
	for _, i := range old.Items() {
		if !listed[i.SKU] {
			want = append(want, i)
		}
	}
	if d := cmp.Diff(catalog.NewSnapshot(old.House, want).Items(), got.Items()); d != "" {
		t.Errorf("(-wanted +stored):\n%s", d)
	}
	if after <= before {
		t.Errorf("house at %d before and %d after", before, after)
	}
	if same, _ := c.Item(t.Context(), "quayside", "QG-LINE-25"); same.Version != quiet.Version {
		t.Errorf("an item that did not change went from version %d to %d", quiet.Version, same.Version)
	}
	if moved, _ := c.Item(t.Context(), "quayside", "QG-STRAP-09"); moved.Version <= before {
		t.Errorf("an item with a new rate stayed at version %d", moved.Version)
	}
}

func TestImportIsAllOrNothing(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	const good = "quayside,NEW-1,Rope,1.2,0.01,4,20.00,2410,15,1500,EUR,2026-01-01=1.50\n"
	torn := errors.New("torn")
	cases := []struct {
		name string
		kind catalog.Kind
		file io.Reader
		want []string // faults as "line column"; nil for torn
	}{
		{"a bad cell", catalog.KindLine, strings.NewReader(lineHead + good + strings.Replace(strings.Replace(good, "1.2", "x", 1), "NEW-1", "NEW-2", 1)), []string{"3 mass_kg"}},
		{"another house's item", catalog.KindLine, strings.NewReader(lineHead + good + strings.Replace(good, "quayside", "northpier", 1)), []string{"3 house"}},
		{"a SKU of another kind", catalog.KindLine, strings.NewReader(lineHead + good + "\n" + strings.Replace(good, "NEW-1", "QG-BAG-07", 1)), []string{"4 sku"}},
		{"operators that are none", catalog.KindSupport, strings.NewReader(supHead +
			"quayside,NEW-1,Stand,9,0.03,4,90.00,2410,stand,1,3,20,0.5,3,0,,EUR,\n" +
			"quayside,NEW-2,Lift,9000,30,1,90000.00,2410,machine,1,9,200,2,4,6,QG-NOBODY,EUR,\n" +
			"quayside,NEW-3,Lift,9000,30,1,90000.00,2410,machine,1,9,200,2,4,6,QG-BAG-07,EUR,\n"), []string{"3 operator_sku", "4 operator_sku"}},
		{"a stream that breaks off", catalog.KindLine, io.MultiReader(strings.NewReader(lineHead+good), broken{torn}), nil},
		{"no heading", catalog.KindLine, strings.NewReader(""), []string{"1"}},
	}
	before := houseVersion(t, c, "quayside")
	for _, k := range cases {
		counts, err := c.ImportItems(t.Context(), "quayside", k.kind, k.file)
		var got []string
		if bad := (*catalog.CSVError)(nil); errors.As(err, &bad) {
			for _, f := range bad.Faults {
				got = append(got, strings.TrimSpace(fmt.Sprint(f.Line, " ", f.Column)))
			}
		} else if !errors.Is(err, torn) || k.want != nil {
			t.Errorf("%s: %v", k.name, err)
		}
		if d := cmp.Diff(k.want, got); d != "" {
			t.Errorf("%s: %v\n(-want +got):\n%s", k.name, err, d)
		}
		if counts != (catalog.ImportCounts{}) {
			t.Errorf("%s: counts %+v", k.name, counts)
		}
	}
	if after := houseVersion(t, c, "quayside"); after != before {
		t.Errorf("version went from %d to %d", before, after)
	}
	if _, err := c.Item(t.Context(), "quayside", "NEW-1"); !errors.Is(err, catalog.ErrNoItem) {
		t.Errorf("a row of a refused file is there: %v", err)
	}
	if _, err := c.ImportItems(t.Context(), "nowhere", catalog.KindLine, strings.NewReader(lineHead)); !errors.Is(err, catalog.ErrNoHouse) {
		t.Errorf("into no house: %v", err)
	}
	if _, err := c.ImportItems(t.Context(), "quayside", "bicycle", strings.NewReader(lineHead)); err == nil {
		t.Error("an unknown kind was imported")
	}
}

type broken struct{ err error }

func (b broken) Read([]byte) (int, error) { return 0, b.err }

// Imports of one house wait for each other, those that hold the same items among them; none fails and none is lost.
func TestImportsAtOnceTakeTurns(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	var wg sync.WaitGroup
	for n := range 6 {
		wg.Go(func() {
			var b strings.Builder
			b.WriteString(lineHead)
			for i := range 40 {
				fmt.Fprintf(&b, "quayside,SHARED-%d,Rope %d,1,0.01,4,20.00,,15,1500,EUR,2026-01-01=1.50\n", (i*7+n)%40, n)
			}
			fmt.Fprintf(&b, "quayside,OWN-%d,Rope,1,0.01,4,20.00,,15,1500,EUR,\n", n)
			if _, err := c.ImportItems(t.Context(), "quayside", catalog.KindLine, strings.NewReader(b.String())); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	s, _, err := c.Snapshot(t.Context(), "quayside")
	if err != nil {
		t.Fatal(err)
	}
	first := s.Item("SHARED-0")
	for i := range 40 {
		item := s.Item(fmt.Sprintf("SHARED-%d", i))
		if item == nil || first == nil || item.Name != first.Name || len(item.Rates) != 1 {
			t.Fatalf("SHARED-%d is %+v, SHARED-0 %+v: two imports mixed", i, item, first)
		}
	}
	for n := range 6 {
		if s.Item(fmt.Sprintf("OWN-%d", n)) == nil {
			t.Errorf("import %d is lost", n)
		}
	}
}

// fabrics is a file of n sound rows with two rates each.
func fabrics(t testing.TB, n int) []byte {
	t.Helper()
	item := demoItem(t, "QG-FABRIC-FULL-08X08")
	item.Rates = append(item.Rates[:1:1], catalog.Rate{From: catalog.Date{Year: 2027, Month: 1, Day: 1}, PerDay: item.Rates[0].PerDay})
	demo, _ := catalog.DemoSnapshot("quayside")
	var b bytes.Buffer
	w, err := catalog.NewCSVWriter(&b, catalog.KindFabric)
	if err != nil {
		t.Fatal(err)
	}
	for i := range n {
		item.SKU = fmt.Sprintf("BULK-%06d", i)
		if err := w.Write(demo.House, &item); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func BenchmarkImport20000New(b *testing.B) {
	file := fabrics(b, 20_000)
	c, pool := seeded(b)
	for b.Loop() {
		b.StopTimer()
		if _, err := pool.Exec(b.Context(), `DELETE FROM items WHERE sku LIKE 'BULK-%'`); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		counts, err := c.ImportItems(b.Context(), "quayside", catalog.KindFabric, bytes.NewReader(file))
		if err != nil || counts.Created != 20_000 {
			b.Fatal(counts, err)
		}
	}
}

func BenchmarkImport20000Changed(b *testing.B) {
	files := [2][]byte{fabrics(b, 20_000), nil}
	files[1] = bytes.ReplaceAll(files[0], []byte(",white,white,"), []byte(",white,ivory,"))
	c, _ := seeded(b)
	if _, err := c.ImportItems(b.Context(), "quayside", catalog.KindFabric, bytes.NewReader(files[1])); err != nil {
		b.Fatal(err)
	}
	n := 0
	for b.Loop() {
		counts, err := c.ImportItems(b.Context(), "quayside", catalog.KindFabric, bytes.NewReader(files[n%2]))
		if err != nil || counts.Changed != 20_000 {
			b.Fatal(counts, err)
		}
		n++
	}
}

func BenchmarkSnapshot(b *testing.B) {
	for _, n := range []int{0, 20_000} {
		b.Run(fmt.Sprintf("demo+%d", n), func(b *testing.B) {
			c, _ := seeded(b)
			if n > 0 {
				if _, err := c.ImportItems(b.Context(), "quayside", catalog.KindFabric, bytes.NewReader(fabrics(b, n))); err != nil {
					b.Fatal(err)
				}
			}
			for b.Loop() {
				if _, _, err := c.Snapshot(b.Context(), "quayside"); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkVersion(b *testing.B) {
	c := postgres.NewCatalogue(pgtest.New(b))
	if _, err := c.Seed(b.Context()); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := c.Version(b.Context(), "quayside"); err != nil {
			b.Fatal(err)
		}
	}
}
