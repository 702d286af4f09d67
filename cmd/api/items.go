package main

import (
	"context"
	"time"

	"kitspan/internal/rest"
)

type itemsCommand struct {
	House       string `arg:"" help:"The house's short name."`
	Kind        string `help:"Only items of this kind."`
	DatabaseURL string `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" help:"Use the catalogue of this database, not the built-in demo."`
}

// Run prints the items as one JSON list, each in the form of GET /v1/houses/{house}/items.
func (c *itemsCommand) Run(ctx context.Context, std streams) error {
	stock, done, err := openStock(ctx, c.DatabaseURL)
	if err != nil {
		return err
	}
	defer done()
	body, err := rest.NewDesk(stock, time.Now).ItemsJSON(ctx, c.House, c.Kind)
	if err != nil {
		return err
	}
	_, err = std.out.Write(body)
	return err
}
