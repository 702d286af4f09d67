package postgres_test

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

var serializable = pgx.TxOptions{IsoLevel: pgx.Serializable}

// oneConnection is a pool that shows at once whether a transaction gives its only connection back clean.
func oneConnection(t *testing.T) *pgxpool.Pool {
	t.Helper()
	pool, err := postgres.Open(t.Context(), pgtest.NewURL(t)+"&pool_max_conns=1")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(pool.Close)
	exec(t, pool, `CREATE TABLE stock (sku text PRIMARY KEY, owned int NOT NULL)`)
	exec(t, pool, `INSERT INTO stock VALUES ('stand', 0)`)
	return pool
}

func addStand(ctx context.Context, tx pgx.Tx) error {
	_, err := tx.Exec(ctx, `UPDATE stock SET owned = owned + 1 WHERE sku = 'stand'`)
	return err
}

func owned(t *testing.T, pool *pgxpool.Pool) int {
	t.Helper()
	return scan[int](t, pool, `SELECT owned FROM stock WHERE sku = 'stand'`)
}

func TestInTxCommits(t *testing.T) {
	t.Parallel()
	pool := oneConnection(t)
	var level string
	err := postgres.InTx(t.Context(), pool, serializable, func(tx pgx.Tx) error {
		if err := tx.QueryRow(t.Context(), `SELECT current_setting('transaction_isolation')`).Scan(&level); err != nil {
			return err
		}
		return addStand(t.Context(), tx)
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := owned(t, pool); got != 1 || level != "serializable" {
		t.Errorf("owned %d at %s, want 1 at serializable", got, level)
	}
}

func TestInTxRefusesAnUnnamedIsolation(t *testing.T) {
	t.Parallel()
	err := postgres.InTx(t.Context(), nil, pgx.TxOptions{}, func(pgx.Tx) error { return nil })
	if err == nil {
		t.Error("no error")
	}
}

func TestInTxRollsBack(t *testing.T) {
	t.Parallel()
	sentinel := errors.New("no more stands")
	for name, c := range map[string]struct {
		end   func(cancel context.CancelFunc) error
		check func(t *testing.T, err error, panicked any)
	}{
		"on an error, which comes back as it is": {
			end: func(context.CancelFunc) error { return sentinel },
			check: func(t *testing.T, err error, panicked any) {
				if err != sentinel || panicked != nil { //nolint:errorlint // the very same value is the point
					t.Errorf("error %v, panic %v", err, panicked)
				}
			},
		},
		"on a panic, which goes on": {
			end: func(context.CancelFunc) error { panic("broken scene") },
			check: func(t *testing.T, _ error, panicked any) {
				if panicked != "broken scene" {
					t.Errorf("panic %v", panicked)
				}
			},
		},
		"on a panic after the request has gone": {
			end: func(cancel context.CancelFunc) error { cancel(); panic("broken scene") },
			check: func(t *testing.T, _ error, panicked any) {
				if panicked != "broken scene" {
					t.Errorf("panic %v", panicked)
				}
			},
		},
		"when the request has gone before the commit": {
			end: func(cancel context.CancelFunc) error { cancel(); return nil },
			check: func(t *testing.T, err error, _ any) {
				if !errors.Is(err, context.Canceled) {
					t.Errorf("error %v, want context.Canceled", err)
				}
			},
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			pool := oneConnection(t)
			ctx, cancel := context.WithCancel(t.Context())
			defer cancel()
			session := scan[int](t, pool, `SELECT pg_backend_pid()`)
			var err error
			var panicked any
			func() {
				defer func() { panicked = recover() }()
				err = postgres.InTx(ctx, pool, serializable, func(tx pgx.Tx) error {
					if err := addStand(ctx, tx); err != nil {
						t.Error(err)
					}
					return c.end(cancel)
				})
			}()
			c.check(t, err, panicked)
			if got := owned(t, pool); got != 0 {
				t.Errorf("owned %d, want 0", got)
			}
			if c := pool.Stat().AcquiredConns(); c != 0 {
				t.Errorf("%d connections still out", c)
			}
			// A rollback by the cancelled context would have closed the session; one by its own leaves it usable.
			if got := scan[int](t, pool, `SELECT pg_backend_pid()`); got != session && name != "when the request has gone before the commit" {
				t.Errorf("session %d is gone, now %d", session, got)
			}
		})
	}
}

func TestInTxRunsAgainAfterALostRace(t *testing.T) {
	t.Parallel()
	for _, state := range []string{"40001", "40P01"} {
		t.Run(state, func(t *testing.T) {
			t.Parallel()
			pool := oneConnection(t)
			runs := 0
			lose := func(times int) error {
				runs = 0
				return postgres.InTx(t.Context(), pool, serializable, func(tx pgx.Tx) error {
					runs++
					if err := addStand(t.Context(), tx); err != nil {
						return err
					}
					if runs <= times {
						_, err := tx.Exec(t.Context(), `DO $$ BEGIN RAISE EXCEPTION USING ERRCODE = '`+state+`'; END $$`)
						return postgres.Translate(err)
					}
					return nil
				})
			}
			if err := lose(2); err != nil || runs != 3 {
				t.Errorf("lost twice: error %v after %d runs, want none after 3", err, runs)
			}
			if got := owned(t, pool); got != 1 {
				t.Errorf("owned %d, want 1: each attempt starts afresh", got)
			}
			if err := lose(1000); !errors.Is(err, postgres.ErrBusy) || runs != postgres.TxAttempts {
				t.Errorf("lost for ever: error %v after %d runs, want ErrBusy after %d", err, runs, postgres.TxAttempts)
			}
			ctx, cancel := context.WithCancel(t.Context())
			err := postgres.InTx(ctx, pool, serializable, func(tx pgx.Tx) error {
				_, err := tx.Exec(ctx, `DO $$ BEGIN RAISE EXCEPTION USING ERRCODE = '`+state+`'; END $$`)
				cancel()
				return err
			})
			if !errors.Is(err, context.Canceled) {
				t.Errorf("cancelled between attempts: error %v", err)
			}
		})
	}
}

// Lost updates are what serializable isolation with retries is for: read, add one, write, from several sides at once.
func TestInTxLosesNoUpdateUnderRealConflict(t *testing.T) {
	t.Parallel()
	pool := pgtest.New(t)
	exec(t, pool, `CREATE TABLE stock (sku text PRIMARY KEY, owned int NOT NULL)`)
	exec(t, pool, `INSERT INTO stock VALUES ('stand', 0)`)
	const writers, each = 4, 5
	var done, runs atomic.Int64
	var all sync.WaitGroup
	for range writers {
		all.Go(func() {
			for range each {
				err := postgres.InTx(t.Context(), pool, serializable, func(tx pgx.Tx) error {
					runs.Add(1)
					var n int
					if err := tx.QueryRow(t.Context(), `SELECT owned FROM stock WHERE sku = 'stand'`).Scan(&n); err != nil {
						return err
					}
					_, err := tx.Exec(t.Context(), `UPDATE stock SET owned = $1 WHERE sku = 'stand'`, n+1)
					return err
				})
				switch {
				case err == nil:
					done.Add(1)
				case !errors.Is(err, postgres.ErrBusy):
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	if got := owned(t, pool); int64(got) != done.Load() || got == 0 {
		t.Errorf("%d updates reported done, %d in the table", done.Load(), got)
	}
	if runs.Load() == writers*each {
		t.Log("no two writers met in this run")
	}
}
