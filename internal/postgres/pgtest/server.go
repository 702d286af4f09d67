package pgtest

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"kitspan/internal/pgserver"
)

// The environment that steers which server the tests get.
const (
	// EnvURL gives the address of a running server where the tests may make databases; nothing is started then.
	EnvURL = "KITSPAN_TEST_DATABASE_URL"
	// EnvServer is container or private to have that one or fail; empty tries the container first.
	EnvServer = "KITSPAN_TEST_SERVER"
	// EnvImage names the container image; empty tries those in the engine, then the registry's.
	EnvImage = "KITSPAN_TEST_IMAGE"
)

// startTimeout holds for everything from pulling an image to the first answer.
const startTimeout = 3 * time.Minute

// Server is a PostgreSQL server for tests.
type Server struct {
	URL  string // of a database that is always there, as a user who may make others
	Path string // in words, which kind of server this is
	stop func() error
}

// Stop ends the server and removes what it stood on. A server that somebody else started goes on.
func (s *Server) Stop() error { return s.stop() }

// Start returns the server that EnvURL names; else one in a container where an engine answers; else a private one from the
// machine's PostgreSQL programs. The server does not outlive its data: nothing is written durably.
func Start(ctx context.Context) (*Server, error) {
	if url := os.Getenv(EnvURL); url != "" {
		return &Server{URL: url, Path: "the server of " + EnvURL, stop: func() error { return nil }}, nil
	}
	ctx, cancel := context.WithTimeout(ctx, startTimeout)
	defer cancel()
	switch kind := os.Getenv(EnvServer); kind {
	case "container":
		return startContainer(ctx)
	case "private":
		return startPrivate(ctx)
	case "":
	default:
		return nil, fmt.Errorf("%s=%s: want container, private or nothing", EnvServer, kind)
	}
	s, containerErr := startContainer(ctx)
	if containerErr == nil {
		return s, nil
	}
	s, privateErr := startPrivate(ctx)
	if privateErr != nil {
		return nil, fmt.Errorf("no PostgreSQL for tests: no container (%w) and no private server (%w)", containerErr, privateErr)
	}
	s.Path += fmt.Sprintf(" (no container: %v)", containerErr)
	return s, nil
}

func startPrivate(ctx context.Context) (*Server, error) {
	dir, remove, err := makeDataDir()
	if err != nil {
		return nil, err
	}
	// The server lives until Stop, not just until it has started.
	p, err := pgserver.Start(context.WithoutCancel(ctx), pgserver.Options{DataDir: dir})
	if err != nil {
		return nil, errors.Join(err, remove())
	}
	return &Server{
		URL:  p.URL("postgres"),
		Path: "private PostgreSQL from the programs on this machine",
		stop: func() error { return errors.Join(p.Stop(), remove()) },
	}, nil
}
