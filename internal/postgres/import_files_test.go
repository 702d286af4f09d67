package postgres_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5/pgxpool"

	"kitspan/internal/catalog"
	"kitspan/internal/postgres"
)

const rope = "quayside,QG-ROPE-%d,Rope,1.2,0.01,4,20.00,2410,15,1500,EUR,2026-01-01=1.50\n"

// ropes is a file with so many new items.
func ropes(n int) []byte {
	var b bytes.Buffer
	b.WriteString(lineHead)
	for i := range n {
		fmt.Fprintf(&b, rope, i)
	}
	return b.Bytes()
}

func keepFile(t *testing.T, c *postgres.Catalogue, holder string, file []byte) string {
	t.Helper()
	id, err := c.KeepFile(t.Context(), "quayside", holder, catalog.KindLine, file)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func isKept(t *testing.T, c *postgres.Catalogue, holder, id string) bool {
	t.Helper()
	_, err := c.LookAtFile(t.Context(), "quayside", holder, id)
	if err != nil && !errors.Is(err, catalog.ErrNoFile) {
		t.Fatal(err)
	}
	return err == nil
}

func TestAFileIsImportedOnceAndForgotten(t *testing.T) {
	t.Parallel()
	c, pool := seeded(t)
	before := houseVersion(t, c, "quayside")
	id := keepFile(t, c, "me", append(ropes(2), []byte("quayside,QG-LINE-10,Rope,1.2,0.01,4,20.00,2410,15,1500,EUR,\n")...))
	look, err := c.LookAtFile(t.Context(), "quayside", "me", id)
	want := catalog.FileLook{Kind: catalog.KindLine, Counts: catalog.ImportCounts{Created: 2, Changed: 1}, Version: before}
	if err != nil || look != want {
		t.Fatalf("a look: %+v, %v, want %+v", look, err, want)
	}
	if after := houseVersion(t, c, "quayside"); after != before {
		t.Errorf("a look moved the house from %d to %d", before, after)
	}
	if _, err := c.ImportFile(t.Context(), "quayside", "me", id, before-1); !errors.Is(err, catalog.ErrCatalogueChanged) {
		t.Errorf("at another version: %v", err)
	}
	for range 2 {
		counts, err := c.ImportFile(t.Context(), "quayside", "me", id, before)
		if err != nil || counts != want.Counts {
			t.Errorf("imported: %+v, %v", counts, err)
		}
	}
	once := houseVersion(t, c, "quayside")
	if look, err = c.LookAtFile(t.Context(), "quayside", "me", id); err != nil || look != (catalog.FileLook{Kind: catalog.KindLine, Counts: want.Counts, Done: true}) {
		t.Errorf("a look afterwards: %+v, %v", look, err)
	}
	item, err := c.Item(t.Context(), "quayside", "QG-ROPE-1")
	if err != nil || item.Version > once || item.Name != "Rope" {
		t.Errorf("%+v, %v", item, err)
	}
	var size int
	if err := pool.QueryRow(t.Context(), `SELECT octet_length(file) FROM import_files WHERE id = $1`, id).Scan(&size); err != nil || size != 0 {
		t.Errorf("%d bytes are kept of an imported file, %v", size, err)
	}
}

// However many ask at once for one import, it is done once, and all get the counts of what it did.
func TestAFileThatManyImportAtOnceIsImportedOnce(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	id, version := keepFile(t, c, "me", ropes(50)), houseVersion(t, c, "quayside")
	var all sync.WaitGroup
	for range 6 {
		all.Go(func() {
			counts, err := c.ImportFile(t.Context(), "quayside", "me", id, version)
			if err != nil || counts != (catalog.ImportCounts{Created: 50}) {
				t.Errorf("%+v, %v", counts, err)
			}
		})
	}
	all.Wait()
	moved := houseVersion(t, c, "quayside") - version
	other, _ := seeded(t)
	version = houseVersion(t, other, "quayside")
	if _, err := other.ImportFile(t.Context(), "quayside", "me", keepFile(t, other, "me", ropes(50)), version); err != nil {
		t.Fatal(err)
	}
	if once := houseVersion(t, other, "quayside") - version; moved != once {
		t.Errorf("the house moved on by %d, by one import it moves by %d", moved, once)
	}
}

func TestOfTwoFilesForOneStateOneIsImported(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	version := houseVersion(t, c, "quayside")
	ids := []string{keepFile(t, c, "me", ropes(3)), keepFile(t, c, "you", []byte(lineHead+strings.Replace(fmt.Sprintf(rope, 0), "Rope", "Line", 1)))}
	errs := make([]error, len(ids))
	var all sync.WaitGroup
	for i, holder := range []string{"me", "you"} {
		all.Go(func() { _, errs[i] = c.ImportFile(t.Context(), "quayside", holder, ids[i], version) })
	}
	all.Wait()
	lost := 0
	for _, err := range errs {
		if errors.Is(err, catalog.ErrCatalogueChanged) {
			lost++
		} else if err != nil {
			t.Error(err)
		}
	}
	if lost != 1 {
		t.Errorf("%d of 2 lost the race: %v", lost, errs)
	}
}

func TestAFileIsKeptForItsHolderForAnHour(t *testing.T) {
	t.Parallel()
	c, pool := seeded(t)
	id := keepFile(t, c, "me", ropes(1))
	if !isKept(t, c, "me", id) || isKept(t, c, "you", id) || isKept(t, c, "", id) || isKept(t, c, "me", "other") {
		t.Error("a file is not kept for its holder alone")
	}
	if _, err := c.LookAtFile(t.Context(), "northpier", "me", id); !errors.Is(err, catalog.ErrNoFile) {
		t.Errorf("in another house: %v", err)
	}
	if _, err := c.ImportFile(t.Context(), "quayside", "you", id, houseVersion(t, c, "quayside")); !errors.Is(err, catalog.ErrNoFile) {
		t.Errorf("imported by another: %v", err)
	}
	var soon, late bool
	err := pool.QueryRow(t.Context(), `
		SELECT expires_at > now() + INTERVAL '59 minutes', expires_at > now() + INTERVAL '61 minutes' FROM import_files`).Scan(&soon, &late)
	if err != nil || !soon || late {
		t.Errorf("not kept for an hour: %v", err)
	}
	exec(t, pool, `UPDATE import_files SET kept_at = now() - INTERVAL '2 hours', expires_at = now() - INTERVAL '1 second'`)
	if isKept(t, c, "me", id) {
		t.Error("kept after its time")
	}
	keepFile(t, c, "you", ropes(1))
	if n := filesOf(t, pool); n != 1 {
		t.Errorf("%d files are stored, one of them over its time", n)
	}
	if _, err := c.KeepFile(t.Context(), "nowhere", "me", catalog.KindLine, ropes(1)); !errors.Is(err, catalog.ErrNoHouse) {
		t.Errorf("in a house that is not there: %v", err)
	}
}

func filesOf(t *testing.T, pool *pgxpool.Pool) (n int) {
	t.Helper()
	if err := pool.QueryRow(t.Context(), `SELECT count(*) FROM import_files`).Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}

func TestFilesAreBoundedInNumberAndSize(t *testing.T) {
	t.Parallel()
	c, pool := seeded(t)
	const perHolder, perHouse = 4, 32
	var ids []string
	for range perHolder + 1 {
		ids = append(ids, keepFile(t, c, "me", ropes(1)))
	}
	if isKept(t, c, "me", ids[0]) || !isKept(t, c, "me", ids[1]) || !isKept(t, c, "me", ids[perHolder]) {
		t.Error("the oldest file of a holder does not give way to a fifth")
	}
	var all sync.WaitGroup
	for i := range perHouse { // twice as many as there is room for, at once
		all.Go(func() {
			for range 2 {
				_, err := c.KeepFile(t.Context(), "quayside", fmt.Sprint("holder ", i), catalog.KindLine, ropes(1))
				if err != nil && !errors.Is(err, catalog.ErrManyFiles) {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	if n := filesOf(t, pool); n != perHouse {
		t.Errorf("the house keeps %d files, want %d", n, perHouse)
	}
	if _, err := c.KeepFile(t.Context(), "quayside", "late", catalog.KindLine, ropes(1)); !errors.Is(err, catalog.ErrManyFiles) {
		t.Errorf("one file too many: %v", err)
	}
	if !isKept(t, c, "me", ids[perHolder]) {
		t.Error("a file had to give way to another holder's")
	}
	if _, err := c.KeepFile(t.Context(), "northpier", "late", catalog.KindLine, ropes(1)); err != nil {
		t.Errorf("in another house: %v", err)
	}
	exec(t, pool, `DELETE FROM import_files`)
	if _, err := c.KeepFile(t.Context(), "quayside", "me", catalog.KindLine, make([]byte, catalog.MaxKeptFile)); err != nil {
		t.Errorf("the largest file: %v", err)
	}
	if _, err := c.KeepFile(t.Context(), "quayside", "me", catalog.KindLine, make([]byte, catalog.MaxKeptFile+1)); postgres.Constraint(err) != "import_files_size" {
		t.Errorf("a larger file: %v", err)
	}
}

func TestALookFindsWhatTheHouseForbids(t *testing.T) {
	t.Parallel()
	c, _ := seeded(t)
	id := keepFile(t, c, "me", []byte(lineHead+strings.Replace(fmt.Sprintf(rope, 0), "QG-ROPE-0", "QG-BAG-16", 1)))
	look, err := c.LookAtFile(t.Context(), "quayside", "me", id)
	bad := (*catalog.CSVError)(nil)
	if !errors.As(err, &bad) || len(bad.Faults) != 1 || bad.Faults[0].Column != "sku" || look.Kind != catalog.KindLine {
		t.Errorf("%+v, %v", look, err)
	}
	if _, err := c.ImportFile(t.Context(), "quayside", "me", id, houseVersion(t, c, "quayside")); !errors.As(err, &bad) {
		t.Errorf("imported: %v", err)
	}
}
