package terms_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"
)

// TestNoFloatTouchesMoney reads the packages in which money is computed: none of them has a number that is not exact, but for the faults,
// whose ranges are printed.
func TestNoFloatTouchesMoney(t *testing.T) {
	files := 0
	for _, pattern := range []string{"*.go", "../price/*.go", "../quote/*.go", "../catalog/money.go"} {
		paths, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range paths {
			if strings.HasSuffix(path, "_test.go") {
				continue
			}
			files++
			fset := token.NewFileSet()
			file, err := parser.ParseFile(fset, path, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			ast.Inspect(file, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.CompositeLit:
					if of, ok := n.Type.(*ast.SelectorExpr); ok {
						pkg, ok := of.X.(*ast.Ident)
						return !ok || pkg.Name != "fault"
					}
				case *ast.Ident:
					if n.Name == "float64" || n.Name == "float32" {
						t.Errorf("%s: %s", fset.Position(n.Pos()), n.Name)
					}
				case *ast.BasicLit:
					if n.Kind == token.FLOAT {
						t.Errorf("%s: %s", fset.Position(n.Pos()), n.Value)
					}
				}
				return true
			})
		}
	}
	if files < 8 {
		t.Errorf("%d files were read", files)
	}
}
