package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"time"

	"kitspan/docs"
	"kitspan/internal/office"
	"kitspan/internal/postgres"
	"kitspan/internal/rest"
	"kitspan/internal/web"
)

type serveCommand struct {
	schemaFlags

	Addr        string  `env:"KITSPAN_ADDR" default:"127.0.0.1:8080" help:"Address to listen on."`
	DatabaseURL string  `name:"database-url" env:"KITSPAN_DATABASE_URL" placeholder:"URL" help:"The database. Without one a private PostgreSQL is started from the machine's own programs, with the demo catalogue."`
	DataDir     string  `name:"data-dir" env:"KITSPAN_DATA_DIR" placeholder:"DIR" help:"Where the private PostgreSQL and a staff token made here are kept. Default: kitspan in the user's data folder; for root /var/lib/kitspan."`
	StaffToken  string  `name:"staff-token" env:"KITSPAN_STAFF_TOKEN" placeholder:"TOKEN" help:"What writers present as bearer token. Where unset, one is made at the first start, kept in the data folder and printed."`
	Proxies     proxies `name:"trusted-proxies" env:"KITSPAN_TRUSTED_PROXIES" placeholder:"LIST" help:"Addresses or ranges, separated by commas, of the servers in front of this one (as 10.0.0.0/8,192.0.2.7): X-Forwarded-For and X-Forwarded-Proto are believed from there alone."`
	LogLevel    string  `name:"log-level" env:"KITSPAN_LOG_LEVEL" enum:"debug,info,warn,error" default:"info" help:"Least level that is logged: ${enum}."`
	Example     string  `placeholder:"FILE" help:"Once listening, size the shot in this file and print the plan."`
}

// Times of the listening server; common practice, no source. A body of the largest import takes 30 s at 2 MB/s.
const (
	readHeaderTimeout = 5 * time.Second
	readTimeout       = 2 * time.Minute
	writeTimeout      = 3 * time.Minute // longer than the longest request may take
	idleTimeout       = 2 * time.Minute
	drainTimeout      = 20 * time.Second
	maxHeaderBytes    = 64 << 10
)

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
	token, err := c.token(std)
	if err != nil {
		return err
	}
	server, err := rest.New(rest.Options{Storage: store, StaffToken: token, ClientIP: web.ClientIP(c.Proxies), Log: log})
	if err != nil {
		return err
	}
	pages, err := web.New(web.Options{
		Office: server.Office(), Storage: store, StaffToken: token, Sessions: postgres.NewSessions(pool), TrustedProxies: c.Proxies,
		JSON: rest.SizingJSON, Text: writePlan, Cautions: docs.Cautions, Log: log,
	})
	if err != nil {
		return err
	}
	return c.listen(ctx, std, log, faces(server.Handler(), pages.Handler()), stored{store})
}

// faces sends the addresses of the JSON face there, and all others to the pages.
func faces(json, pages http.Handler) http.Handler {
	mux := http.NewServeMux()
	mux.Handle("/", pages)
	for _, path := range []string{"/v1/", "/healthz", "/readyz", "/metrics", "/openapi.json"} {
		mux.Handle(path, json)
	}
	return mux
}

// database is the address of the database to use, and the private server where there is no other.
func (c *serveCommand) database(ctx context.Context, std streams) (url string, own *postgres.Private, err error) {
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

func (c *serveCommand) listen(ctx context.Context, std streams, log *slog.Logger, handler http.Handler, stock office.Stock) error {
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", c.Addr)
	if err != nil {
		return fmt.Errorf("listen on %s: %w (choose another with --addr)", c.Addr, err)
	}
	server := &http.Server{
		Handler: handler, ReadHeaderTimeout: readHeaderTimeout, ReadTimeout: readTimeout, WriteTimeout: writeTimeout,
		IdleTimeout: idleTimeout, MaxHeaderBytes: maxHeaderBytes, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	std.say("Kitspan listens on http://%s", reachable(listener.Addr()))
	exampleErr := c.example(ctx, std, stock)
	if ctx.Err() != nil {
		exampleErr = nil // stopped meanwhile
	}

	if exampleErr == nil {
		select {
		case err := <-ended:
			return fmt.Errorf("serve: %w", err)
		case <-ctx.Done():
		}
	}
	log.Info("stopping: no new requests, running ones are finished", slog.String("within", drainTimeout.String()))
	drain, cancel := context.WithTimeout(context.WithoutCancel(ctx), drainTimeout)
	defer cancel()
	err = server.Shutdown(drain)
	if err != nil {
		err = fmt.Errorf("finish running requests: %w", errors.Join(err, server.Close()))
	}
	if served := <-ended; !errors.Is(served, http.ErrServerClosed) {
		err = errors.Join(err, fmt.Errorf("serve: %w", served))
	}
	if cause := context.Cause(ctx); errors.Is(cause, errDatabaseEnded) {
		err = errors.Join(cause, err)
	}
	return errors.Join(exampleErr, err)
}

// example prints the plan of a shot, sized from the database.
func (c *serveCommand) example(ctx context.Context, std streams, stock office.Stock) error {
	if c.Example == "" {
		return nil
	}
	result, err := sizeFile(ctx, stock, c.Example, std.in)
	if err != nil {
		return fmt.Errorf("example %s: %w", c.Example, err)
	}
	std.say("")
	if err := writePlan(std.out, result); err != nil {
		return err
	}
	std.say("")
	return nil
}

// reachable is an address that a person on this machine can open: a server on every interface is on this one too.
func reachable(addr net.Addr) string {
	host, port, err := net.SplitHostPort(addr.String())
	if err != nil {
		return addr.String()
	}
	if ip := net.ParseIP(host); ip != nil && ip.IsUnspecified() {
		host = "localhost"
	}
	return net.JoinHostPort(host, port)
}

func newLog(std streams, level string) *slog.Logger {
	var least slog.Level
	if err := least.UnmarshalText([]byte(strings.ToUpper(level))); err != nil {
		least = slog.LevelInfo // the command line takes the four words alone
	}
	return slog.New(slog.NewJSONHandler(std.err, &slog.HandlerOptions{Level: least}))
}
