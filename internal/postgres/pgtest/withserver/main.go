// Command withserver runs one command, the whole test suite for example, with one PostgreSQL server for all that it starts:
//
//	withserver COMMAND [ARGUMENT…]
//
// It starts a server as package pgtest chooses, says which on standard error before and after, gives its address to the command in
// KITSPAN_TEST_DATABASE_URL, and stops the server when the command ends. Its exit status is the command's.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"syscall"

	"kitspan/internal/postgres/pgtest"
)

func main() {
	if len(os.Args) < 2 {
		fmt.Fprintln(os.Stderr, "usage: withserver COMMAND [ARGUMENT…]")
		os.Exit(2)
	}
	code, err := run(os.Args[1:])
	if err != nil {
		fmt.Fprintln(os.Stderr, "withserver:", err)
		code = max(code, 1)
	}
	os.Exit(code)
}

func run(command []string) (code int, err error) {
	// A signal ends the command, not us: the server must be stopped after it.
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer signal.Stop(signals)

	server, err := pgtest.Start(context.Background())
	if err != nil {
		return 1, err
	}
	fmt.Fprintln(os.Stderr, "database tests run on:", server.Path)
	defer func() {
		err = errors.Join(err, server.Stop())
		fmt.Fprintln(os.Stderr, "database tests ran on:", server.Path)
	}()

	cmd := exec.Command(command[0], command[1:]...) //nolint:noctx // signals go to it as they come
	cmd.Env = append(os.Environ(), pgtest.EnvURL+"="+server.URL)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = os.Stdin, os.Stdout, os.Stderr
	if err := cmd.Start(); err != nil {
		return 1, err
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	for {
		select {
		case s := <-signals:
			// From a terminal the command has had its own; a second one of the same is what an impatient user would send.
			if err := cmd.Process.Signal(s); err != nil && !errors.Is(err, os.ErrProcessDone) {
				return 1, err
			}
		case err := <-ended:
			var exit *exec.ExitError
			if errors.As(err, &exit) {
				return max(exit.ExitCode(), 1), nil
			}
			return 0, err
		}
	}
}
