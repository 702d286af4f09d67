package main

import (
	"context"
	"time"

	"kitspan/internal/postgres"
)

type migrateCommand struct {
	DatabaseURL string        `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" required:"" help:"The database, as the role that owns the schema."`
	Timeout     time.Duration `name:"migrate-timeout" env:"KITSPAN_MIGRATE_TIMEOUT" default:"10m" help:"How long it may take."`
}

// Run brings the schema up to date; a database that is up to date stays as it is.
func (c *migrateCommand) Run(ctx context.Context, std streams) error {
	if err := migrateWithin(ctx, c.DatabaseURL, c.Timeout); err != nil {
		return reached(err)
	}
	version, _, err := postgres.Version(ctx, c.DatabaseURL)
	if err != nil {
		return err
	}
	std.say("The schema is at version %d.", version)
	return nil
}
