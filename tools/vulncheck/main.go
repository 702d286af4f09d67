// Command vulncheck fails where the program calls into a known vulnerability that nobody has accepted with a reason.
//
// It needs no service: the Go project's database of vulnerabilities is a module too (golang.org/x/vulndb), fetched at the version that is
// given and indexed here. The scan itself is govulncheck's.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"

	"golang.org/x/vuln/scan"
)

func main() {
	root := flag.String("root", "..", "folder of the module to scan")
	version := flag.String("vulndb", "latest", "version of golang.org/x/vulndb")
	accepted := flag.String("accepted", "vulncheck/accepted.txt", "file of accepted findings")
	work := flag.String("work", "../bin/vulndb", "folder for the indexed database")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, *root, *version, *accepted, *work, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "vulncheck:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, root, version, acceptedPath, work string, packages []string) error {
	text, err := os.ReadFile(acceptedPath)
	if err != nil {
		return err
	}
	accepted, err := readAccepted(string(text))
	if err != nil {
		return fmt.Errorf("%s: %w", acceptedPath, err)
	}
	module, err := fetch(ctx, version)
	if err != nil {
		return err
	}
	database, err := filepath.Abs(filepath.Join(work, module.Version))
	if err != nil {
		return err
	}
	if err := index(filepath.Join(module.Dir, "data", "osv"), database); err != nil {
		return fmt.Errorf("index %s: %w", module.Version, err)
	}
	var out bytes.Buffer
	cmd := scan.Command(ctx, append([]string{"-C", root, "-db", "file://" + filepath.ToSlash(database), "-format", "json"}, packages...)...)
	cmd.Stdout = &out
	if err := cmd.Start(); err != nil {
		return err
	}
	if err := cmd.Wait(); err != nil {
		return fmt.Errorf("scan: %w", err)
	}
	report, err := read(&out)
	if err != nil {
		return fmt.Errorf("read the scan: %w", err)
	}
	fmt.Printf("vulncheck: %s, database of %s, %d findings in code that is called\n", report.GoVersion, module.Version, len(report.Called))
	return judge(report, accepted)
}

// module is a module as 'go mod download -json' tells of it.
type module struct{ Version, Dir, Error string }

func fetch(ctx context.Context, version string) (m module, err error) {
	cmd := exec.CommandContext(ctx, "go", "mod", "download", "-json", "golang.org/x/vulndb@"+version)
	cmd.Stderr = os.Stderr
	out, runErr := cmd.Output()
	if err := json.Unmarshal(out, &m); err != nil {
		return m, fmt.Errorf("fetch the database of vulnerabilities: %w", runErr)
	}
	if m.Error != "" || runErr != nil {
		return m, fmt.Errorf("fetch the database of vulnerabilities: %s", m.Error)
	}
	return m, nil
}
