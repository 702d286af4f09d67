//go:build unix

package pgserver_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"kitspan/internal/pgserver"
	"kitspan/internal/postgres/pgtest"
)

// needPrograms ends a test that starts a server itself where the machine has no programs for it.
func needPrograms(t *testing.T) {
	t.Helper()
	if err := pgserver.FindPrograms(t.Context()); err != nil {
		pgtest.Missing(t, err)
	}
}

func query[T any](t *testing.T, url, sql string) T {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(t.Context()))
	var v T
	if err := conn.QueryRow(t.Context(), sql).Scan(&v); err != nil {
		t.Fatal(err)
	}
	return v
}

func TestPrivateServerKeepsItsDataOverARestart(t *testing.T) {
	t.Parallel()
	dir := pgtest.DataDir(t)
	p := pgtest.StartServer(t, pgserver.Options{DataDir: dir, Durable: true})
	if err := p.CreateDatabase(t.Context(), "kit"); err != nil {
		t.Fatal(err)
	}
	if err := p.CreateDatabase(t.Context(), "kit"); err != nil {
		t.Fatalf("a database that is there already: %v", err)
	}
	pgtest.Execute(t, p.URL("kit"), `CREATE TABLE note AS SELECT 'estuary' AS text`)
	for setting, want := range map[string]string{"fsync": "on", "listen_addresses": "", "TimeZone": "UTC", "lc_collate": "C.UTF-8", "server_encoding": "UTF8"} {
		if got := query[string](t, p.URL("kit"), `SELECT current_setting('`+setting+`')`); got != want {
			t.Errorf("%s = %q, want %q", setting, got, want)
		}
	}
	if err := p.Stop(); err != nil {
		t.Fatal(err)
	}
	select {
	case <-p.Done():
	default:
		t.Error("Done is open after Stop")
	}
	if _, err := os.Stat(filepath.Join(dir, "cluster", "postmaster.pid")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("postmaster.pid after Stop: %v, want it gone", err)
	}
	if _, err := pgx.Connect(t.Context(), p.URL("kit")); err == nil {
		t.Error("a connection opened after Stop")
	}

	p = pgtest.StartServer(t, pgserver.Options{DataDir: dir})
	if got := query[string](t, p.URL("kit"), `SELECT text FROM note`); got != "estuary" {
		t.Errorf("after restart read %q", got)
	}
	if got := query[string](t, p.URL("kit"), `SELECT current_setting('fsync')`); got != "off" {
		t.Errorf("not durable: fsync = %q, want off", got)
	}
}

func TestPrivateServerDoesNotRunAsRoot(t *testing.T) {
	t.Parallel()
	p := pgtest.StartServer(t, pgserver.Options{DataDir: pgtest.DataDir(t)})
	info, err := os.Stat(fmt.Sprintf("/proc/%d", p.Process().Pid))
	if err != nil {
		t.Fatal(err)
	}
	uid := int(info.Sys().(*syscall.Stat_t).Uid)
	if os.Geteuid() != 0 { // nothing to give up
		if uid != os.Geteuid() {
			t.Errorf("server runs with uid %d, want our own %d", uid, os.Geteuid())
		}
		return
	}
	want, _, err := pgserver.ServerUser()
	if err != nil {
		t.Fatal(err)
	}
	if uid == 0 || uid != want {
		t.Errorf("server runs with uid %d, want %d", uid, want)
	}
	closed := filepath.Join(pgtest.DataDir(t), "closed")
	if err := os.MkdirAll(closed, 0o700); err != nil {
		t.Fatal(err)
	}
	_, err = pgserver.Start(t.Context(), pgserver.Options{DataDir: filepath.Join(closed, "data")})
	if err == nil || !strings.Contains(err.Error(), "cannot enter "+closed) {
		t.Errorf("a folder that the server's user cannot enter: got error %v", err)
	}
}

func TestPrivateServerRefusesASecondStart(t *testing.T) {
	t.Parallel()
	dir := pgtest.DataDir(t)
	pgtest.StartServer(t, pgserver.Options{DataDir: dir})
	_, err := pgserver.Start(t.Context(), pgserver.Options{DataDir: dir})
	if !errors.Is(err, pgserver.ErrDataDirInUse) || !strings.Contains(err.Error(), strconv.Itoa(os.Getpid())) {
		t.Errorf("got error %v, want ErrDataDirInUse naming process %d", err, os.Getpid())
	}
}

func TestPrivateServerStopsWhenItsContextIsCancelled(t *testing.T) {
	t.Parallel()
	needPrograms(t)
	ctx, cancel := context.WithCancel(t.Context())
	p, err := pgserver.Start(ctx, pgserver.Options{DataDir: pgtest.DataDir(t)})
	if err != nil {
		t.Fatal(err)
	}
	cancel()
	select {
	case <-p.Done():
	case <-time.After(10 * time.Second):
		t.Error("still running 10 s after cancellation")
	}
	if err := p.Stop(); err != nil {
		t.Error(err)
	}
}

