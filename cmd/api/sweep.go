package main

import (
	"context"
	"fmt"
	"time"

	"kitspan/internal/phrase"
	"kitspan/internal/rest"
	"kitspan/internal/text"
)

type sweepCommand struct {
	Shot        string  `arg:"" help:"File with the body of POST /v1/sweeps, which that of a sizing is too; - is standard input."`
	StepMin     *int    `name:"step-min" placeholder:"N" help:"Minutes from one step to the next, in place of the file's; where both leave it out, 10."`
	From        *string `placeholder:"HH:MM" help:"Local time of the first step, in place of the file's; where both leave it out, sunrise."`
	To          *string `placeholder:"HH:MM" help:"Local time before which the last step begins, in place of the file's; where both leave it out, sunset."`
	DatabaseURL string  `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" help:"Use the catalogue of this database, not the built-in demo."`
	Text        bool    `help:"Print a table for people, not JSON."`
	Lang        string  `enum:"en,de,pt,fr,es" default:"en" help:"Language of --text: en, de, pt, fr or es."`
}

// Run prints the response's body.
func (c *sweepCommand) Run(ctx context.Context, std streams) error {
	stock, done, err := openStock(ctx, c.DatabaseURL)
	if err != nil {
		return err
	}
	defer done()
	body, err := readAll(ctx, c.Shot, std.in)
	if err != nil {
		return fmt.Errorf("read the shot: %w", err)
	}
	result, err := rest.NewDesk(stock, time.Now).SweepJSON(ctx, body, func(req *rest.SweepRequest) {
		if c.StepMin != nil {
			req.StepMin = c.StepMin
		}
		if c.From != nil {
			req.From = c.From
		}
		if c.To != nil {
			req.To = c.To
		}
	})
	if err != nil {
		return err
	}
	if c.Text {
		return text.WriteDay(std.out, text.Metres.In(phrase.Named(c.Lang)), result)
	}
	answer, err := rest.SweepResultJSON(result)
	if err != nil {
		return err
	}
	_, err = std.out.Write(answer)
	return err
}
