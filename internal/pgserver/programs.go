package pgserver

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// ErrNoPrograms: the machine has no PostgreSQL server programs of a usable version.
var ErrNoPrograms = errors.New("no PostgreSQL server programs found: install the Debian package postgresql " +
	"(apt-get install postgresql), or give the address of a running server")

// The oldest major version that the schema and its tests are kept to.
const leastMajor = 15

// Where PostgreSQL's own packages for Debian and the usual builds for other systems put the server's programs, one folder per major version.
var programFolders = []string{
	"/usr/lib/postgresql/*/bin",
	"/usr/pgsql-*/bin",
	"/opt/homebrew/opt/postgresql@*/bin",
	"/usr/local/opt/postgresql@*/bin",
}

// programs is one installation of PostgreSQL's server programs.
type programs struct {
	dir   string // folder of initdb, postgres, pg_dump
	major int
}

func (p programs) path(name string) string { return filepath.Join(p.dir, name) }

// findPrograms returns the newest installation of at least leastMajor, from PATH or programFolders. With wantMajor other than 0 only
// that version will do, because a data folder belongs to the version that made it.
func findPrograms(ctx context.Context, wantMajor int) (programs, error) {
	var folders []string
	if path, err := exec.LookPath("postgres"); err == nil {
		// Debian's and others' links lead to the folder that holds initdb too.
		if target, err := filepath.EvalSymlinks(path); err == nil {
			folders = append(folders, filepath.Dir(target))
		}
	}
	for _, pattern := range programFolders {
		found, err := filepath.Glob(pattern)
		if err != nil {
			return programs{}, err // a malformed pattern of our own
		}
		folders = append(folders, found...)
	}
	slices.Sort(folders)
	var usable []programs
	for _, dir := range slices.Compact(folders) {
		if p, ok := programsIn(ctx, dir); ok {
			usable = append(usable, p)
		}
	}
	slices.SortStableFunc(usable, func(a, b programs) int { return cmp.Compare(b.major, a.major) })
	for _, p := range usable {
		if wantMajor == p.major || wantMajor == 0 && p.major >= leastMajor {
			return p, nil
		}
	}
	switch {
	case wantMajor != 0:
		return programs{}, fmt.Errorf("the data folder was made by PostgreSQL %d, whose programs are not on this machine (found: %s): "+
			"install the Debian package postgresql-%d, or give another data folder: %w", wantMajor, majors(usable), wantMajor, ErrNoPrograms)
	case len(usable) > 0:
		return programs{}, fmt.Errorf("PostgreSQL %d or newer is needed (found: %s): %w", leastMajor, majors(usable), ErrNoPrograms)
	}
	return programs{}, ErrNoPrograms
}

// programsIn asks the server program in dir for its version; false where dir holds no whole set.
func programsIn(ctx context.Context, dir string) (programs, bool) {
	for _, name := range []string{"initdb", "postgres"} {
		if _, err := exec.LookPath(filepath.Join(dir, name)); err != nil {
			return programs{}, false
		}
	}
	out, err := exec.CommandContext(ctx, filepath.Join(dir, "postgres"), "--version").Output()
	if err != nil {
		return programs{}, false
	}
	// "postgres (PostgreSQL) 15.14 (Debian 15.14-0+deb12u1)", "… 18beta1".
	fields := strings.Fields(string(out))
	if len(fields) < 3 {
		return programs{}, false
	}
	digits := fields[2]
	if end := strings.IndexFunc(digits, func(r rune) bool { return r < '0' || r > '9' }); end >= 0 {
		digits = digits[:end]
	}
	major, err := strconv.Atoi(digits)
	return programs{dir: dir, major: major}, err == nil
}

func majors(ps []programs) string {
	if len(ps) == 0 {
		return "none"
	}
	names := make([]string, len(ps))
	for i, p := range ps {
		names[i] = strconv.Itoa(p.major)
	}
	return strings.Join(names, ", ")
}