func TestPrivateServerStartsAfterACrash(t *testing.T) {
	t.Parallel()
	dir := pgtest.DataDir(t)
	needPrograms(t)
	p, err := pgserver.Start(t.Context(), pgserver.Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	pgtest.Execute(t, p.URL("postgres"), `CREATE TABLE note AS SELECT 'estuary' AS text`)
	pgtest.Execute(t, p.URL("postgres"), `CHECKPOINT`)
	if err := p.Process().Kill(); err != nil {
		t.Fatal(err)
	}
	<-p.Done()
	if err := p.Stop(); err == nil {
		t.Error("Stop after a crash: no error")
	}

	// The number in postmaster.pid now belongs to a living process that is no server.
	sleeper := exec.Command("sleep", "60")
	if _, attributes, err := pgserver.ServerUser(); err != nil {
		t.Fatal(err)
	} else {
		sleeper.SysProcAttr = attributes
	}
	if err := sleeper.Start(); err != nil {
		t.Fatal(err)
	}
	defer sleeper.Wait()
	defer sleeper.Process.Kill()
	pidFile := filepath.Join(dir, "cluster", "postmaster.pid")
	text, err := os.ReadFile(pidFile)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "\n")
	if err := os.WriteFile(pidFile, []byte(strconv.Itoa(sleeper.Process.Pid)+"\n"+rest), 0o600); err != nil {
		t.Fatal(err)
	}
	p = pgtest.StartServer(t, pgserver.Options{DataDir: dir})
	if got := query[string](t, p.URL("postgres"), `SELECT text FROM note`); got != "estuary" {
		t.Errorf("after the crash read %q", got)
	}
}

func TestPrivateServerEndsWithItsParent(t *testing.T) {
	t.Parallel()
	needPrograms(t)
	if dir := os.Getenv("KITSPAN_TEST_PARENT_OF"); dir != "" {
		if _, err := pgserver.Start(context.Background(), pgserver.Options{DataDir: dir}); err != nil {
			t.Fatal(err)
		}
		if err := syscall.Kill(os.Getpid(), syscall.SIGKILL); err != nil {
			t.Fatal(err)
		}
		select {}
	}
	dir := pgtest.DataDir(t)
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(self, "-test.run=^TestPrivateServerEndsWithItsParent$")
	cmd.Env = append(os.Environ(), "KITSPAN_TEST_PARENT_OF="+dir)
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.Sys().(syscall.WaitStatus).Signal() != syscall.SIGKILL {
		t.Fatalf("the parent should have killed itself: %v\n%s", err, out)
	}
	// The start waits for the orphan to finish its shutdown.
	pgtest.StartServer(t, pgserver.Options{DataDir: dir})
}

func TestPrivateServerExplainsWhatItRefuses(t *testing.T) {
	t.Parallel()
	needPrograms(t)
	for name, c := range map[string]struct {
		prepare func(t *testing.T, dir string)
		want    string
	}{
		"a cluster of a version that is not installed": {
			prepare: func(t *testing.T, dir string) { write(t, filepath.Join(dir, "cluster", "PG_VERSION"), "9\n") },
			want:    "install the Debian package postgresql-9",
		},
		"a damaged version file": {
			prepare: func(t *testing.T, dir string) { write(t, filepath.Join(dir, "cluster", "PG_VERSION"), "x\n") },
			want:    "is damaged",
		},
		"a folder of something else": {
			prepare: func(t *testing.T, dir string) { write(t, filepath.Join(dir, "cluster", "letters.txt"), "") },
			want:    "is not empty and holds no PostgreSQL cluster",
		},
		"a file in place of the folder": {
			prepare: func(t *testing.T, dir string) { write(t, dir, "") },
			want:    "not a directory",
		},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := pgtest.DataDir(t)
			c.prepare(t, dir)
			p, err := pgserver.Start(t.Context(), pgserver.Options{DataDir: dir})
			if err == nil {
				t.Fatalf("started; Stop: %v", p.Stop())
			}
			if !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), dir) {
				t.Errorf("got error %q, want one that says %q and names %s", err, c.want, dir)
			}
		})
	}
	if _, err := pgserver.Start(t.Context(), pgserver.Options{}); err == nil || !strings.Contains(err.Error(), "no data folder") {
		t.Errorf("without a data folder: got error %v", err)
	}
}

func TestPrivateServerFindsAShortSocketFolder(t *testing.T) {
	t.Parallel()
	long := filepath.Join(filepath.Dir(pgtest.DataDir(t)), strings.Repeat("long", 25), "data")
	p := pgtest.StartServer(t, pgserver.Options{DataDir: long})
	socketDir, own := p.SocketDir()
	if !own || len(socketDir)+len("/.s.PGSQL.5432") > pgserver.MaxSocketPath {
		t.Errorf("socket in %s", socketDir)
	}
	if got := query[int](t, p.URL("postgres"), `SELECT 1`); got != 1 {
		t.Errorf("SELECT 1 = %d", got)
	}
	if err := p.Stop(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(socketDir); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("temporary socket folder after Stop: %v, want it gone", err)
	}
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
