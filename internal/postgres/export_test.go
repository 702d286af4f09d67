package postgres

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
)

// What the tests outside this package need from inside: they are outside because pgtest imports this package.
var (
	MigrateUpSteps   = migrateUp
	CheckSchemaSteps = checkSchema
	MigrateDownSteps = migrateDown
)

const TxAttempts = txAttempts

// StartPrivate is a private server that ends with the test.
var StartPrivate = startPrivate

// DataFolder is a folder for a private server.
var DataFolder = dataFolder

// DumpSchema is pg_dump's account of the schema of one of the server's databases, without the table that counts the migrations. The
// program is the server's own: one of an older minor version shows marks that the server keeps for itself.
func (p *Private) DumpSchema(ctx context.Context, database string) (string, error) {
	out, err := exec.CommandContext(ctx, p.bin.path("pg_dump"), "--schema-only", "--no-owner", "--no-privileges",
		"--exclude-table=schema_migrations", "--dbname="+p.URL(database)).Output()
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		return "", fmt.Errorf("pg_dump: %w: %s", err, exit.Stderr)
	}
	return string(out), err
}

// Freeze stops the server's processes, sessions included, as a machine that hangs does. They go on at the end of the test, or by thaw.
func (p *Private) Freeze(t *testing.T) (thaw func()) {
	t.Helper()
	processes := []int{p.proc.Pid}
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/task/%d/children", p.proc.Pid, p.proc.Pid))
	if err != nil {
		t.Skipf("the server's processes cannot be found on this system: %v", err)
	}
	for child := range strings.FieldsSeq(string(text)) {
		pid, err := strconv.Atoi(child)
		if err != nil {
			t.Fatal(err)
		}
		processes = append(processes, pid)
	}
	thaw = sync.OnceFunc(func() {
		for _, pid := range processes {
			_ = syscall.Kill(pid, syscall.SIGCONT) // a session may have ended
		}
	})
	t.Cleanup(thaw)
	for _, pid := range processes {
		if err := syscall.Kill(pid, syscall.SIGSTOP); err != nil && !errors.Is(err, syscall.ESRCH) {
			t.Fatal(err)
		}
	}
	return thaw
}
