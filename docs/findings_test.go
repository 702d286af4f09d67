package docs_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"strings"
	"testing"

	"kitspan/internal/finding"
)

// meanings are the comments of the types of a file of package finding.
func meanings(t *testing.T, file string) map[string]string {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), "../internal/finding/"+file, nil, parser.ParseComments)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	ast.Inspect(f, func(n ast.Node) bool {
		if spec, ok := n.(*ast.TypeSpec); ok {
			text := strings.Join(strings.Fields(spec.Doc.Text()), " ")
			for _, lead := range []string{" means that ", " is "} {
				if rest, ok := strings.CutPrefix(text, spec.Name.Name+lead); ok {
					out[spec.Name.Name] = strings.TrimSuffix(rest, ".")
				}
			}
		}
		return true
	})
	return out
}

// ifAny follows a member that may be left out.
const ifAny = " if any"

// members returns the fields of a finding, or of a kind of fault, as an answer has them.
func members(v reflect.Type) []string {
	var out []string
	for i := range v.NumField() {
		f := v.Field(i)
		if f.Anonymous {
			out = append(out, members(f.Type)...)
			continue
		}
		name, option, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name == "-" {
			continue
		}
		if name = "`" + name + "`"; option == "omitempty" {
			name += ifAny
		}
		out = append(out, name)
	}
	return out
}

// TestEveryCodeIsExplained prints the tables of codes from package finding: a new kind without a comment fails.
func TestEveryCodeIsExplained(t *testing.T) {
	table := func(mark string, rows func(add func(code string, finding any))) {
		b := "| code | it means | members |\n|---|---|---|\n"
		says := meanings(t, map[string]string{"notes": "note.go", "obstacles": "ruledout.go"}[mark])
		seen := map[string]bool{}
		rows(func(code string, finding any) {
			kind := reflect.TypeOf(finding)
			if says[kind.Name()] == "" || seen[code] {
				t.Errorf("%s: %s says %q and occurs twice: %v", mark, kind.Name(), says[kind.Name()], seen[code])
			}
			seen[code] = true
			b += fmt.Sprintf("| `%s` | %s | %s |\n", code, says[kind.Name()], strings.Join(members(kind), ", "))
		})
		printed(t, "api.md", mark+": made by go test ./docs -update", b)
	}
	table("notes", func(add func(string, any)) {
		for _, n := range finding.Notes() {
			add(n.Code(), n)
		}
	})
	table("obstacles", func(add func(string, any)) {
		for _, o := range finding.Obstacles() {
			add(o.Code(), o)
		}
	})
}
