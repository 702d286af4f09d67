//go:build unix

// Package pgserver is the process of a private PostgreSQL server: made from the PostgreSQL programs on the machine, for a laptop without
// a database and for tests.
//
// Start finds the programs, makes the cluster and runs a Server on it, which Stop ends. What is kept in its databases is the business of
// package postgres; the two do not know each other, and commands and tests join them by an address.
package pgserver

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"syscall"
	"time"

	"github.com/jackc/pgx/v5"
)

// Times of a private server; common practice, no source. Recovery after a crash may take most of readyTimeout, a start takes a second.
const (
	readyTimeout     = 60 * time.Second
	readyPoll        = 20 * time.Millisecond
	fastStopTimeout  = 20 * time.Second
	hardStopTimeout  = 5 * time.Second
	orphanTimeout    = 5 * time.Second
	orphanPoll       = 50 * time.Millisecond
	serverPort       = 5432 // names the socket only: no TCP port is opened
	privateSuperuser = "postgres"
)

var errEndedEarly = errors.New("not ready")

// Options configure a private server.
type Options struct {
	// DataDir holds everything the server needs: cluster/ (the databases), server.log, lock and, where its path is short enough,
	// run/ (the socket). It is made where missing. As root it must lie where the server's user can reach it.
	DataDir string
	// Durable keeps what is committed through a crash of the machine. Without it the server is quicker, for tests alone.
	Durable bool
}

// Server is a PostgreSQL server of our own, running from the machine's PostgreSQL programs on a Unix socket that only its user can
// reach. It has no TCP port and no password.
type Server struct {
	socketDir string
	ownSocket bool // socketDir is temporary and goes with the server
	lock      *os.File
	cluster   string
	bin       programs

	proc     *os.Process
	done     chan struct{} // closed when the server has ended, after waitErr is set
	waitErr  error
	stopOnce sync.Once
	stopErr  error
}

// Start starts a server on opts.DataDir, making a new cluster there at first, and returns when it accepts connections. It runs
// until Stop, or until ctx is cancelled: give it a context that outlives the work on its databases. Should this process be killed,
// the server shuts down by itself on Linux; elsewhere the next start says how to stop it.
//
// As root, which PostgreSQL refuses, it runs as the user postgres, or nobody where there is none.
func Start(ctx context.Context, opts Options) (_ *Server, err error) {
	if opts.DataDir == "" {
		return nil, errors.New("private PostgreSQL: no data folder given")
	}
	defer func() {
		if err != nil {
			err = fmt.Errorf("private PostgreSQL in %s: %w", opts.DataDir, err)
		}
	}()
	dataDir, err := filepath.Abs(opts.DataDir)
	if err != nil {
		return nil, err
	}
	account, err := serverAccount()
	if err != nil {
		return nil, err
	}
	if err := account.makeDataDir(dataDir); err != nil {
		return nil, err
	}
	lock, err := lockDataDir(dataDir)
	if err != nil {
		return nil, err
	}
	s := &Server{lock: lock, cluster: filepath.Join(dataDir, "cluster"), done: make(chan struct{})}
	defer func() {
		if err != nil {
			s.release()
		}
	}()
	wantMajor, err := clusterMajor(s.cluster)
	if err != nil {
		return nil, err
	}
	bin, err := findPrograms(ctx, wantMajor)
	if err != nil {
		return nil, err
	}
	s.bin = bin
	if wantMajor == 0 {
		err = initCluster(ctx, bin, account, s.cluster, opts.Durable)
	} else {
		err = clearStale(ctx, s.cluster)
	}
	if err != nil {
		return nil, err
	}
	if err := s.makeSocketDir(account, dataDir); err != nil {
		return nil, err
	}
	logPath := filepath.Join(dataDir, "server.log")
	if err := s.launch(account, opts.Durable, logPath); err != nil {
		return nil, err
	}
	if err := s.waitReady(ctx, logPath); err != nil {
		return nil, errors.Join(err, s.Stop())
	}
	detach := context.AfterFunc(ctx, func() { _ = s.Stop() }) // Stop keeps the error for whoever calls it next
	go func() {
		<-s.done
		detach()
	}()
	return s, nil
}

// URL returns the address of one of the server's databases, as its superuser. The database postgres is always there.
func (s *Server) URL(database string) string {
	u := url.URL{
		Scheme: "postgres",
		User:   url.User(privateSuperuser),
		Path:   "/" + database,
		RawQuery: url.Values{
			"host":    {s.socketDir},
			"port":    {strconv.Itoa(serverPort)},
			"sslmode": {"disable"},
		}.Encode(),
	}
	return u.String()
}

// CreateDatabase makes the database unless it is there.
func (s *Server) CreateDatabase(ctx context.Context, database string) error {
	conn, err := pgx.Connect(ctx, s.URL("postgres"))
	if err != nil {
		return fmt.Errorf("create database %s: %w", database, err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var there bool
	if err := conn.QueryRow(ctx, `SELECT EXISTS (SELECT 1 FROM pg_database WHERE datname = $1)`, database).Scan(&there); err != nil {
		return fmt.Errorf("create database %s: %w", database, err)
	}
	if there {
		return nil
	}
	if _, err := conn.Exec(ctx, `CREATE DATABASE `+pgx.Identifier{database}.Sanitize()); err != nil {
		return fmt.Errorf("create database %s: %w", database, err)
	}
	return nil
}

// Program returns the path of one of the server's own programs, such as pg_dump, which want a server of their own version.
func (s *Server) Program(name string) string { return s.bin.path(name) }

// Done returns a channel that is closed when the server has ended, by Stop or by itself.
func (s *Server) Done() <-chan struct{} { return s.done }

// Stop ends the server: open transactions are rolled back, connections closed, data written. It may be called more than once and by
// several goroutines; all wait for the end and get the same answer.
func (s *Server) Stop() error {
	s.stopOnce.Do(func() {
		s.stopErr = s.end()
		s.release()
	})
	return s.stopErr
}

// end asks for a fast shutdown, then for an immediate one, then kills.
func (s *Server) end() error {
	for _, step := range []struct {
		signal syscall.Signal
		wait   time.Duration
	}{{syscall.SIGINT, fastStopTimeout}, {syscall.SIGQUIT, hardStopTimeout}, {syscall.SIGKILL, hardStopTimeout}} {
		if err := s.proc.Signal(step.signal); err != nil && !errors.Is(err, os.ErrProcessDone) {
			return fmt.Errorf("stop private PostgreSQL (process %d): %w", s.proc.Pid, err)
		}
		select {
		case <-s.done:
			if step.signal == syscall.SIGKILL {
				return fmt.Errorf("private PostgreSQL (process %d) had to be killed; it will recover at the next start", s.proc.Pid)
			}
			if s.waitErr != nil {
				return fmt.Errorf("private PostgreSQL ended badly: %w", s.waitErr)
			}
			return nil
		case <-time.After(step.wait):
		}
	}
	return fmt.Errorf("private PostgreSQL (process %d) does not end", s.proc.Pid)
}

// release gives back the lock and a temporary socket folder.
func (s *Server) release() {
	if s.ownSocket {
		_ = os.RemoveAll(s.socketDir) // an empty folder under the temporary one is no reason to fail
	}
	_ = s.lock.Close() // and with it the lock
}
