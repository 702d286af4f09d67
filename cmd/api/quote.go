package main

import (
	"context"
	"fmt"
	"io"

	"kitspan/internal/phrase"
	"kitspan/internal/rest"
	"kitspan/internal/text"
)

type quoteCommand struct {
	Job         string `arg:"" help:"File with a body of POST /v1/plans and, if wanted, a member quote; - is standard input."`
	DatabaseURL string `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" help:"Use the catalogue of this database, not the built-in demo."`
	Format      string `enum:"json,text,csv" default:"json" help:"json, text or csv."`
	Out         string `placeholder:"FILE" help:"Write there and not to standard output."`
	Text        bool   `help:"Short for --format text."`
	Lang        string `enum:",en,de,pt,fr,es" default:"" help:"Language of the words: en, de, pt, fr or es; else that of the quote."`
}

// Run plans the job, prices the plan and prints the quote.
func (c *quoteCommand) Run(ctx context.Context, std streams) error {
	stock, done, err := openStock(ctx, c.DatabaseURL)
	if err != nil {
		return err
	}
	defer done()
	body, err := readAll(ctx, c.Job, std.in)
	if err != nil {
		return fmt.Errorf("read the job: %w", err)
	}
	q, to, err := deskOn(stock, c.DatabaseURL).QuoteJSON(ctx, body)
	if err != nil {
		return err
	}
	if l := phrase.Named(c.Lang); l != nil {
		to = to.In(l)
	}
	if c.Text {
		c.Format = "text"
	}
	return writeTo(c.Out, std.out, func(w io.Writer) error {
		switch c.Format {
		case "text":
			return text.WriteQuote(w, to, q)
		case "csv":
			return rest.WriteQuoteCSV(w, to, q)
		}
		answer, err := rest.MadeQuoteJSON(to, q)
		if err != nil {
			return err
		}
		_, err = w.Write(answer)
		return err
	})
}
