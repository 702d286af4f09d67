package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"

	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

// runAsProgram, set in the environment, makes the test binary behave as the program itself: built once, with the race
// detector where the tests have it, and nothing left behind.
const runAsProgram = "TEST_RUN_AS_API"

func TestMain(m *testing.M) {
	if os.Getenv(runAsProgram) != "" {
		main()
		return
	}
	pgtest.Main(m)
}

const examplesDir = "../../docs/examples"

// command is the program with arguments, in an environment without our settings.
func command(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	path, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), path, args...)
	cmd.Env = []string{runAsProgram + "=1"}
	for _, e := range os.Environ() {
		if !strings.HasPrefix(e, "KITSPAN_") && !strings.HasPrefix(e, "XDG_") {
			cmd.Env = append(cmd.Env, e)
		}
	}
	return cmd
}

// output runs the program to its end.
func output(t *testing.T, stdin string, args ...string) (stdout, stderr string, status int) {
	t.Helper()
	cmd := command(t, args...)
	var out, errs bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = strings.NewReader(stdin), &out, &errs
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return out.String(), errs.String(), cmd.ProcessState.ExitCode()
}

func TestSizePrintsTheResponse(t *testing.T) {
	path := filepath.Join(examplesDir, "01-two-anglers.json")
	body, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	stdout, stderr, status := output(t, "", "size", path)
	if status != 0 || stderr != "" {
		t.Fatalf("status %d: %s", status, stderr)
	}
	var answer struct {
		Shot struct{ Name string }
	}
	if err := json.Unmarshal([]byte(stdout), &answer); err != nil || !strings.Contains(string(body), answer.Shot.Name) {
		t.Errorf("shot %q (%v)", answer.Shot.Name, err)
	}
	if piped, _, _ := output(t, string(body), "size", "-"); piped != stdout {
		t.Error("standard input gets another answer than the file")
	}
	text, _, status := output(t, string(body), "size", "--text", "-")
	for _, want := range []string{answer.Shot.Name, "EUR per day", "Cautions:", " ft)"} {
		if status != 0 || !strings.Contains(text, want) {
			t.Errorf("status %d, text lacks %q:\n%s", status, want, text)
		}
	}
}

