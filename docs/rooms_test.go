package docs_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

const roomsPage = "rooms.md"

// room is a row of the table: a package and those that it imports, by their names there.
type room struct {
	name     string
	standsOn []string
}

// TestRoomsStandOnWhatTheyImport holds the table to the imports of every package that is in the program, both ways.
func TestRoomsStandOnWhatTheyImport(t *testing.T) {
	table, imports := roomsOf(t), importsOf(t)
	listed := map[string]bool{}
	for _, r := range table {
		listed[r.name] = true
		actual, ok := imports[r.name]
		if !ok {
			t.Errorf("%s is no package of the program", r.name)
			continue
		}
		for _, name := range r.standsOn {
			if !slices.Contains(actual, name) {
				t.Errorf("%s does not import %s", r.name, name)
			}
		}
		for _, name := range actual {
			if !slices.Contains(r.standsOn, name) {
				t.Errorf("%s imports %s, which its row does not name", r.name, name)
			}
		}
		if !slices.IsSorted(r.standsOn) {
			t.Errorf("%s: %v is not in the order of the alphabet", r.name, r.standsOn)
		}
	}
	for name := range imports {
		if !listed[name] {
			t.Errorf("the table has no row for %s", name)
		}
	}
}

// TestThePictureIsOfTheTable holds the picture to the table: every room on the lowest floor that is above all it stands on.
func TestThePictureIsOfTheTable(t *testing.T) {
	printed(t, roomsPage, "picture", "```text\n"+picture(roomsOf(t))+"```\n")
}

// TestTheWalkNamesWhatThereIs holds every name of the walk, such as `shot.Draft.Resolve`, to the declarations.
func TestTheWalkNamesWhatThereIs(t *testing.T) {
	_, walk, ok := strings.Cut(read(t, roomsPage), "## The walk")
	if !ok {
		t.Fatal("the page has no walk")
	}
	names := regexp.MustCompile("`([a-z]+)\\.([A-Z]\\w*(?:\\.[A-Z]\\w*)?)`").FindAllStringSubmatch(walk, -1)
	if len(names) < 10 {
		t.Errorf("the walk names %d declarations only", len(names))
	}
	folders := map[string]string{}
	for name := range importsOf(t) {
		folders[filepath.Base(name)] = filepath.Join("..", "internal", name)
	}
	for _, n := range names {
		if folder := folders[n[1]]; folder == "" || !slices.Contains(declared(t, folder), n[2]) {
			t.Errorf("there is no %s.%s", n[1], n[2])
		}
	}
}

// roomsOf reads the table, upper rooms last.
func roomsOf(t *testing.T) (list []room) {
	t.Helper()
	row := regexp.MustCompile("(?m)^\\| `([^`]+)` \\| [^|]+ \\|([^|]*)\\|$")
	for _, found := range row.FindAllStringSubmatch(read(t, roomsPage), -1) {
		r := room{name: found[1]}
		if on := strings.TrimSpace(found[2]); on != "" {
			r.standsOn = strings.Split(on, ", ")
		}
		for _, below := range r.standsOn {
			if !slices.ContainsFunc(list, func(o room) bool { return o.name == below }) {
				t.Errorf("%s stands above %s, which has no row before it", r.name, below)
			}
		}
		list = append(list, r)
	}
	if len(list) < 10 {
		t.Fatalf("the table has %d rows", len(list))
	}
	return list
}

// importsOf are the packages that the program is built of, each with those of its own module that it imports; what only holds
// documents or migrations is no room.
func importsOf(t *testing.T) map[string][]string {
	t.Helper()
	const program = "kitspan/cmd/api"
	out, err := exec.CommandContext(t.Context(), "go", "list", "-deps", "-f", `{{.ImportPath}} {{join .Imports " "}}`, program).Output()
	if err != nil {
		t.Fatal(err)
	}
	short := func(path string) (string, bool) {
		if path == program {
			return "cmd/api", true
		}
		return strings.CutPrefix(path, "kitspan/internal/")
	}
	imports := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		words := strings.Fields(line)
		name, ok := short(words[0])
		if !ok {
			continue
		}
		imports[name] = []string{}
		for _, path := range words[1:] {
			if below, ok := short(path); ok {
				imports[name] = append(imports[name], below)
			}
		}
	}
	return imports
}

// picture draws the floors, the highest first.
func picture(list []room) string {
	floor, floors := map[string]int{}, [][]string{}
	for _, r := range list {
		n := 0
		for _, below := range r.standsOn {
			n = max(n, floor[below]+1)
		}
		floor[r.name] = n
		for len(floors) <= n {
			floors = append(floors, nil)
		}
		floors[n] = append(floors[n], r.name)
	}
	var b strings.Builder
	for n, names := range slices.Backward(floors) {
		var lines [3]string
		for _, name := range names {
			bar := strings.Repeat("─", len(name)+2)
			lines[0] += "┌" + bar + "┐ "
			lines[1] += "│ " + name + " │ "
			lines[2] += "└" + bar + "┘ "
		}
		const middle = 44
		indent := strings.Repeat(" ", max(0, middle-utf8.RuneCountInString(lines[0])/2))
		for _, line := range lines {
			fmt.Fprintln(&b, strings.TrimRight(indent+line, " "))
		}
		if n > 0 {
			fmt.Fprintln(&b, strings.Repeat(" ", middle-1)+"↓")
		}
	}
	return b.String()
}

// declared are the exported names of a package: functions, types, and methods as Type.Method.
func declared(t *testing.T, folder string) (names []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range files {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				names = append(names, receiver(d)+d.Name.Name)
			case *ast.GenDecl:
				for _, s := range d.Specs {
					if typ, ok := s.(*ast.TypeSpec); ok {
						names = append(names, typ.Name.Name)
					}
				}
			}
		}
	}
	return names
}

// receiver is the type of a method with a point after it; empty for a function.
func receiver(d *ast.FuncDecl) string {
	if d.Recv == nil {
		return ""
	}
	typ := d.Recv.List[0].Type
	if star, ok := typ.(*ast.StarExpr); ok {
		typ = star.X
	}
	if name, ok := typ.(*ast.Ident); ok {
		return name.Name + "."
	}
	return ""
}
