//go:build unix

package pgserver

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
)

// launch starts the server program, writing to a fresh log.
func (s *Server) launch(account account, durable bool, logPath string) error {
	args := []string{"-D", s.cluster, "-k", s.socketDir, "-p", strconv.Itoa(serverPort),
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
	cmd := exec.Command(s.bin.path("postgres"), args...) //nolint:noctx // a context would kill it; Stop lets it finish
	cmd.Dir = s.cluster
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
		s.waitErr = cmd.Wait()
		close(s.done)
	}()
	if err := <-started; err != nil {
		return fmt.Errorf("start %s: %w", cmd.Path, err)
	}
	s.proc = cmd.Process
	return nil
}

// waitReady returns when a session can be opened.
func (s *Server) waitReady(ctx context.Context, logPath string) error {
	ctx, cancel := context.WithTimeout(ctx, readyTimeout)
	defer cancel()
	for {
		conn, err := pgx.Connect(ctx, s.URL("postgres"))
		if err == nil {
			return conn.Close(ctx)
		}
		select {
		case <-s.done:
			return fmt.Errorf("the server ended while starting (%w); the end of %s:\n%s",
				errors.Join(errEndedEarly, s.waitErr), logPath, tail(logPath))
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
