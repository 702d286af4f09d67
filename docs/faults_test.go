package docs_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"kitspan/internal/fault"
	"kitspan/internal/rest"
)

// TestApiListsEveryFault holds the table of codes to the kinds: what each means is its comment, its further members
// are its fields, of which none has the name of a member of every fault.
func TestApiListsEveryFault(t *testing.T) {
	means := commentsOf(t, "../internal/fault/kinds.go")
	own := members(reflect.TypeOf(rest.InputFault{}))
	var b strings.Builder
	b.WriteString("| code | means that | further members |\n|---|---|---|\n")
	for _, k := range fault.Kinds() {
		name := reflect.TypeOf(k).Name()
		_, says, ok := strings.Cut(means[name], " means ")
		if !ok {
			t.Errorf("the comment of %s does not say what it means", name)
		}
		further := members(reflect.TypeOf(k))
		for _, m := range further {
			if same := func(o string) bool { return strings.TrimSuffix(o, ifAny) == strings.TrimSuffix(m, ifAny) }; slices.ContainsFunc(own, same) {
				t.Errorf("%s has a member %s, as every fault has", name, m)
			}
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", k.Code(), strings.TrimPrefix(firstSentence(says), "that "), strings.Join(further, ", "))
	}
	printed(t, "api.md", "faults", b.String())
}

// commentsOf are the comments of the types in a file, on one line each.
func commentsOf(t *testing.T, path string) map[string]string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	ast.Inspect(file, func(n ast.Node) bool {
		if spec, ok := n.(*ast.TypeSpec); ok && spec.Doc != nil {
			out[spec.Name.Name] = strings.Join(strings.Fields(spec.Doc.Text()), " ")
		}
		return true
	})
	return out
}

// firstSentence ends before the first stop that an upper-case word follows.
func firstSentence(s string) string {
	if at := regexp.MustCompile(`\. [A-Z]`).FindStringIndex(s); at != nil {
		return s[:at[0]]
	}
	return strings.TrimSuffix(s, ".")
}
