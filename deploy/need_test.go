// Package deploy_test tests the scripts of this folder that need neither root nor a container engine.
package deploy_test

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// bare is a machine on which nothing that need.sh looks for is installed: a PATH of the tools that the script itself uses, and stand-ins
// for those that tell what the user may. Each stand-in writes its arguments into the file calls.
func bare(t *testing.T, standIns map[string]string) (env []string, calls string) {
	t.Helper()
	dir := t.TempDir()
	calls = filepath.Join(dir, "calls")
	for _, tool := range []string{"bash", "sh", "env", "sed", "xargs", "readlink", "dirname", "mktemp", "rm", "tail", "cat", "mkdir"} {
		path, err := exec.LookPath(tool)
		if err != nil {
			t.Fatal(err) // each is on any system that runs need.sh
		}
		if err := os.Symlink(path, filepath.Join(dir, tool)); err != nil {
			t.Fatal(err)
		}
	}
	for name, script := range standIns {
		text := "#!/bin/sh\necho " + name + ` "$*" >>` + calls + "\n" + script + "\n"
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return []string{"PATH=" + dir, "HOME=" + dir, "CC=no-compiler-here", "KITSPAN_POSTGRES_PROGRAMS=" + dir + "/none"}, calls
}

func need(t *testing.T, env []string, what ...string) (stderr string, status int) {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), "./need.sh", what...)
	cmd.Env = env
	var text bytes.Buffer
	cmd.Stderr = &text
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return text.String(), cmd.ProcessState.ExitCode()
}

// Who may not install is shown one command for all that is missing, and it makes no cluster.
func TestNeedPrintsOneCommandThatMakesNoCluster(t *testing.T) {
	env, calls := bare(t, map[string]string{"id": "echo 1000", "sudo": "exit 1", "apt-get": "exit 1"})
	stderr, status := need(t, env, "compiler", "postgres", "browser")
	if status != 1 {
		t.Errorf("status %d", status)
	}
	commands := regexp.MustCompile(`(?m)^need:\s+sudo sh -c '(.*)'$`).FindAllStringSubmatch(stderr, -1)
	if len(commands) != 1 {
		t.Fatalf("%d commands, want 1:\n%s", len(commands), stderr)
	}
	for _, what := range []string{"PostgreSQL", "a C compiler", "Chromium"} {
		if !strings.Contains(stderr, what) {
			t.Errorf("%s is not named:\n%s", what, stderr)
		}
	}
	command := commands[0][1]
	for _, name := range []string{"postgresql", "gcc", "libc6-dev", "chromium"} {
		if !regexp.MustCompile(`install [^;]*\b` + name + `\b`).MatchString(command) {
			t.Errorf("%s is not installed by: %s", name, command)
		}
	}
	// The setting comes before the package, and goes afterwards.
	set, install, gone := strings.Index(command, "create_main_cluster = false"), strings.Index(command, "apt-get install"), strings.LastIndex(command, "rm ")
	if set < 0 || set > install || install > gone {
		t.Errorf("want the cluster switched off, the package, the setting gone: %s", command)
	}
	if text, err := os.ReadFile(calls); err != nil || strings.Contains(string(text), "apt-get") {
		t.Errorf("something was installed: %s (%v)", text, err)
	}
}

func TestNeedWithoutPostgresLeavesClustersAlone(t *testing.T) {
	env, _ := bare(t, map[string]string{"id": "echo 1000", "sudo": "exit 1", "apt-get": "exit 1"})
	stderr, status := need(t, env, "browser")
	if status != 1 || strings.Contains(stderr, "cluster") || !strings.Contains(stderr, "chromium") {
		t.Errorf("status %d: %s", status, stderr)
	}
}

func TestNeedOnAnotherSystemNamesThePackages(t *testing.T) {
	env, _ := bare(t, map[string]string{"id": "echo 0"})
	stderr, status := need(t, env, "compiler", "postgres")
	if status != 1 || !strings.Contains(stderr, "no Debian") || !strings.Contains(stderr, "gcc") || !strings.Contains(stderr, "postgresql") {
		t.Errorf("status %d: %s", status, stderr)
	}
}

// A failed installation shows what the installer said.
func TestNeedShowsWhyInstallingFailed(t *testing.T) {
	env, calls := bare(t, map[string]string{"id": "echo 0", "apt-get": `echo "E: no room left" >&2; exit 100`})
	stderr, status := need(t, env, "browser")
	if status != 1 || !strings.Contains(stderr, "no room left") || !strings.Contains(stderr, "cannot be installed") {
		t.Errorf("status %d: %s", status, stderr)
	}
	if text, err := os.ReadFile(calls); err != nil || !strings.Contains(string(text), "apt-get install --yes --no-install-recommends chromium") {
		t.Errorf("got %s (%v)", text, err)
	}
}

func TestNeedIsContentWithWhatIsThere(t *testing.T) {
	env, _ := bare(t, map[string]string{"id": "echo 1000", "sudo": "exit 1", "chromium": ""})
	if stderr, status := need(t, env, "browser"); status != 0 || stderr != "" {
		t.Errorf("status %d: %s", status, stderr)
	}
}
