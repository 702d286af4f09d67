package postgres

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"github.com/golang-migrate/migrate/v4/source"
	"github.com/golang-migrate/migrate/v4/source/iofs"
	"github.com/jackc/pgx/v5"

	"kitspan/db/migrations"
)

// How a database's schema may not be the one that this program works with. Errors of these kinds say what to do.
var (
	// ErrSchemaOlder: steps are missing.
	ErrSchemaOlder = errors.New("the schema is older than this program")
	// ErrSchemaNewer: a newer program has migrated it.
	ErrSchemaNewer = errors.New("the schema is newer than this program")
	// ErrSchemaUncertain: a step is being taken, or the connection was lost in the middle of it and nobody has seen its outcome.
	ErrSchemaUncertain = errors.New("a migration is running or broke off")
)

// Version returns the number of the last step taken, 0 on an empty database. uncertain means that it is being taken, or
// that the connection was lost in the middle of it. It only reads.
func Version(ctx context.Context, url string) (version uint, uncertain bool, err error) {
	cfg, err := connConfig(url)
	if err != nil {
		return 0, false, err
	}
	ctx, cancel := context.WithTimeout(ctx, reachTimeout(cfg))
	defer cancel()
	conn, err := pgx.ConnectConfig(ctx, cfg)
	if err != nil {
		return 0, false, fmt.Errorf("read schema version: %w", Translate(err))
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var at int64 // -1 while the first step is undone
	err = conn.QueryRow(ctx, `SELECT version, dirty FROM schema_migrations`).Scan(&at, &uncertain)
	if errors.Is(err, pgx.ErrNoRows) || sqlState(err) == undefinedTable {
		return 0, false, nil
	}
	if err != nil {
		return 0, false, fmt.Errorf("read schema version: %w", Translate(err))
	}
	return uint(max(at, 0)), uncertain, nil
}

// undefinedTable is SQLSTATE undefined_table (PostgreSQL manual, appendix A).
const undefinedTable = "42P01"

// CheckSchema reports in an error, [ErrSchemaOlder] and its like, whether the database at url has another schema than this program
// works with. It only reads, so that a role that owns nothing may call it.
func CheckSchema(ctx context.Context, url string) error {
	return checkSchema(ctx, url, migrations.Files)
}

func checkSchema(ctx context.Context, url string, steps fs.FS) error {
	at, uncertain, err := Version(ctx, url)
	if err != nil {
		return err
	}
	known, err := iofs.New(steps, ".")
	if err != nil {
		return fmt.Errorf("read migrations: %w", err)
	}
	return errors.Join(checkReached(known, at, uncertain), known.Close())
}

// checkReached compares the version that a database is at with the newest of the known steps.
func checkReached(known source.Driver, at uint, uncertain bool) error {
	newest, err := newestStep(known)
	switch {
	case err != nil:
		return err
	case at > newest:
		return fmt.Errorf("%w: it is at version %d and this program knows versions up to %d; use the program that migrated it or a newer one",
			ErrSchemaNewer, at, newest)
	case uncertain:
		return uncertainStep(max(at, 1))
	case at < newest:
		return fmt.Errorf("%w: it is at version %d and this program needs %d; run \"api migrate\" as the role that owns the schema", ErrSchemaOlder, at, newest)
	}
	return nil
}

func uncertainStep(step uint) error {
	notTaken := fmt.Sprintf("UPDATE schema_migrations SET dirty = false, version = %d", step-1)
	if step == 1 {
		notTaken = "DELETE FROM schema_migrations"
	}
	return fmt.Errorf("%w in the middle of step %d: if none is running, look whether what db/migrations/%06d_*.up.sql makes is there "+
		"(the step is one transaction: all of it is, or nothing); if all, run \"UPDATE schema_migrations SET dirty = false\", "+
		"if nothing, \"%s\"; then migrate again", ErrSchemaUncertain, step, step, notTaken)
}

func newestStep(known source.Driver) (uint, error) {
	newest, err := known.First()
	for next := newest; err == nil; next, err = known.Next(newest) {
		newest = next
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return 0, fmt.Errorf("read migrations: %w", err)
	}
	return newest, nil
}
