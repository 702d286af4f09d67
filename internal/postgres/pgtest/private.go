package pgtest

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"

	"kitspan/internal/pgserver"
)

// StartServer starts a private server of the test's own, for what a shared one cannot show: to be stopped, frozen, or asked by its own
// programs. It ends with the test.
func StartServer(t testing.TB, opts pgserver.Options) *pgserver.Server {
	t.Helper()
	s, err := pgserver.Start(t.Context(), opts)
	if errors.Is(err, pgserver.ErrNoPrograms) {
		Missing(t, err)
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Stop(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// DataDir returns a data folder for a private server. It goes with the test.
func DataDir(t testing.TB) string {
	t.Helper()
	dir, remove, err := makeDataDir()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := remove(); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// makeDataDir returns a data folder in a temporary one, which remove removes.
func makeDataDir() (dir string, remove func() error, err error) {
	parent, err := os.MkdirTemp("", "kitspan-test-")
	if err != nil {
		return "", nil, err
	}
	remove = func() error { return os.RemoveAll(parent) }
	// A temporary folder is closed to others, and as root the server runs as another user: the data folder would be out of its reach.
	if err := os.Chmod(parent, 0o711); err != nil {
		return "", nil, errors.Join(err, remove())
	}
	return filepath.Join(parent, "data"), remove, nil
}

// DumpSchema returns pg_dump's account of the schema of one of the server's databases, without the table that counts the migrations. The
// program is the server's own: one of an older minor version shows marks that the server keeps for itself.
func DumpSchema(t testing.TB, s *pgserver.Server, database string) string {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), s.Program("pg_dump"), "--schema-only", "--no-owner", "--no-privileges",
		"--exclude-table=schema_migrations", "--dbname="+s.URL(database)).Output()
	if exit, ok := errors.AsType[*exec.ExitError](err); ok {
		t.Fatalf("pg_dump: %v: %s", err, exit.Stderr)
	}
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// Freeze stops the processes of the private server on dataDir, sessions included, as a machine that hangs does. They go on by thaw, or
// at the end of the test.
func Freeze(t testing.TB, dataDir string) (thaw func()) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dataDir, "cluster", "postmaster.pid"))
	if err != nil {
		t.Fatal(err)
	}
	first, _, _ := strings.Cut(string(text), "\n")
	var stopped []int
	stop := func(process string) {
		pid, err := strconv.Atoi(process)
		if err != nil {
			t.Fatal(err)
		}
		if err := syscall.Kill(pid, syscall.SIGSTOP); err != nil && !errors.Is(err, syscall.ESRCH) { // a session may have ended
			t.Fatal(err)
		}
		stopped = append(stopped, pid)
	}
	thaw = sync.OnceFunc(func() {
		for _, pid := range stopped {
			_ = syscall.Kill(pid, syscall.SIGCONT) // it may have ended
		}
	})
	t.Cleanup(thaw)
	stop(first) // first, so that it starts no other
	children, err := os.ReadFile(fmt.Sprintf("/proc/%s/task/%s/children", first, first))
	if err != nil {
		Missing(t, fmt.Errorf("the server's processes cannot be found on this system: %w", err))
	}
	for child := range strings.FieldsSeq(string(children)) {
		stop(child)
	}
	return thaw
}
