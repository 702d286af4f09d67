package pgtest

import (
	"context"
	"fmt"
	"os"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"

	"kitspan/internal/postgres"
)

func TestMain(m *testing.M) { Main(m) }

func TestNewGivesADatabaseOfItsOwnToEachTest(t *testing.T) {
	t.Parallel()
	names := make(chan string, 2)
	t.Run("group", func(t *testing.T) {
		for _, mine := range []string{"one", "two"} {
			t.Run(mine, func(t *testing.T) {
				t.Parallel()
				pool := New(t)
				if _, err := pool.Exec(t.Context(), `CREATE TABLE mark (text text); INSERT INTO mark VALUES ('`+mine+`')`); err != nil {
					t.Fatal(err)
				}
				var got, name string
				if err := pool.QueryRow(t.Context(), `SELECT string_agg(text, ','), current_database() FROM mark`).Scan(&got, &name); err != nil {
					t.Fatal(err)
				}
				if got != mine {
					t.Errorf("rows of the database: %s, want %s alone", got, mine)
				}
				names <- name
			})
		}
	})
	close(names)
	for name := range names {
		if n := count(t, `SELECT count(*) FROM pg_database WHERE datname = $1`, name); n != 0 {
			t.Errorf("database %s is still there after its test", name)
		}
	}
}

func TestTemplateIsMadeOnceForAllBinaries(t *testing.T) {
	t.Parallel()
	NewURL(t) // for the server
	key := fmt.Sprintf("try_%d_%d", os.Getpid(), processStart)
	var runs atomic.Int32
	migrate := func(ctx context.Context, url string) error {
		if !strings.Contains(url, key) {
			t.Errorf("migrates %s", url)
		}
		runs.Add(1)
		return execute(ctx, url, `CREATE TABLE place (name text); INSERT INTO place VALUES ('estuary')`)
	}
	t.Cleanup(func() {
		ctx := context.Background()
		name := "kitspan_template_" + key
		for _, sql := range []string{`ALTER DATABASE ` + quote(name) + ` IS_TEMPLATE false`, `DROP DATABASE ` + quote(name)} {
			if err := execute(ctx, shared.server.URL, sql); err != nil {
				t.Error(err)
			}
		}
	})

	failing := func(context.Context, string) error { return os.ErrInvalid }
	if _, err := template(t.Context(), shared.server.URL, key, failing); err == nil {
		t.Error("a failed migration gave a template")
	}
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			if _, err := template(t.Context(), shared.server.URL, key, migrate); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if runs.Load() != 1 {
		t.Errorf("migrated %d times, want once", runs.Load())
	}
	url := clone(t, shared.server.URL, "kitspan_template_"+key, "kitspan_"+key)
	pool, err := postgres.Open(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer pool.Close()
	var name string
	if err := pool.QueryRow(t.Context(), `SELECT name FROM place`).Scan(&name); err != nil || name != "estuary" {
		t.Errorf("the clone holds %q (%v), want estuary", name, err)
	}
}

func TestStartRefusesAnUnknownServer(t *testing.T) {
	t.Setenv(EnvURL, "")
	t.Setenv(EnvServer, "cloud")
	if s, err := Start(t.Context()); err == nil || !strings.Contains(err.Error(), "want container, private or nothing") {
		t.Errorf("got %v, %v", s, err)
	}
}

func count(t *testing.T, sql string, args ...any) (n int) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), shared.server.URL)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(t.Context()))
	if err := conn.QueryRow(t.Context(), sql, args...).Scan(&n); err != nil {
		t.Fatal(err)
	}
	return n
}
