//go:build unix

package postgres

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
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

// PrivateOptions says how to run a private server.
type PrivateOptions struct {
	// DataDir holds everything the server needs: cluster/ (the databases), server.log, lock and, where its path is short enough,
	// run/ (the socket). It is made where missing. As root it must lie where the server's user can reach it.
	DataDir string
	// Durable keeps what is committed through a crash of the machine. Without it the server is quicker, for tests alone.
	Durable bool
}

// Private is a PostgreSQL server of our own, running from the machine's PostgreSQL programs on a Unix socket that only its user can
// reach. It has no TCP port and no password.
type Private struct {
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

// NewPrivate starts a server on opts.DataDir, making a new cluster there at first, and returns when it accepts connections. It runs
// until Stop, or until ctx is cancelled: give it a context that outlives the work on its databases. Should this process be killed,
// the server shuts down by itself on Linux; elsewhere the next start says how to stop it.
//
// As root, which PostgreSQL refuses, it runs as the user postgres, or nobody where there is none.
func NewPrivate(ctx context.Context, opts PrivateOptions) (_ *Private, err error) {
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
	p := &Private{lock: lock, cluster: filepath.Join(dataDir, "cluster"), done: make(chan struct{})}
	defer func() {
		if err != nil {
			p.release()
		}
	}()
	wantMajor, err := clusterMajor(p.cluster)
	if err != nil {
		return nil, err
	}
	bin, err := findPrograms(ctx, wantMajor)
	if err != nil {
		return nil, err
	}
	p.bin = bin
	if wantMajor == 0 {
		err = initCluster(ctx, bin, account, p.cluster, opts.Durable)
	} else {
		err = clearStale(ctx, p.cluster)
	}
	if err != nil {
		return nil, err
	}
	if err := p.makeSocketDir(account, dataDir); err != nil {
		return nil, err
	}
	logPath := filepath.Join(dataDir, "server.log")
	if err := p.launch(account, opts.Durable, logPath); err != nil {
		return nil, err
	}
	if err := p.waitReady(ctx, logPath); err != nil {
		return nil, errors.Join(err, p.Stop())
	}
	detach := context.AfterFunc(ctx, func() { _ = p.Stop() }) // Stop keeps the error for whoever calls it next
	go func() {
		<-p.done
		detach()
	}()
	return p, nil
}

// URL is the address of one of the server's databases, as its superuser. The database postgres is always there.
func (p *Private) URL(database string) string {
	u := url.URL{
		Scheme: "postgres",
		User:   url.User(privateSuperuser),
		Path:   "/" + database,
		RawQuery: url.Values{
			"host":    {p.socketDir},
			"port":    {strconv.Itoa(serverPort)},
			"sslmode": {"disable"},
		}.Encode(),
	}
	return u.String()
}

// CreateDatabase makes the database unless it is there.
func (p *Private) CreateDatabase(ctx context.Context, database string) error {
	conn, err := pgx.Connect(ctx, p.URL("postgres"))
	if err != nil {
		return fmt.Errorf("create database %s: %w", database, Translate(err))
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var there bool
	if err := conn.QueryRow(ctx, `SELECT EXISTS (SELECT 1 FROM pg_database WHERE datname = $1)`, database).Scan(&there); err != nil {
		return fmt.Errorf("create database %s: %w", database, Translate(err))
	}
	if there {
		return nil
	}
	if _, err := conn.Exec(ctx, `CREATE DATABASE `+pgx.Identifier{database}.Sanitize()); err != nil {
		return fmt.Errorf("create database %s: %w", database, Translate(err))
	}
	return nil
}

// Done is closed when the server has ended, by Stop or by itself.
func (p *Private) Done() <-chan struct{} { return p.done }

// Stop ends the server: open transactions are rolled back, connections closed, data written. It may be called more than once and by
// several goroutines; all wait for the end and get the same answer.
func (p *Private) Stop() error {
	p.stopOnce.Do(func() {
		p.stopErr = p.end()
		p.release()
	})
	return p.stopErr
}

// end asks for a fast shutdown, then for an immediate one, then kills.
func (p *Private) end() error {
	for _, step := range []struct {
		signal syscall.Signal
		wait   time.Duration
	}{{syscall.SIGINT, fastStopTimeout}, {syscall.SIGQUIT, hardStopTimeout}, {syscall.SIGKILL, hardStopTimeout}} {
		if err := p.proc.Signal(step.signal); err != nil && !errors.Is(err, os.ErrProcessDone) {
			return fmt.Errorf("stop private PostgreSQL (process %d): %w", p.proc.Pid, err)
		}
		select {
		case <-p.done:
			if step.signal == syscall.SIGKILL {
				return fmt.Errorf("private PostgreSQL (process %d) had to be killed; it will recover at the next start", p.proc.Pid)
			}
			if p.waitErr != nil {
				return fmt.Errorf("private PostgreSQL ended badly: %w", p.waitErr)
			}
			return nil
		case <-time.After(step.wait):
		}
	}
	return fmt.Errorf("private PostgreSQL (process %d) does not end", p.proc.Pid)
}

// release gives back the lock and a temporary socket folder.
func (p *Private) release() {
	if p.ownSocket {
		_ = os.RemoveAll(p.socketDir) // an empty folder under the temporary one is no reason to fail
	}
	_ = p.lock.Close() // and with it the lock
}

// launch starts the server program, writing to a fresh log.
func (p *Private) launch(account account, durable bool, logPath string) error {
	args := []string{"-D", p.cluster, "-k", p.socketDir, "-p", strconv.Itoa(serverPort),
		"-c", "listen_addresses=", "-c", "unix_socket_permissions=0700"}
	if !durable {
		args = append(args, "-c", "fsync=off", "-c", "synchronous_commit=off", "-c", "full_page_writes=off",
			"-c", "max_connections=300")
	}
	log, err := os.Create(logPath)
	if err != nil {
		return err
	}
	defer log.Close()                                    // the child has its own handle
	cmd := exec.Command(p.bin.path("postgres"), args...) //nolint:noctx // a context would kill it; Stop lets it finish
	cmd.Dir = p.cluster
	cmd.Env = serverEnv()
	cmd.Stdout, cmd.Stderr = log, log
	cmd.SysProcAttr = account.attributes()
	stopWithParent(cmd.SysProcAttr)

	started := make(chan error)
	go func() {
		// On Linux the parent-death signal goes out when the thread that started the child ends, so keep that thread to the end.
		runtime.LockOSThread()
		err := cmd.Start()
		started <- err
		if err != nil {
			return
		}
		p.waitErr = cmd.Wait()
		close(p.done)
	}()
	if err := <-started; err != nil {
		return fmt.Errorf("start %s: %w", cmd.Path, err)
	}
	p.proc = cmd.Process
	return nil
}

// waitReady returns when a session can be opened.
func (p *Private) waitReady(ctx context.Context, logPath string) error {
	ctx, cancel := context.WithTimeout(ctx, readyTimeout)
	defer cancel()
	for {
		conn, err := pgx.Connect(ctx, p.URL("postgres"))
		if err == nil {
			return conn.Close(ctx)
		}
		select {
		case <-p.done:
			return fmt.Errorf("the server ended while starting (%w); the end of %s:\n%s",
				errors.Join(errEndedEarly, p.waitErr), logPath, tail(logPath))
		case <-ctx.Done():
			return fmt.Errorf("the server does not answer (%w); the end of %s:\n%s", errors.Join(ctx.Err(), err), logPath, tail(logPath))
		case <-time.After(readyPoll):
		}
	}
}

// serverEnv keeps the caller's PG… variables and language out of the server.
func serverEnv() []string {
	return []string{"PATH=" + os.Getenv("PATH"), "LC_ALL=C.UTF-8", "TZ=UTC"}
}

// tail returns the last lines of a log.
func tail(path string) string {
	const most = 2000 // bytes: about twenty lines
	text, err := os.ReadFile(path)
	if err != nil {
		return err.Error()
	}
	if len(text) > most {
		text = text[len(text)-most:]
		text = text[bytes.IndexByte(text, '\n')+1:]
	}
	return strings.TrimSpace(string(text))
}
