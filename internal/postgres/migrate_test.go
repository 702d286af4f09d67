package postgres_test

import (
	"context"
	"errors"
	"flag"
	"os"
	"regexp"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"

	"kitspan/internal/pgserver"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

var update = flag.Bool("update", false, "rewrite db/schema.sql from the migrations")

const schemaFile = "../../db/schema.sql"

// leftovers lists what a database holds beside what every database holds: relations, types, functions, extensions, schemas.
const leftovers = `
	SELECT COALESCE(string_agg(what, ', ' ORDER BY what), '')
	FROM (
		SELECT 'relation ' || relname AS what FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relname !~ '^schema_migrations'
		UNION ALL
		SELECT 'type ' || typname FROM pg_type WHERE typnamespace = 'public'::regnamespace AND typname !~ '^_?schema_migrations'
		UNION ALL
		SELECT 'function ' || proname FROM pg_proc WHERE pronamespace = 'public'::regnamespace
		UNION ALL
		SELECT 'extension ' || extname FROM pg_extension WHERE extname <> 'plpgsql'
		UNION ALL
		SELECT 'schema ' || nspname FROM pg_namespace WHERE nspname !~ '^pg_' AND nspname NOT IN ('public', 'information_schema')
	) AS found`

func TestMigrationsGoUpDownAndUpAgain(t *testing.T) {
	t.Parallel()
	p, url := migratedPrivate(t)
	ctx := t.Context()
	top := version(t, url)
	if top == 0 {
		t.Fatal("version 0 after migrating up")
	}
	before := dump(t, p)
	if err := postgres.MigrateUp(ctx, url); err != nil {
		t.Fatalf("up on a database that is up: %v", err)
	}
	if err := postgres.MigrateDown(ctx, url); err != nil {
		t.Fatal(err)
	}
	if left := readOne(t, url, leftovers); left != "" {
		t.Errorf("left after migrating down: %s", left)
	}
	if got := version(t, url); got != 0 {
		t.Errorf("version %d after migrating down, want 0", got)
	}
	if err := postgres.MigrateUp(ctx, url); err != nil {
		t.Fatal(err)
	}
	if got := version(t, url); got != top {
		t.Errorf("version %d after migrating up again, want %d", got, top)
	}
	if diff := cmp.Diff(strings.Split(before, "\n"), strings.Split(dump(t, p), "\n")); diff != "" {
		t.Errorf("the schema differs after down and up (-before +after):\n%s", diff)
	}
}

func TestSchemaFileIsWhatTheMigrationsMake(t *testing.T) {
	t.Parallel()
	p, _ := migratedPrivate(t)
	got := dump(t, p)
	if *update {
		if err := os.WriteFile(schemaFile, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatalf("run 'make schema': %v", err)
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
		t.Errorf("db/schema.sql is not what the migrations make: run 'make schema' (-file +migrations):\n%s", diff)
	}
}

// migratedPrivate is a private server, because these tests need its pg_dump, and the address of its migrated database kit.
func migratedPrivate(t *testing.T) (p *pgserver.Server, url string) {
	t.Helper()
	p = pgtest.StartServer(t, pgserver.Options{DataDir: pgtest.DataDir(t)})
	if err := p.CreateDatabase(t.Context(), "kit"); err != nil {
		t.Fatal(err)
	}
	if err := postgres.MigrateUp(t.Context(), p.URL("kit")); err != nil {
		t.Fatal(err)
	}
	return p, p.URL("kit")
}

// Steps of the test's own, for what the real ones must not do.
var (
	goodStep = fstest.MapFS{
		"000001_add_note.up.sql":   {Data: []byte(`CREATE TABLE note (id int); CREATE TABLE reply (id int);`)},
		"000001_add_note.down.sql": {Data: []byte(`DROP TABLE reply; DROP TABLE note;`)},
	}
	badStep = fstest.MapFS{
		"000001_add_note.up.sql":   goodStep["000001_add_note.up.sql"],
		"000001_add_note.down.sql": goodStep["000001_add_note.down.sql"],
		"000002_break.up.sql":      {Data: []byte(`CREATE TABLE half (id int); SELECT nonsense;`)},
		"000002_break.down.sql":    {Data: []byte(`DROP TABLE half;`)},
	}
)

// emptyURL is a database without any schema.
func emptyURL(t *testing.T) string {
	t.Helper()
	url := pgtest.NewURL(t)
	if err := postgres.MigrateDown(t.Context(), url); err != nil {
		t.Fatal(err)
	}
	return url
}

func TestMigrateUpFromSeveralProcessesAtOnce(t *testing.T) {
	t.Parallel()
	url := emptyURL(t)
	var all sync.WaitGroup
	for range 3 {
		all.Go(func() {
			if err := postgres.MigrateUpSteps(t.Context(), url, goodStep); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if got := version(t, url); got != 1 {
		t.Errorf("version %d, want 1", got)
	}
	if err := postgres.MigrateDownSteps(t.Context(), url, goodStep); err != nil {
		t.Error(err)
	}
	if left := readOne(t, url, leftovers); left != "" {
		t.Errorf("left after migrating down: %s", left)
	}
}

func TestMigrateUpRollsABrokenStepBack(t *testing.T) {
	t.Parallel()
	url := emptyURL(t)
	for range 2 { // as it was, so that the same program may try again
		err := postgres.MigrateUpSteps(t.Context(), url, badStep)
		if err == nil || !strings.Contains(err.Error(), "nonsense") || !strings.Contains(err.Error(), "from version 1 to 2") {
			t.Fatalf("got error %v, want the server's words and the step", err)
		}
		if strings.Contains(err.Error(), "CREATE TABLE") {
			t.Errorf("the error repeats the step: %v", err)
		}
		if got := version(t, url); got != 1 {
			t.Errorf("version %d after a step that was rolled back, want 1", got)
		}
		if left := readOne(t, url, leftovers); strings.Contains(left, "half") || !strings.Contains(left, "note") {
			t.Errorf("want what the first step made and nothing of the second: %s", left)
		}
	}
	if err := postgres.MigrateDownSteps(t.Context(), url, badStep); err != nil {
		t.Fatal(err)
	}
	err := postgres.MigrateUpSteps(t.Context(), url, fstest.MapFS{
		"000001_break.up.sql": badStep["000002_break.up.sql"], "000001_break.down.sql": badStep["000002_break.down.sql"],
	})
	if got := version(t, url); err == nil || got != 0 {
		t.Errorf("version %d, error %v after a broken first step, want 0 and an error", got, err)
	}
}

func TestMigrateObeysCancellation(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := postgres.MigrateUp(ctx, "postgres://127.0.0.1:1/none"); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

func TestMigrateNamesAnUnreachableServer(t *testing.T) {
	t.Parallel()
	for name, err := range map[string]error{
		"up":   postgres.MigrateUp(t.Context(), "postgres://127.0.0.1:1/none"),
		"down": postgres.MigrateDown(t.Context(), "postgres://127.0.0.1:1/none"),
	} {
		if !errors.Is(err, postgres.ErrUnavailable) || !strings.Contains(err.Error(), "migrate "+name) {
			t.Errorf("%s: got error %v, want ErrUnavailable", name, err)
		}
	}
}

func version(t *testing.T, url string) uint {
	t.Helper()
	v, dirty, err := postgres.Version(t.Context(), url)
	if err != nil || dirty {
		t.Fatalf("version %d, dirty %v, error %v", v, dirty, err)
	}
	return v
}

func readOne(t *testing.T, url, sql string) (text string) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(t.Context()))
	if err := conn.QueryRow(t.Context(), sql).Scan(&text); err != nil {
		t.Fatal(err)
	}
	return text
}

// Lines of a dump that tell of the dumping program and its session, not of the schema; they differ between versions.
var ofTheDump = regexp.MustCompile(`(?m)^(--|SET |SELECT pg_catalog\.set_config|\\restrict|\\unrestrict).*\n`)

func dump(t *testing.T, p *pgserver.Server) string {
	t.Helper()
	text := ofTheDump.ReplaceAllString(pgtest.DumpSchema(t, p, "kit"), "")
	return "-- The schema that the migrations make, by pg_dump; rewritten by 'make schema'.\n\n" +
		strings.TrimSpace(regexp.MustCompile(`\n{3,}`).ReplaceAllString(text, "\n\n")) + "\n"
}
