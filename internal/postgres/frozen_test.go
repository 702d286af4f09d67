package postgres_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"

	"kitspan/internal/catalog"
	"kitspan/internal/job"
	"kitspan/internal/pgserver"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

// A server that hangs holds nobody up for longer than the call may take, and is reported as unavailable.
func TestNoCallWaitsForAFrozenServer(t *testing.T) {
	t.Parallel()
	dir := pgtest.DataDir(t)
	url := pgtest.StartServer(t, pgserver.Options{DataDir: dir}).URL("postgres")
	if err := postgres.MigrateUp(t.Context(), url); err != nil {
		t.Fatal(err)
	}
	pool, err := postgres.Open(t.Context(), url+"&pool_max_conns=30")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(pool.Close)
	stock, sessions, jobs := postgres.NewCatalogue(pool), postgres.NewSessions(pool), postgres.NewJobs(pool)
	if _, err := stock.Seed(t.Context()); err != nil {
		t.Fatal(err)
	}
	const house, sku = "quayside", "QG-FRAME-04X04"
	item, err := stock.Item(t.Context(), house, sku)
	if err != nil {
		t.Fatal(err)
	}
	kept, err := jobs.CreateJob(t.Context(), aJob(t, "1"), "", nil)
	if err != nil {
		t.Fatal(err)
	}
	calls := map[string]func(ctx context.Context) error{
		"jobs": func(ctx context.Context) error { _, err := jobs.Jobs(ctx, 1, job.Mark{}); return err },
		"job":  func(ctx context.Context) error { _, err := jobs.Job(ctx, kept.ID); return err },
		"create job": func(ctx context.Context) error {
			_, err := jobs.CreateJob(ctx, kept.Draft, "key", []byte{1})
			return err
		},
		"change job": func(ctx context.Context) error {
			_, err := jobs.ChangeJob(ctx, kept.ID, job.DeleteShot("1", anyState))
			return err
		},
		"delete job": func(ctx context.Context) error { return jobs.DeleteJob(ctx, kept.ID, anyState) },
		"ping":       stock.Ping,
		"houses":     func(ctx context.Context) error { _, err := stock.Houses(ctx); return err },
		"version":    func(ctx context.Context) error { _, err := stock.Version(ctx, house); return err },
		"item":       func(ctx context.Context) error { _, err := stock.Item(ctx, house, sku); return err },
		"replace item": func(ctx context.Context) error {
			_, err := stock.ReplaceItem(ctx, house, item.Item, item.Version)
			return err
		},
		"delete item":  func(ctx context.Context) error { return stock.DeleteItem(ctx, house, sku, item.Version) },
		"find session": func(ctx context.Context) error { _, _, err := sessions.FindCtx(ctx, "hash"); return err },
		"commit session": func(ctx context.Context) error {
			return sessions.CommitCtx(ctx, "hash", []byte{1}, time.Now().Add(time.Hour))
		},
		"delete session": func(ctx context.Context) error { return sessions.DeleteCtx(ctx, "hash") },
		"create item": func(ctx context.Context) error {
			_, err := stock.CreateItem(ctx, house, item.Item, "key", []byte{1})
			return err
		},
		"keep file": func(ctx context.Context) error {
			_, err := stock.KeepFile(ctx, house, "holder", catalog.KindFrame, []byte("sku\n"))
			return err
		},
	}
	// These take as long as their caller lets them.
	whole := map[string]func(ctx context.Context) error{
		"snapshot": func(ctx context.Context) error { _, _, err := stock.Snapshot(ctx, house); return err },
		"import": func(ctx context.Context) error {
			_, err := stock.ImportItems(ctx, house, catalog.KindFrame, strings.NewReader("sku\n"))
			return err
		},
		"look at file": func(ctx context.Context) error { _, err := stock.LookAtFile(ctx, house, "holder", "id"); return err },
		"import file": func(ctx context.Context) error {
			_, err := stock.ImportFile(ctx, house, "holder", "id", 1)
			return err
		},
	}
	for name, call := range whole {
		calls[name] = func(ctx context.Context) error {
			ctx, cancel := context.WithTimeout(ctx, time.Second)
			defer cancel()
			return call(ctx)
		}
	}
	// Each call gets a connection that was just used, so that nothing else than the call itself finds out.
	if err := warm(t.Context(), pool, len(calls)); err != nil {
		t.Fatal(err)
	}
	thaw := pgtest.Freeze(t, dir)
	ended := map[string]chan error{}
	for name, call := range calls {
		end := make(chan error, 1)
		ended[name] = end
		go func() { end <- call(context.WithoutCancel(t.Context())) }()
	}
	late := time.After(hangs)
	for name := range calls {
		select {
		case err := <-ended[name]:
			if !errors.Is(err, catalog.ErrUnavailable) && !errors.Is(err, job.ErrUnavailable) || !errors.Is(err, postgres.ErrUnavailable) {
				t.Errorf("%s: got %v, want ErrUnavailable", name, err)
			}
		case <-late:
			t.Fatalf("%s hangs", name)
		}
	}
	thaw()
	if _, err := stock.Houses(t.Context()); err != nil {
		t.Errorf("after the thaw: %v", err)
	}
}

// warm leaves so many idle connections in a pool.
func warm(ctx context.Context, pool *pgxpool.Pool, connections int) error {
	for range connections {
		conn, err := pool.Acquire(ctx)
		if err != nil {
			return err
		}
		defer conn.Release()
	}
	return nil
}
