package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"path/filepath"
	"strings"
	"time"

	"kitspan/internal/account"
	"kitspan/internal/office"
	"kitspan/internal/pgserver"
	"kitspan/internal/postgres"
	"kitspan/internal/text"
)

type serveCommand struct {
	schemaFlags
	workFlags

	Addr        string  `env:"KITSPAN_ADDR" default:"127.0.0.1:8080" help:"Address to listen on."`
	DatabaseURL string  `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" help:"The database. Without one a private PostgreSQL is started from the machine's own programs, with the demo catalogue."`
	DataDir     string  `name:"data-dir" env:"KITSPAN_DATA_DIR" placeholder:"DIR" help:"Where the private PostgreSQL and a staff token made here are kept. Default: kitspan in the user's data folder; for root /var/lib/kitspan."`
	StaffToken  string  `name:"staff-token" env:"KITSPAN_STAFF_TOKEN" placeholder:"TOKEN" help:"What writers present as bearer token. Where unset, one is made at the first start, kept in the data folder and printed."`
	Proxies     proxies `name:"trusted-proxies" env:"KITSPAN_TRUSTED_PROXIES" placeholder:"LIST" help:"Addresses or ranges, separated by commas, of the servers in front of this one (as 10.0.0.0/8,192.0.2.7): X-Forwarded-For and X-Forwarded-Proto are believed from there alone."`
	MetricsAddr string  `name:"metrics-addr" env:"KITSPAN_METRICS_ADDR" placeholder:"ADDR" help:"Address on which /metrics, /healthz and /readyz answer everybody, such as 127.0.0.1:9090: keep it from the public. Without it /metrics wants the staff token."`
	LogLevel    string  `name:"log-level" env:"KITSPAN_LOG_LEVEL" enum:"debug,info,warn,error" default:"info" help:"Least level that is logged: ${enum}."`
	Example     string  `placeholder:"FILE" help:"Once listening, size the shot in this file and print the plan."`
}

// Run serves until ctx ends, then lets running requests finish. Nothing listens before the database has the program's schema. Being
// stopped is no error, neither while serving nor before.
func (c *serveCommand) Run(ctx context.Context, std streams) error {
	err := c.serve(ctx, std)
	if ctx.Err() != nil && errors.Is(err, context.Canceled) {
		std.warn("Stopped before it listened.")
		return nil
	}
	return err
}

func (c *serveCommand) serve(ctx context.Context, std streams) (err error) {
	log := newLog(std, c.LogLevel)
	capacity, err := c.capacity()
	if err != nil {
		return err
	}
	c.leaveRoom()
	url, own, err := c.database(ctx, std)
	if err != nil {
		return err
	}
	if own != nil {
		defer func() { err = errors.Join(err, own.Stop()) }()
		var cancel context.CancelCauseFunc
		ctx, cancel = context.WithCancelCause(ctx)
		defer cancel(nil)
		go func() {
			<-own.Done() // at the latest when it is stopped above
			cancel(errDatabaseEnded)
		}()
	}
	if err := c.prepare(ctx, url); err != nil {
		return c.reached(err)
	}
	pool, err := postgres.Open(ctx, url)
	if err != nil {
		return c.reached(err)
	}
	defer pool.Close()
	store := postgres.NewCatalogue(pool)
	if c.DatabaseURL == "" {
		if _, err := store.Seed(ctx); err != nil {
			return err
		}
	}
	token, told, err := c.token()
	if err != nil {
		return err
	}
	staff, err := account.NewStaff(token, time.Now)
	if err != nil {
		return err
	}
	runs, err := postgres.NewPlanRuns(pool, log)
	if err != nil {
		return err
	}
	faces, err := newFaces(facesOptions{
		storage: store, jobs: postgres.NewJobs(pool), runs: runs, sessions: postgres.NewSessions(pool), staff: staff, capacity: capacity, proxies: c.Proxies, log: log, now: time.Now,
	})
	if err != nil {
		return err
	}
	stop, err := c.planBehind(ctx, runs, faces.planner, log)
	if err != nil {
		return err
	}
	defer stop()
	return c.listen(ctx, std, log, ordinary(capacity.Longest()), faces.public, faces.private, stored{store}, told)
}