// A forecast as CSV beside the shot is that forecast in the shot; what is wrong with it stands at its line and column.
func TestSizeTakesAForecastAsCSV(t *testing.T) {
	shot, table := filepath.Join(examplesDir, "01-two-anglers.json"), filepath.Join(t.TempDir(), "forecast.csv")
	write := func(text string) {
		if err := os.WriteFile(table, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("at;gust_ms\r\n2027-06-18 16:00;4,5\r\n2027-06-18 18:00;9\r\n")
	stdout, stderr, status := output(t, "", "size", shot, "--forecast", table)
	var answer struct {
		Shot struct {
			Forecast []struct {
				At     string
				GustMS float64 `json:"gust_ms"`
			}
		}
	}
	if err := json.Unmarshal([]byte(stdout), &answer); status != 0 || err != nil {
		t.Fatalf("status %d: %s (%v)", status, stderr, err)
	}
	if rows := answer.Shot.Forecast; len(rows) != 2 || rows[0].At != "2027-06-18T16:00:00+01:00" || rows[0].GustMS != 4.5 || rows[1].GustMS != 9 {
		t.Errorf("the forecast is %+v", rows)
	}
	write("at,gust_ms\n2027-06-18 16:00,50\n2027-06-18 15:00,4\n")
	_, stderr, status = output(t, "", "size", shot, "--forecast", table)
	var problem struct {
		Errors []struct {
			Code, Column, Pointer, Detail string
			Line                          int
		}
	}
	if err := json.Unmarshal([]byte(stderr), &problem); status != exitBadInput || err != nil || len(problem.Errors) != 2 {
		t.Fatalf("status %d: %s (%v)", status, stderr, err)
	}
	if f := problem.Errors[0]; f.Code != "out_of_range" || f.Line != 2 || f.Column != "gust_ms" || f.Pointer != "" || !strings.Contains(f.Detail, "give a value from 0 to 40 m/s") {
		t.Errorf("%+v", f)
	}
	if f := problem.Errors[1]; f.Code != "not_later" || f.Line != 3 || f.Column != "at" || !strings.Contains(f.Detail, "in the order of time") {
		t.Errorf("%+v", f)
	}
}

func TestExitStatuses(t *testing.T) {
	for name, tc := range map[string]struct {
		stdin  string
		args   []string
		status int
		stderr string
	}{
		"not JSON":          {"hello", []string{"size", "-"}, 2, `"status": 400`},
		"nothing":           {"", []string{"size", "-"}, 2, `"status": 400`},
		"unknown field":     {`{"hous": 1}`, []string{"size", "-"}, 2, `"pointer": "/hous"`},
		"out of range":      {`{"house": "quayside", "shot": {"site": {"latitude_deg": 91}}}`, []string{"size", "-"}, 2, `"pointer": "/shot/site/latitude_deg"`},
		"too large":         {`"` + strings.Repeat("x", 1<<20) + `"`, []string{"size", "-"}, 2, `"status": 413`},
		"unknown house":     {"", []string{"items", "riverside"}, 2, "quayside"},
		"unknown kind":      {"", []string{"items", "quayside", "--kind", "frames"}, 2, "fabric"},
		"no such file":      {"", []string{"size", "no-such-file.json"}, 1, "no-such-file.json"},
		"unknown command":   {"", []string{"sise"}, 1, "sise"},
		"unknown flag":      {"", []string{"size", "--txt", "-"}, 1, "--txt"},
		"no command":        {"", nil, 1, "Size and price one shot."},
		"no forecast":       {"", []string{"size", "-", "--forecast", "no-such-file.csv"}, 1, "no-such-file.csv"},
		"two inputs in one": {"", []string{"size", "-", "--forecast", "-"}, 1, "give one of them as a file"},
		"no file":           {"", []string{"size"}, 1, "(see api size --help)"},
		"no database":       {"", []string{"items", "quayside", "--database-url", "postgres://nobody@127.0.0.1:1/none"}, 1, "database"},
		"migrate nothing":   {"", []string{"migrate"}, 1, "database-url"},
		"a short token":     {"", []string{"serve", "--database-url", "postgres://nobody@127.0.0.1:1/none", "--staff-token", "x"}, 1, ""},
		"help is no error":  {"", []string{"--help"}, 0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			stdout, stderr, status := output(t, tc.stdin, tc.args...)
			if status != tc.status || !strings.Contains(stderr, tc.stderr) {
				t.Errorf("status %d, want %d with %q on standard error:\n%s", status, tc.status, tc.stderr, stderr)
			}
			if status == 2 {
				if stdout != "" {
					t.Errorf("standard output of bad input: %s", stdout)
				}
				var problem struct{ Type, Title, Detail string }
				if err := json.Unmarshal([]byte(stderr), &problem); err != nil || problem.Type == "" || problem.Title == "" || problem.Detail == "" {
					t.Errorf("no problem document (%v): %s", err, stderr)
				}
			}
		})
	}
}

func TestHelpNamesTheSettings(t *testing.T) {
	help, _, _ := output(t, "", "serve", "--help")
	for _, name := range []string{"KITSPAN_ADDR", "KITSPAN_DATABASE_URL", "KITSPAN_DATA_DIR", "KITSPAN_STAFF_TOKEN", "KITSPAN_LOG_LEVEL"} {
		if !strings.Contains(help, name) {
			t.Errorf("serve --help does not name %s", name)
		}
	}
}

func TestItemsListsTheDemo(t *testing.T) {
	stdout, stderr, status := output(t, "", "items", "northpier", "--kind", "frame")
	var items []struct{ SKU, Kind string }
	if err := json.Unmarshal([]byte(stdout), &items); err != nil || status != 0 || len(items) == 0 {
		t.Fatalf("status %d (%v): %s", status, err, stderr)
	}
	for _, i := range items {
		if i.Kind != "frame" {
			t.Errorf("%s is a %s", i.SKU, i.Kind)
		}
	}
}

// A fresh database is migrated before anything listens, filled by seed, and read by items and size.
func TestServeOnADatabase(t *testing.T) {
	url := pgtest.NewURL(t)
	if err := postgres.MigrateDown(t.Context(), url); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	server := command(t, "serve", "--addr", "127.0.0.1:0", "--data-dir", dir, "--example", filepath.Join(examplesDir, "01-two-anglers.json"))
	server.Env = append(server.Env, "KITSPAN_DATABASE_URL="+url)
	// The example needs the demo catalogue.
	if out, stderr, status := output(t, "", "migrate", "--database-url", url); status != 0 || !strings.Contains(out, "version") {
		t.Fatalf("migrate: %d %s %s", status, out, stderr)
	}
	for _, want := range []string{"2 demo houses", "0 demo houses"} {
		if out, stderr, status := output(t, "", "seed", "--database-url", url); status != 0 || !strings.Contains(out, want) {
			t.Fatalf("seed: %d %s %s", status, out, stderr)
		}
	}
	stop := start(t, server, "Made a staff token", func(address string) {
		if status, list := get(t, address+"/v1/houses/quayside/items?limit=500"); status != http.StatusOK {
			t.Fatalf("%d %s", status, list)
		}
	})
	stdout := stop()
	for _, want := range []string{"Made a staff token", "EUR per day"} {
		if !strings.Contains(stdout, want) {
			t.Errorf("serve does not print %q:\n%s", want, stdout)
		}
	}
	kept, err := os.ReadFile(filepath.Join(dir, tokenFile))
	if err != nil || !strings.Contains(stdout, strings.TrimSpace(string(kept))) {
		t.Errorf("the token kept is not the one printed (%v)", err)
	}
	demo, _, _ := output(t, "", "items", "quayside")
	if fromDatabase, stderr, _ := output(t, "", "items", "quayside", "--database-url", url); fromDatabase != demo {
		t.Errorf("the database lists other items than the demo that it was seeded from: %s", stderr)
	}
}

func TestServeMigratesBeforeItListens(t *testing.T) {
	url := pgtest.NewURL(t)
	if err := postgres.MigrateDown(t.Context(), url); err != nil {
		t.Fatal(err)
	}
	server := command(t, "serve", "--addr", "127.0.0.1:0", "--database-url", url, "--staff-token", "a token for tests alone")
	start(t, server, "listens on", func(address string) {
		if status, list := get(t, address+"/v1/houses"); status != http.StatusOK {
			t.Errorf("%d %s on a database that was empty", status, list)
		}
	})()
}

// get reads an address over a connection of its own. It may be called from any goroutine.
func get(t *testing.T, url string) (status int, body string) {
	t.Helper()
	client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
	request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, url, nil)
	if err != nil {
		t.Error(err)
		return 0, ""
	}
	response, err := client.Do(request)
	if err != nil {
		t.Error(err)
		return 0, ""
	}
	text, err := io.ReadAll(response.Body)
	if err := errors.Join(err, response.Body.Close()); err != nil {
		t.Error(err)
	}
	return response.StatusCode, string(text)
}

