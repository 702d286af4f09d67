// Command load measures what a running api takes: how soon it answers after its start, how many shots it sizes per second, how long
// one takes at a steady rate, and how much memory it holds meanwhile. With -flood it measures instead whether the program
// stays alive to a probe under requests that are heavier than it can answer, and how soon it rests when all clients left.
//
//	load -api bin/api -database postgres://… [-examples docs/examples]
//	load -target http://127.0.0.1:8080
//	load … -flood -workers 50 -duration 20s
//
// With -api it makes a database of its own on the given server, seeds it with the demo catalogue, starts the program on it, and takes
// everything away at the end. With -target it only sends, to this machine alone. Either way it ends by itself: times, rates and
// connections are bounded. Its status is 1 where something failed or an answer was not 200; figures are never a failure.
//
// It is a module apart, so that what it needs does not come into the program's own go.mod.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"net"
	"net/url"
	"os"
	"os/signal"
	"syscall"
	"time"
)

// Bounds of what may be asked for: enough for a steady figure, too little to hurt.
const (
	greatestDuration = time.Minute
	greatestRate     = 2000
	greatestWorkers  = 64
	greatestStarts   = 50
)

type settings struct {
	api, database, target, examples string
	without                         string
	rate, workers, starts           int
	duration                        time.Duration
	flood                           bool
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := run(ctx); err != nil {
		fmt.Fprintln(os.Stderr, "load:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context) error {
	s, err := parse()
	if err != nil {
		return err
	}
	shots, err := s.readShots()
	if err != nil {
		return err
	}
	if s.target != "" {
		if s.flood {
			return flood(ctx, s, s.target, oneHourOf(shots), nil)
		}
		return sendAll(ctx, s, s.target, shots)
	}
	return withDatabase(ctx, s.database, func(database string) error {
		if err := prepare(ctx, s.api, database); err != nil {
			return err
		}
		if !s.flood {
			if err := coldStarts(ctx, s, database); err != nil {
				return err
			}
		}
		server, _, err := start(ctx, s.api, database)
		if err != nil {
			return err
		}
		idle, err := server.memory()
		switch {
		case err != nil:
		case s.flood:
			err = flood(ctx, s, server.address, oneHourOf(shots), server.computed)
		default:
			err = sendAll(ctx, s, server.address, shots)
		}
		if err == nil {
			var after memory
			if after, err = server.memory(); err == nil {
				fmt.Printf("resident memory: %.0f MB after the start, %.0f MB after the load, at most %.0f MB in between\n",
					idle.nowMB, after.nowMB, after.mostMB)
			}
		}
		return errors.Join(err, server.stop())
	})
}

func parse() (settings, error) {
	var s settings
	flag.StringVar(&s.api, "api", "", "program to start and measure")
	flag.StringVar(&s.database, "database", os.Getenv("KITSPAN_TEST_DATABASE_URL"),
		"PostgreSQL server on which -api gets a database of its own (default: KITSPAN_TEST_DATABASE_URL)")
	flag.StringVar(&s.target, "target", "", "server that runs already on this machine, in place of -api")
	flag.StringVar(&s.examples, "examples", "docs/examples", "folder with the bodies of requests")
	flag.StringVar(&s.without, "without", "", "examples to leave out, by the start of their names, with commas between them: 09,04 (of a flood: lamps, zones, day, empty)")
	flag.IntVar(&s.rate, "rate", 250, "sizings per second at which the time of one is measured")
	flag.IntVar(&s.workers, "workers", 8, "connections that send one request after the other when the most per second is measured")
	flag.IntVar(&s.starts, "starts", 10, "how often the program is started to measure how soon it is ready")
	flag.DurationVar(&s.duration, "duration", 10*time.Second, "how long each measurement lasts")
	flag.BoolVar(&s.flood, "flood", false, "send heavy requests instead, by -workers clients of which every second leaves early, and measure /healthz meanwhile")
	flag.Parse()
	switch {
	case flag.NArg() > 0:
		return s, fmt.Errorf("unknown argument %q", flag.Arg(0))
	case (s.api == "") == (s.target == ""):
		return s, errors.New("give either -api or -target")
	case s.api != "" && s.database == "":
		return s, errors.New("give -database beside -api")
	case s.duration < time.Second || s.duration > greatestDuration:
		return s, fmt.Errorf("-duration is %s: give 1s to %s", s.duration, greatestDuration)
	case s.rate < 1 || s.rate > greatestRate:
		return s, fmt.Errorf("-rate is %d: give 1 to %d", s.rate, greatestRate)
	case s.workers < 1 || s.workers > greatestWorkers:
		return s, fmt.Errorf("-workers is %d: give 1 to %d", s.workers, greatestWorkers)
	case s.starts < 1 || s.starts > greatestStarts:
		return s, fmt.Errorf("-starts is %d: give 1 to %d", s.starts, greatestStarts)
	}
	if s.target != "" {
		return s, onThisMachine(s.target)
	}
	return s, nil
}

// onThisMachine refuses an address elsewhere: load is for one's own server.
func onThisMachine(address string) error {
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "http" || u.Path != "" && u.Path != "/" {
		return fmt.Errorf("-target is %q: give http://127.0.0.1:PORT", address)
	}
	if ip := net.ParseIP(u.Hostname()); u.Hostname() == "localhost" || ip != nil && ip.IsLoopback() {
		return nil
	}
	return fmt.Errorf("-target is %q: only this machine is loaded, by a loopback address", address)
}