// database is the address of the database to use, and the private server where there is no other.
func (c *serveCommand) database(ctx context.Context, std streams) (url string, own *pgserver.Server, err error) {
	if c.DatabaseURL != "" {
		return c.DatabaseURL, nil, nil
	}
	dir, err := c.dataDir()
	if err != nil {
		return "", nil, err
	}
	std.warn("Starting a private PostgreSQL in %s …", dir)
	own, err = startPrivate(ctx, filepath.Join(dir, "postgres"))
	if err != nil {
		return "", nil, fmt.Errorf("%w\n(or name a running database with --database-url)", err)
	}
	if err := own.CreateDatabase(ctx, databaseName); err != nil {
		return "", nil, errors.Join(err, own.Stop())
	}
	return own.URL(databaseName), own, nil
}

// reached words a failure to connect; the private server has no address that the user gave.
func (c *serveCommand) reached(err error) error {
	if c.DatabaseURL == "" {
		return err
	}
	return reached(err)
}

var errDatabaseEnded = errors.New("the private PostgreSQL has ended: see server.log in its data folder")

const databaseName = "kitspan"

// listen answers until ctx ends, then lets running requests finish. The address and told, a line about the staff token, are printed last.
func (c *serveCommand) listen(ctx context.Context, std streams, log *slog.Logger, t times, pages, metrics http.Handler, stock office.Stock, told string) error {
	front, err := listen(ctx, site{"--addr", c.Addr, pages, c.Connections}, t, log)
	if err != nil {
		return err
	}
	running := []*running{front}
	if c.MetricsAddr != "" {
		own, err := listen(ctx, site{"--metrics-addr", c.MetricsAddr, metrics, 0}, t, log)
		if err != nil {
			return errors.Join(err, front.stop(t, log))
		}
		running = append(running, own)
		std.say("Metrics are on http://%s/metrics", reachable(own.at))
	}
	exampleErr := c.example(ctx, std, stock)
	if ctx.Err() != nil {
		exampleErr = nil // stopped meanwhile
	}
	if exampleErr == nil {
		std.say("Kitspan listens on http://%s", reachable(front.at))
		if told != "" {
			std.say("%s", told)
		}
		select {
		case err := <-front.ended:
			front.ended <- err
		case <-ctx.Done():
		}
	}
	log.Info("stopping: no new requests, running ones are finished", slog.String("within", (t.drain+t.last).String()))
	var errs []error
	for _, r := range running {
		errs = append(errs, r.stop(t, log))
	}
	if cause := context.Cause(ctx); errors.Is(cause, errDatabaseEnded) {
		errs = append([]error{cause}, errs...)
	}
	return errors.Join(append([]error{exampleErr}, errs...)...)
}

// example prints the plan of a shot, sized from the database.
func (c *serveCommand) example(ctx context.Context, std streams, stock office.Stock) error {
	if c.Example == "" {
		return nil
	}
	result, err := sizeFile(ctx, stock, c.Example, "", std.in)
	if err != nil {
		return fmt.Errorf("example %s: %w", c.Example, err)
	}
	std.say("")
	if err := text.WritePlan(std.out, text.Metres, result); err != nil {
		return err
	}
	std.say("")
	return nil
}

func newLog(std streams, level string) *slog.Logger {
	var least slog.Level
	if err := least.UnmarshalText([]byte(strings.ToUpper(level))); err != nil {
		least = slog.LevelInfo // the command line takes the four words alone
	}
	return slog.New(slog.NewJSONHandler(std.err, &slog.HandlerOptions{Level: least}))
}
