package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"kitspan/internal/office"
	"kitspan/internal/phrase"
	"kitspan/internal/rest"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

type sizeCommand struct {
	Shot        string `arg:"" help:"File with the body of POST /v1/sizings; - is standard input."`
	DatabaseURL string `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" help:"Use the catalogue of this database, not the built-in demo."`
	Forecast    string `placeholder:"FILE" help:"File with a wind forecast as CSV: columns at, gust_ms and, if you like, cloud; times without an offset are in the site's zone."`
	Text        bool   `help:"Print the plan for people, not as JSON."`
	Lang        string `enum:"en,de,pt,fr,es" default:"en" help:"Language of --text: en, de, pt, fr or es."`
}

// Run prints the response's body.
func (c *sizeCommand) Run(ctx context.Context, std streams) error {
	stock, done, err := openStock(ctx, c.DatabaseURL)
	if err != nil {
		return err
	}
	defer done()
	result, err := sizeFile(ctx, stock, c.Shot, c.Forecast, std.in)
	if err != nil {
		return err
	}
	if c.Text {
		return text.WritePlan(std.out, text.Metres.In(phrase.Named(c.Lang)), result)
	}
	body, err := rest.SizingJSON(result)
	if err != nil {
		return err
	}
	_, err = std.out.Write(body)
	return err
}

// sizeFile sizes the shot in a file, with the forecast in another; none where its name is empty.
func sizeFile(ctx context.Context, stock office.Stock, path, forecastPath string, stdin io.Reader) (sizing.Result, error) {
	if path == "-" && forecastPath == "-" {
		return sizing.Result{}, errors.New("shot and forecast cannot both be read from standard input: give one of them as a file")
	}
	body, err := readAll(ctx, path, stdin)
	if err != nil {
		return sizing.Result{}, fmt.Errorf("read the shot: %w", err)
	}
	desk := rest.NewDesk(stock, time.Now)
	if forecastPath == "" {
		return desk.SizeJSON(ctx, body)
	}
	forecast, err := readAll(ctx, forecastPath, stdin)
	if err != nil {
		return sizing.Result{}, fmt.Errorf("read the forecast: %w", err)
	}
	return desk.SizeJSONWithForecast(ctx, body, forecast)
}

// readAll reads a file, or standard input for "-". It stops soon after the size that the decoder refuses, and waits for
// standard input no longer than the context lasts.
func readAll(ctx context.Context, path string, stdin io.Reader) ([]byte, error) {
	if path == "-" {
		type read struct {
			body []byte
			err  error
		}
		done := make(chan read, 1) // buffered, so that a reader that nobody waits for any more can end
		go func() {
			body, err := io.ReadAll(io.LimitReader(stdin, rest.MaxBody+1))
			done <- read{body, err}
		}()
		select {
		case r := <-done:
			return r.body, r.err
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // only read from
	return io.ReadAll(io.LimitReader(f, rest.MaxBody+1))
}
