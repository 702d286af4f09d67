package main

import (
	"context"
	"fmt"
	"time"

	"kitspan/internal/phrase"
	"kitspan/internal/rest"
	"kitspan/internal/text"
)

type reachCommand struct {
	Shot        string   `arg:"" help:"File with the body of POST /v1/reaches, or of a sizing where --frame is given; - is standard input."`
	Frame       []string `placeholder:"SKU" help:"A frame of the house, in place of the file's; once for each, or several with commas between."`
	DatabaseURL string   `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" help:"Use the catalogue of this database, not the built-in demo."`
	Text        bool     `help:"Print a table for people, not JSON."`
	Lang        string   `enum:"en,de,pt,fr,es" default:"en" help:"Language of --text: en, de, pt, fr or es."`
}

// Run prints the response's body.
func (c *reachCommand) Run(ctx context.Context, std streams) error {
	stock, done, err := openStock(ctx, c.DatabaseURL)
	if err != nil {
		return err
	}
	defer done()
	body, err := readAll(ctx, c.Shot, std.in)
	if err != nil {
		return fmt.Errorf("read the shot: %w", err)
	}
	result, err := rest.NewDesk(stock, time.Now).ReachJSON(ctx, body, func(req *rest.ReachRequest) {
		if len(c.Frame) > 0 {
			req.Frames = &c.Frame
		}
	})
	if err != nil {
		return err
	}
	if c.Text {
		return text.WriteReach(std.out, text.Metres.In(phrase.Named(c.Lang)), result)
	}
	answer, err := rest.ReachResultJSON(result)
	if err != nil {
		return err
	}
	_, err = std.out.Write(answer)
	return err
}
