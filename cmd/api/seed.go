package main

import (
	"context"

	"kitspan/internal/postgres"
)

type seedCommand struct {
	DatabaseURL string `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" required:"" help:"The database; migrate it first."`
}

// Run adds the demo houses that are not there yet; what is there stays as it is.
func (c *seedCommand) Run(ctx context.Context, std streams) error {
	pool, err := postgres.Open(ctx, c.DatabaseURL)
	if err != nil {
		return reached(err)
	}
	defer pool.Close()
	added, err := postgres.NewCatalogue(pool).Seed(ctx)
	if err != nil {
		return err
	}
	std.say("%d demo houses added.", added)
	return nil
}
