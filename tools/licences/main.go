// Command licences collects the licence texts of everything that is linked into the program: of the modules of the packages that it imports
// on the systems that it is built for, of code of other authors within them, and of Go's own library. A module without a licence is an
// error.
package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

func main() {
	root := flag.String("root", "..", "folder of the program's module")
	program := flag.String("program", "./cmd/api", "the program's package")
	out := flag.String("out", "", "file to write")
	flag.Parse()
	if err := run(*root, *program, *out); err != nil {
		fmt.Fprintln(os.Stderr, "licences:", err)
		os.Exit(1)
	}
}

// systems are those for which the program's packages, and so its modules, are looked up.
var systems = []string{"linux/amd64", "linux/arm64", "darwin/arm64"}

// module is a module as 'go list' tells of it.
type module struct {
	Path, Version, Dir string
	Main               bool
	Replace            *module
}

func run(root, program, out string) error {
	goRoot, err := exec.Command("go", "-C", root, "env", "GOROOT").Output()
	if err != nil {
		return err
	}
	// Its release is left out: the text does not change from patch to patch.
	library := &part{Name: "Go's library and run time", Root: strings.TrimSpace(string(goRoot)), Dirs: map[string]bool{}}
	modules := map[string]*part{}
	for _, system := range systems {
		if err := linked(root, program, system, library, modules); err != nil {
			return fmt.Errorf("%s: %w", system, err)
		}
	}
	parts := []part{*library}
	for _, path := range slices.Sorted(maps.Keys(modules)) {
		parts = append(parts, *modules[path])
	}
	text, err := compose(parts)
	if err != nil {
		return err
	}
	return os.WriteFile(out, text, 0o644)
}

// linked adds what is linked into the program on a system: folders to Go's library, and modules.
func linked(root, program, system string, library *part, modules map[string]*part) error {
	goos, goarch, _ := strings.Cut(system, "/")
	cmd := exec.Command("go", "-C", root, "list", "-deps", "-json=ImportPath,Dir,Module", program)
	cmd.Env = append(os.Environ(), "GOOS="+goos, "GOARCH="+goarch, "CGO_ENABLED=0")
	cmd.Stderr = os.Stderr
	listed, err := cmd.Output()
	if err != nil {
		return err
	}
	for decoder := json.NewDecoder(bytes.NewReader(listed)); ; {
		var p struct {
			Dir    string
			Module *module
		}
		if err := decoder.Decode(&p); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
		into := library
		switch m := p.Module; {
		case m != nil && m.Main:
			continue // the program's own
		case m != nil:
			dir := m.Dir
			if m.Replace != nil {
				dir = m.Replace.Dir
			}
			if modules[m.Path] == nil {
				modules[m.Path] = &part{Name: m.Path + " " + m.Version, Root: dir, Dirs: map[string]bool{}}
			}
			into = modules[m.Path]
		}
		for dir := p.Dir; len(dir) > len(into.Root); dir = filepath.Dir(dir) {
			into.Dirs[dir] = true
		}
	}
}

// part is one thing whose licence is given: that of its root folder, and those of the folders below of which something is linked.
type part struct {
	Name, Root string
	Dirs       map[string]bool
}

// licenceFile matches the names under which licences, notices that the Apache licence wants handed on, and grants of patents are kept.
var licenceFile = regexp.MustCompile(`(?i)^(LICEN[CS]E|COPYING|NOTICE|PATENTS|UNLICENSE)([.-][A-Za-z0-9.-]+)?$`)

// isLicence is licenceFile's own: a notice alone is no licence.
var isLicence = regexp.MustCompile(`(?i)^(LICEN[CS]E|COPYING|UNLICENSE)`)

const rule = "================================================================================\n"

// compose is the text: each licence once, under the names of all parts that have it word for word.
func compose(parts []part) ([]byte, error) {
	names := map[string][]string{}
	var order []string
	for _, p := range parts {
		var text strings.Builder
		licensed := false
		for _, dir := range append([]string{p.Root}, slices.Sorted(maps.Keys(p.Dirs))...) {
			found, err := texts(dir)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", p.Name, err)
			}
			for _, f := range found {
				licensed = licensed || dir == p.Root && isLicence.MatchString(f.name)
				if text.Len() > 0 {
					text.WriteString("\n")
				}
				if dir != p.Root {
					fmt.Fprintf(&text, "(in %s)\n\n", filepath.ToSlash(strings.TrimPrefix(dir, p.Root+string(filepath.Separator))))
				}
				text.WriteString(f.text)
			}
		}
		if !licensed {
			return nil, fmt.Errorf("%s has no licence file in %s: ask its authors, or do without it", p.Name, p.Root)
		}
		if names[text.String()] == nil {
			order = append(order, text.String())
		}
		names[text.String()] = append(names[text.String()], p.Name)
	}
	var out bytes.Buffer
	out.WriteString("What is built into this program, beside its own code, and the licences under which it is.\n")
	for _, text := range order {
		out.WriteString("\n" + rule)
		for _, name := range names[text] {
			out.WriteString(name + "\n")
		}
		out.WriteString(rule + "\n" + text)
	}
	return out.Bytes(), nil
}

type file struct{ name, text string }

// texts are the licences and notices in a folder.
func texts(dir string) ([]file, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var found []file
	for _, e := range entries {
		if e.IsDir() || !licenceFile.MatchString(e.Name()) || strings.HasSuffix(e.Name(), ".go") {
			continue
		}
		content, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			return nil, err
		}
		found = append(found, file{e.Name(), plain(content)})
	}
	return found, nil
}

// plain ends lines alike, and the text with one end of line.
func plain(content []byte) string {
	lines := strings.Split(strings.ReplaceAll(string(content), "\r\n", "\n"), "\n")
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " \t\f")
	}
	return strings.Trim(strings.Join(lines, "\n"), "\n") + "\n"
}
