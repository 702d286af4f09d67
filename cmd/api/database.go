package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"kitspan/internal/pgserver"
	"kitspan/internal/postgres"
)

// schemaFlags are how 'serve' comes by the schema that it needs.
type schemaFlags struct {
	Migrate        bool          `env:"KITSPAN_MIGRATE" default:"true" negatable:"" help:"Bring the database to the newest schema first. With --no-migrate, for a role that may not change the schema, only its version is checked."`
	MigrateTimeout time.Duration `name:"migrate-timeout" env:"KITSPAN_MIGRATE_TIMEOUT" default:"10m" help:"How long migrating may take."`
}

// prepare migrates the schema, or checks only that somebody else has.
func (f schemaFlags) prepare(ctx context.Context, url string) error {
	if !f.Migrate {
		return postgres.CheckSchema(ctx, url)
	}
	return migrateWithin(ctx, url, f.MigrateTimeout)
}

// migrateWithin brings the schema up to date; it ends cleanly with ctx, or when limit is over.
func migrateWithin(ctx context.Context, url string, limit time.Duration) error {
	within, cancel := context.WithTimeoutCause(ctx, limit, fmt.Errorf(
		"not done after %s; the steps that are done stay, run it again with a longer --migrate-timeout (KITSPAN_MIGRATE_TIMEOUT): %w",
		limit, context.DeadlineExceeded))
	defer cancel()
	return postgres.MigrateUp(within, url)
}

// startPrivate starts a private server that outlives ctx, at whose end requests are still being finished, but whose start ends with it.
func startPrivate(ctx context.Context, dir string) (*pgserver.Server, error) {
	life, cancel := context.WithCancel(context.WithoutCancel(ctx))
	detach := context.AfterFunc(ctx, cancel)
	own, err := pgserver.Start(life, pgserver.Options{DataDir: dir, Durable: true})
	if err != nil {
		cancel()
		return nil, err
	}
	if !detach() {
		return nil, errors.Join(context.Cause(ctx), own.Stop())
	}
	return own, nil
}
