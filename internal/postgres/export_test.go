package postgres

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
)

// What the tests outside this package need from inside: they are outside because pgtest imports this package.
var (
	MigrateUpSteps   = migrateUp
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
