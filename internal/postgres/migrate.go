package postgres

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"github.com/golang-migrate/migrate/v4"
	migratepgx "github.com/golang-migrate/migrate/v4/database/pgx/v5"
	"github.com/golang-migrate/migrate/v4/source/iofs"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"

	"kitspan/db/migrations"
)

// Several processes may start at once on one database: one migrates, the others wait this long for it.
const migrateLockTimeout = 2 * time.Minute

// MigrateUp brings the database at url to the newest schema. On a database that is there already it does nothing. When ctx is
// cancelled it stops after the step that is running.
func MigrateUp(ctx context.Context, url string) error {
	return migrateUp(ctx, url, migrations.Files)
}

// MigrateDown undoes every step: all data is lost.
func MigrateDown(ctx context.Context, url string) error {
	return migrateDown(ctx, url, migrations.Files)
}

// Version returns the number of the last step taken, 0 on an empty database. dirty means that this step failed half way and that
// somebody must put the schema right before any other step.
func Version(ctx context.Context, url string) (version uint, dirty bool, err error) {
	err = withMigrate(ctx, url, migrations.Files, func(m *migrate.Migrate) error {
		version, dirty, err = m.Version()
		if errors.Is(err, migrate.ErrNilVersion) {
			return nil
		}
		return err
	})
	if err != nil {
		return 0, false, fmt.Errorf("read schema version: %w", err)
	}
	return version, dirty, nil
}

func migrateUp(ctx context.Context, url string, steps fs.FS) error {
	if err := withMigrate(ctx, url, steps, (*migrate.Migrate).Up); err != nil {
		return fmt.Errorf("migrate up: %w", err)
	}
	return nil
}

func migrateDown(ctx context.Context, url string, steps fs.FS) error {
	if err := withMigrate(ctx, url, steps, (*migrate.Migrate).Down); err != nil {
		return fmt.Errorf("migrate down: %w", err)
	}
	return nil
}

// withMigrate opens one connection of its own, without the pool's time limits: a step may take as long as it needs.
func withMigrate(ctx context.Context, url string, steps fs.FS, do func(*migrate.Migrate) error) (err error) {
	if err := ctx.Err(); err != nil {
		return err
	}
	cfg, err := pgx.ParseConfig(url)
	if err != nil {
		return fmt.Errorf("read database address: %w", err)
	}
	setSession(cfg)
	source, err := iofs.New(steps, ".")
	if err != nil {
		return fmt.Errorf("read migrations: %w", err)
	}
	// WithInstance instead of the pgx5:// scheme: any address that pgx reads will do, and none ends up in an error.
	db := stdlib.OpenDB(*cfg)
	driver, err := migratepgx.WithInstance(db, &migratepgx.Config{})
	if err != nil {
		return errors.Join(Translate(err), db.Close(), source.Close())
	}
	m, err := migrate.NewWithInstance("embedded", source, cfg.Database, driver)
	if err != nil {
		return errors.Join(err, source.Close(), driver.Close())
	}
	m.LockTimeout = migrateLockTimeout
	defer func() {
		sourceErr, driverErr := m.Close()
		err = errors.Join(err, sourceErr, driverErr)
	}()
	defer context.AfterFunc(ctx, func() { m.GracefulStop <- true })()

	if err := do(m); err != nil && !errors.Is(err, migrate.ErrNoChange) {
		return err
	}
	return ctx.Err()
}
