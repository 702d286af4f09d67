package main

import (
	"bytes"
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"kitspan/internal/pgserver"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

// hangs is how long a test waits before it calls a process hung; none that ends comes near it.
const hangs = time.Minute

const testToken = "a token for tests alone"

// A process that waits for a database that takes connections and never answers ends at the first SIGTERM.
func TestTheFirstSignalEndsTheWaitForADatabase(t *testing.T) {
	for name, tc := range map[string]struct {
		args   []string
		status int
	}{
		"serve":            {[]string{"serve", "--staff-token", testToken}, exitOK}, // it was asked to stop and did
		"serve unmigrated": {[]string{"serve", "--staff-token", testToken, "--no-migrate"}, exitOK},
		"migrate":          {[]string{"migrate"}, exitFailure}, // the schema is not up to date
		"seed":             {[]string{"seed"}, exitFailure},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			url, taken := silentCounted(t)
			process := command(t, append(tc.args, "--database-url", url+"?connect_timeout=3600")...)
			var stderr bytes.Buffer
			process.Stderr = &stderr
			if err := process.Start(); err != nil {
				t.Fatal(err)
			}
			<-taken
			if err := process.Process.Signal(syscall.SIGTERM); err != nil {
				t.Fatal(err)
			}
			guard := time.AfterFunc(hangs, func() { _ = process.Process.Kill() })
			err := process.Wait()
			if !guard.Stop() {
				t.Fatal("deaf to SIGTERM")
			}
			if got := process.ProcessState.ExitCode(); got != tc.status {
				t.Errorf("status %d (%v), want %d: %s", got, err, tc.status, &stderr)
			}
		})
	}
}

func TestMigratingHasALimit(t *testing.T) {
	_, stderr, status := output(t, "", "migrate", "--database-url", silent(t)+"?connect_timeout=3600", "--migrate-timeout", "100ms")
	if status != exitFailure || !strings.Contains(stderr, "not done after 100ms") || !strings.Contains(stderr, "--migrate-timeout") {
		t.Errorf("status %d: %s", status, stderr)
	}
}

// While the database is frozen every face says that it is unavailable, and when to come again; the log has the cause. Afterwards all is
// as before, without a restart.
func TestAFrozenDatabaseIsUnavailable(t *testing.T) {
	example, err := os.ReadFile(filepath.Join(examplesDir, "01-two-anglers.json"))
	if err != nil {
		t.Fatal(err)
	}
	dir := pgtest.DataDir(t)
	url := pgtest.StartServer(t, pgserver.Options{DataDir: dir}).URL("postgres")
	if _, stderr, status := output(t, "", "migrate", "--database-url", url); status != 0 {
		t.Fatal(stderr)
	}
	if _, stderr, status := output(t, "", "seed", "--database-url", url); status != 0 {
		t.Fatal(stderr)
	}
	requests := []struct {
		method, path, body string
		json               bool
	}{
		{"GET", "/readyz", "", true},
		{"GET", "/v1/houses", "", true},
		{"GET", "/v1/houses/quayside/items", "", true},
		{"GET", "/v1/houses/quayside/items/QG-FRAME-04X04", "", true},
		{"DELETE", "/v1/houses/quayside/items/QG-FRAME-04X04", "", true},
		{"POST", "/v1/sizings", string(example), true},
		{"GET", "/plan", "", false},
		{"GET", "/catalogue", "", false},
	}
	server := command(t, "serve", "--addr", "127.0.0.1:0", "--database-url", url, "--staff-token", testToken)
	var log string
	stop := startLogged(t, server, &log, "listens on", func(address string) {
		ask := func(method, path, body string) (status int, retryAfter string, document problem) {
			request, err := http.NewRequestWithContext(t.Context(), method, address+path, strings.NewReader(body))
			if err != nil {
				t.Error(err)
				return 0, "", document
			}
			request.Header.Set("Content-Type", "application/json")
			request.Header.Set("Authorization", "Bearer "+testToken)
			request.Header.Set("If-Match", `"1"`)
			response, err := (&http.Client{Timeout: hangs}).Do(request)
			if err != nil {
				t.Error(err)
				return 0, "", document
			}
			defer response.Body.Close()
			_ = json.NewDecoder(response.Body).Decode(&document) // pages are no JSON
			return response.StatusCode, response.Header.Get("Retry-After"), document
		}
		if status, _, document := ask("GET", "/readyz", ""); status != http.StatusOK {
			t.Fatalf("not ready before: %d %+v", status, document)
		}
		thaw := pgtest.Freeze(t, dir)
		var all sync.WaitGroup
		for _, r := range requests {
			all.Go(func() {
				status, retryAfter, document := ask(r.method, r.path, r.body)
				if status != http.StatusServiceUnavailable || retryAfter == "" {
					t.Errorf("%s %s: status %d, Retry-After %q, want 503 and a time", r.method, r.path, status, retryAfter)
				}
				if r.json && document.Type != "urn:kitspan:problem:unavailable" {
					t.Errorf("%s %s: %+v", r.method, r.path, document)
				}
			})
		}
		all.Wait()
		thaw()
		if status, _, document := ask("POST", "/v1/sizings", string(example)); status != http.StatusOK {
			t.Errorf("after the thaw: %d %+v", status, document)
		}
	})
	stop()
	for _, want := range []string{"database unavailable", "list houses", `"route":"/catalogue"`} {
		if !strings.Contains(log, want) {
			t.Errorf("the log lacks %q:\n%s", want, log)
		}
	}
}

type problem struct {
	Type   string
	Status int
	Detail string
}

func TestASchemaThatServeMayNotUseIsExplained(t *testing.T) {
	url := pgtest.NewURL(t)
	run := func(sql string) {
		t.Helper()
		pool, err := postgres.Open(t.Context(), url)
		if err != nil {
			t.Fatal(err)
		}
		defer pool.Close()
		if _, err := pool.Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	for _, tc := range []struct{ name, sql, says string }{
		{"newer", `UPDATE schema_migrations SET version = 999999`, "newer than this program"},
		{"broken off", `UPDATE schema_migrations SET version = 1, dirty = true`, "SET dirty = false"},
		{"older", `UPDATE schema_migrations SET version = 1, dirty = false`, `run "api migrate"`},
	} {
		run(tc.sql)
		_, stderr, status := output(t, "", "serve", "--no-migrate", "--addr", "127.0.0.1:0", "--database-url", url, "--staff-token", testToken)
		if status != exitFailure || !strings.Contains(stderr, tc.says) || strings.Count(stderr, "\n") != 1 {
			t.Errorf("%s: status %d, want one line that says %q: %s", tc.name, status, tc.says, stderr)
		}
		if tc.name == "older" {
			continue // migrate mends that
		}
		if _, stderr, status := output(t, "", "migrate", "--database-url", url); status != exitFailure || !strings.Contains(stderr, tc.says) {
			t.Errorf("%s: migrate: status %d: %s", tc.name, status, stderr)
		}
	}
}

func TestATokenFileThatHoldsNoTokenIsExplained(t *testing.T) {
	url := pgtest.NewURL(t)
	for name, content := range map[string]string{"empty": "", "blank": " \n", "short": "abc\n"} {
		dir := t.TempDir()
		path := filepath.Join(dir, tokenFile)
		if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
		_, stderr, status := output(t, "", "serve", "--addr", "127.0.0.1:0", "--database-url", url, "--data-dir", dir)
		if status != exitFailure || !strings.Contains(stderr, path) || !strings.Contains(stderr, "remove the file") {
			t.Errorf("%s: status %d: %s", name, status, stderr)
		}
	}
}
