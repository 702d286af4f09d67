package main

import (
	"context"

	"kitspan/internal/postgres"
)

type migrateCommand struct {
	DatabaseURL string `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" required:"" help:"The database."`
}

// Run brings the schema up to date; a database that is up to date stays as it is.
func (c *migrateCommand) Run(ctx context.Context, std streams) error {
	if err := postgres.MigrateUp(ctx, c.DatabaseURL); err != nil {
		return reached(err)
	}
	version, _, err := postgres.Version(ctx, c.DatabaseURL)
	if err != nil {
		return err
	}
	std.say("The schema is at version %d.", version)
	return nil
}