// start runs a server until it has printed a text, calls use with its address, and returns what stops it and gives what
// it printed.
func start(t *testing.T, server *exec.Cmd, until string, use func(address string)) (stop func() string) {
	t.Helper()
	return startLogged(t, server, new(string), until, use)
}

// startLogged is start that puts what the server wrote on standard error into log when it is stopped.
func startLogged(t *testing.T, server *exec.Cmd, log *string, until string, use func(address string)) (stop func() string) {
	t.Helper()
	out, err := server.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var stderr bytes.Buffer
	server.Stderr = &stderr
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	var printed strings.Builder
	listens := regexp.MustCompile(`listens on (http://\S+)`)
	for {
		line, err := lines.ReadString('\n')
		printed.WriteString(line)
		if found := listens.FindStringSubmatch(printed.String()); found != nil && strings.Contains(line, until) {
			use(found[1])
			break
		}
		if err != nil {
			t.Fatalf("the server ended (%v): %s %s", err, &printed, &stderr)
		}
	}
	return func() string {
		t.Helper()
		if err := server.Process.Signal(syscall.SIGTERM); err != nil {
			t.Fatal(err)
		}
		rest, err := io.ReadAll(lines)
		if err != nil {
			t.Fatal(err)
		}
		printed.Write(rest)
		if err := server.Wait(); err != nil {
			t.Errorf("the server ended with %v: %s", err, &stderr)
		}
		*log = stderr.String()
		return printed.String()
	}
}
