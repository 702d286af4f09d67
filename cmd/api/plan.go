package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"kitspan/internal/phrase"
	"kitspan/internal/rest"
	"kitspan/internal/text"
)

type planCommand struct {
	Job         string `arg:"" help:"File with the body of POST /v1/plans; - is standard input."`
	DatabaseURL string `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" help:"Use the catalogue of this database, not the built-in demo."`
	Format      string `enum:"json,text" default:"json" help:"json or text."`
	Out         string `placeholder:"FILE" help:"Write there and not to standard output."`
	Text        bool   `help:"Short for --format text."`
	Lang        string `enum:"en,de,pt,fr,es" default:"en" help:"Language of text: en, de, pt, fr or es."`
}

// Run prints the response's body, or the plan for people.
func (c *planCommand) Run(ctx context.Context, std streams) error {
	stock, done, err := openStock(ctx, c.DatabaseURL)
	if err != nil {
		return err
	}
	defer done()
	body, err := readAll(ctx, c.Job, std.in)
	if err != nil {
		return fmt.Errorf("read the job: %w", err)
	}
	plan, pool, err := deskOn(stock, c.DatabaseURL).PlanJSON(ctx, body)
	if err != nil {
		return err
	}
	if c.Text || c.Format == "text" {
		return writeTo(c.Out, std.out, func(w io.Writer) error { return text.WriteJob(w, text.Metres.In(phrase.Named(c.Lang)), plan) })
	}
	answer, err := rest.JobPlanJSON(plan, pool)
	if err != nil {
		return err
	}
	return writeTo(c.Out, std.out, func(w io.Writer) error { _, err := w.Write(answer); return err })
}

// writeTo writes to a file, to standard output where its name is empty.
func writeTo(path string, std io.Writer, write func(io.Writer) error) error {
	if path == "" {
		return write(std)
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := write(f); err != nil {
		_ = f.Close() // what was not written whole is an error already
		return err
	}
	return f.Close()
}
