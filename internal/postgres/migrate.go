package postgres

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"github.com/golang-migrate/migrate/v4"
	migratepgx "github.com/golang-migrate/migrate/v4/database/pgx/v5"
	"github.com/golang-migrate/migrate/v4/source"
	"github.com/golang-migrate/migrate/v4/source/iofs"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"

	"kitspan/db/migrations"
)

// Times of a migration; common practice, no source. What a whole migration may take is for the caller's context to say.
const (
	// Several processes may start at once on one database: one migrates, the others wait this long for it. A step waits as long for
	// a table that somebody else uses.
	migrateLockTimeout = 2 * time.Minute
	// The server's own limit ends a wait for a lock; the migration library's, which leaves the waiting session behind, comes later.
	migrateLockGrace = 10 * time.Second
	// When its context ends, a migration asks the server this often to cancel the running statement, for at most this long; then it
	// drops the connection.
	migrateCancelPoll    = 100 * time.Millisecond
	migrateCancelTimeout = 5 * time.Second
	// How often the server looks whether a session in the middle of a statement still has a client.
	clientCheckInterval = 2 * time.Second
)

// MigrateUp brings the database at url to the newest schema. On a database that is there already it does nothing.
//
// Each step is one transaction. When ctx ends, the running step is cancelled and rolled back, the steps before it stay, and the error
// wraps the cause of ctx; a server that does not even answer that is left after five seconds. A schema that a newer program made is
// [ErrSchemaNewer], one whose last step has an unknown outcome [ErrSchemaUncertain].
func MigrateUp(ctx context.Context, url string) error {
	return migrateUp(ctx, url, migrations.Files)
}

// MigrateDown undoes every step: all data is lost.
func MigrateDown(ctx context.Context, url string) error {
	return migrateDown(ctx, url, migrations.Files)
}

func migrateUp(ctx context.Context, url string, steps fs.FS) error {
	err := withMigrate(ctx, url, steps, func(m *migrate.Migrate, known source.Driver) error {
		// A mark of uncertainty tells nothing here: another process may be in the middle of a step. The library looks at it once it
		// is alone.
		at, _, err := m.Version()
		if err != nil && !errors.Is(err, migrate.ErrNilVersion) {
			return err
		}
		if err := checkReached(known, at, false); err != nil && !errors.Is(err, ErrSchemaOlder) {
			return err
		}
		err = m.Up()
		if found, ok := errors.AsType[migrate.ErrDirty](err); ok {
			return uncertainStep(uint(max(found.Version, 1)))
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("migrate up: %w", err)
	}
	return nil
}

func migrateDown(ctx context.Context, url string, steps fs.FS) error {
	err := withMigrate(ctx, url, steps, func(m *migrate.Migrate, _ source.Driver) error { return m.Down() })
	if err != nil {
		return fmt.Errorf("migrate down: %w", err)
	}
	return nil
}

// withMigrate runs do over one connection of its own, without the pool's time limits: a step may take as long as ctx allows.
func withMigrate(ctx context.Context, url string, steps fs.FS, do func(*migrate.Migrate, source.Driver) error) (err error) {
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	cfg, err := connConfig(url)
	if err != nil {
		return err
	}
	known, err := iofs.New(steps, ".")
	if err != nil {
		return fmt.Errorf("read migrations: %w", err)
	}
	over := make(chan struct{})
	watched, release := context.WithCancel(ctx)
	defer release()
	defer close(over) // before release, which must not look like the end of ctx
	db := openMigrateDB(watched, cfg, over)
	// The library connects without a context, so the connection that it will find in db is made before it looks.
	reach, cancel := context.WithTimeout(ctx, reachTimeout(cfg))
	defer cancel()
	if err := db.PingContext(reach); err != nil {
		return errors.Join(stopped(ctx, Translate(err)), db.Close(), known.Close())
	}
	// WithInstance instead of the pgx5:// scheme: any address that pgx reads will do, and none ends up in an error.
	inner, err := migratepgx.WithInstance(db, &migratepgx.Config{})
	if err != nil {
		return errors.Join(stopped(ctx, Translate(driverCause(err))), db.Close(), known.Close())
	}
	m, err := migrate.NewWithInstance("embedded", known, cfg.Database, &atomicSteps{Driver: inner, stopped: ctx.Err})
	if err != nil {
		return errors.Join(err, known.Close(), inner.Close())
	}
	m.LockTimeout = migrateLockTimeout + migrateLockGrace
	defer func() {
		sourceErr, driverErr := m.Close()
		if err == nil { // of a connection that was dropped, closing tells nothing new
			err = errors.Join(sourceErr, driverErr)
		}
	}()
	defer context.AfterFunc(watched, func() {
		if ctx.Err() != nil {
			m.GracefulStop <- true
		}
	})()

	if err := do(m, known); err != nil && !errors.Is(err, migrate.ErrNoChange) {
		return stopped(ctx, Translate(driverCause(err)))
	}
	return context.Cause(ctx)
}

// stopped puts the end of ctx in the place of what that end did to the connection.
func stopped(ctx context.Context, err error) error {
	if ctx.Err() == nil {
		return err
	}
	return fmt.Errorf("stopped: %w", context.Cause(ctx))
}

// openMigrateDB opens at most one connection, which ends with ctx although the migration library uses it without any context. Closing
// over keeps the connection from that.
func openMigrateDB(ctx context.Context, cfg *pgx.ConnConfig, over <-chan struct{}) *sql.DB {
	db := stdlib.OpenDB(*cfg,
		stdlib.OptionBeforeConnect(func(context.Context, *pgx.ConnConfig) error { return ctx.Err() }),
		stdlib.OptionAfterConnect(func(setup context.Context, conn *pgx.Conn) error {
			context.AfterFunc(ctx, func() { breakOff(conn, over) })
			if _, err := conn.Exec(setup, fmt.Sprintf(`SET lock_timeout = %d`, migrateLockTimeout.Milliseconds())); err != nil {
				return err
			}
			// Servers on systems that cannot look refuse the setting; there a lost client's statement goes on to its end.
			_, _ = conn.Exec(setup, fmt.Sprintf(`SET client_connection_check_interval = %d`, clientCheckInterval.Milliseconds()))
			return nil
		}))
	db.SetMaxOpenConns(1)
	return db
}

// breakOff asks the server to cancel what conn's session does until over is closed, and drops the connection where the server does not
// do that in time. It asks again because a request that arrives between two statements cancels nothing.
func breakOff(conn *pgx.Conn, over <-chan struct{}) {
	ctx, cancel := context.WithTimeout(context.Background(), migrateCancelTimeout)
	defer cancel()
	for {
		select {
		case <-over:
			return
		default:
		}
		_ = conn.PgConn().CancelRequest(ctx) // it is asked again
		select {
		case <-over:
			return
		case <-ctx.Done():
			_ = conn.PgConn().Conn().Close() // dropped: nobody is there to say goodbye to
			return
		case <-time.After(migrateCancelPoll):
		}
	}
}
