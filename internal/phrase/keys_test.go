//go:build !race

package phrase_test

import (
	"cmp"
	"go/ast"
	"go/constant"
	"go/types"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"text/template/parse"

	"golang.org/x/tools/go/packages"
)

// said is a key as the program says it.
type said struct {
	context, one, many string
	at                 string // the file, from the module's root
}

func (s said) id() string { return s.context + "|" + s.one }

const module = "kitspan"

// keys returns every key of the program, each once, in the order of files and in that of a file's text: constants of the type Key, the
// pairs of Count, and what the templates of pages say.
func keys(t *testing.T) []said {
	t.Helper()
	list, err := packages.Load(&packages.Config{
		Mode: packages.NeedName | packages.NeedFiles | packages.NeedSyntax | packages.NeedTypes | packages.NeedTypesInfo | packages.NeedImports | packages.NeedDeps | packages.NeedExportFile,
		Dir:  filepath.Join("..", ".."),
	}, "./internal/text/...", "./internal/web/...", "./internal/rest", "./cmd/...")
	if err != nil {
		t.Fatal(err)
	}
	var found []said
	for _, p := range list {
		for _, e := range p.Errors {
			t.Fatal(e)
		}
		for _, file := range p.Syntax {
			name := p.Fset.Position(file.Pos()).Filename
			w := &walker{t: t, info: p.TypesInfo, at: fromRoot(t, name)}
			ast.Inspect(file, w.node)
			found = append(found, w.found...)
		}
	}
	found = append(found, ofTemplates(t)...)
	byID := map[string]int{}
	var out []said
	for _, s := range found {
		at, twice := byID[s.id()]
		if !twice {
			byID[s.id()] = len(out)
			out = append(out, s)
			continue
		}
		if s.many != "" && out[at].many != "" && s.many != out[at].many {
			t.Fatalf("%s: %q has two plurals, %q and %q", s.at, s.one, s.many, out[at].many)
		}
		out[at].many = cmp.Or(out[at].many, s.many)
	}
	slices.SortStableFunc(out, func(a, b said) int { return strings.Compare(a.at, b.at) })
	return out
}

func fromRoot(t *testing.T, name string) string {
	t.Helper()
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	rel, err := filepath.Rel(root, name)
	if err != nil {
		t.Fatal(err)
	}
	return filepath.ToSlash(rel)
}

// walker finds the keys of a file.
type walker struct {
	t     *testing.T
	info  *types.Info
	at    string
	found []said
}

func (w *walker) node(n ast.Node) bool {
	if call, ok := n.(*ast.CallExpr); ok && w.counts(call) {
		for _, arg := range call.Args[2:] {
			ast.Inspect(arg, w.node)
		}
		return false
	}
	e, ok := n.(ast.Expr)
	if !ok {
		return true
	}
	key, ok := w.key(e)
	if !ok {
		return true
	}
	w.add(key, "")
	return false
}

// counts adds the pair of a call of Count, or of the method of text that hands its pair on to it.
func (w *walker) counts(call *ast.CallExpr) bool {
	f, ok := call.Fun.(*ast.SelectorExpr)
	if !ok || !strings.EqualFold(f.Sel.Name, "count") || len(call.Args) < 3 {
		return false
	}
	one, first := w.key(call.Args[0])
	many, second := w.key(call.Args[1])
	if first && second {
		w.add(one, many)
	}
	return first && second
}

func (w *walker) key(e ast.Expr) (string, bool) {
	v, ok := w.info.Types[e]
	if !ok || v.Value == nil || v.Value.Kind() != constant.String {
		return "", false
	}
	named, ok := v.Type.(*types.Named)
	if !ok || named.Obj().Name() != "Key" || named.Obj().Pkg().Path() != module+"/internal/phrase" {
		return "", false
	}
	return constant.StringVal(v.Value), true
}

func (w *walker) add(one, many string) {
	if one == "" {
		return
	}
	w.found = append(w.found, saidAt(w.at, one, many))
}

func saidAt(at, one, many string) said {
	s := said{at: at, one: one, many: many}
	if before, after, ok := strings.Cut(one, "|"); ok {
		s.context, s.one = before, after
		_, s.many, _ = strings.Cut(many, "|")
	}
	return s
}

// ofTemplates are the keys of the pages: what stands after t, and the pairs after tn.
func ofTemplates(t *testing.T) []said {
	t.Helper()
	names, err := filepath.Glob(filepath.Join("..", "web", "templates", "*.html"))
	if err != nil || len(names) == 0 {
		t.Fatal("no templates", err)
	}
	var found []said
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		tree := parse.New(name)
		tree.Mode = parse.SkipFuncCheck
		set := map[string]*parse.Tree{}
		if _, err := tree.Parse(string(text), "", "", set); err != nil {
			t.Fatal(err)
		}
		set[name] = tree
		at := fromRoot(t, mustAbs(t, name))
		type placed struct {
			said
			pos parse.Pos
		}
		var here []placed
		for _, one := range set {
			inTemplate(one.Root, func(c *parse.CommandNode) {
				f, ok := c.Args[0].(*parse.IdentifierNode)
				if !ok || len(c.Args) < 2 {
					return
				}
				key, constant := c.Args[1].(*parse.StringNode)
				switch {
				case f.Ident == "t" && constant:
					here = append(here, placed{saidAt(at, key.Text, ""), key.Pos})
				case f.Ident == "tn":
					many, ok := c.Args[2].(*parse.StringNode)
					if !constant || !ok {
						t.Fatalf("%s: tn takes two sentences and a number: %s", at, c)
					}
					here = append(here, placed{saidAt(at, key.Text, many.Text), key.Pos})
				}
			})
		}
		slices.SortFunc(here, func(a, b placed) int { return cmp.Compare(a.pos, b.pos) })
		for _, p := range here {
			found = append(found, p.said)
		}
	}
	return found
}

func mustAbs(t *testing.T, name string) string {
	t.Helper()
	abs, err := filepath.Abs(name)
	if err != nil {
		t.Fatal(err)
	}
	return abs
}

// inTemplate visits every command of a template.
func inTemplate(n parse.Node, visit func(*parse.CommandNode)) {
	branch := func(b *parse.BranchNode) {
		inTemplate(b.Pipe, visit)
		inTemplate(b.List, visit)
		if b.ElseList != nil {
			inTemplate(b.ElseList, visit)
		}
	}
	switch n := n.(type) {
	case *parse.ListNode:
		for _, child := range n.Nodes {
			inTemplate(child, visit)
		}
	case *parse.ActionNode:
		inTemplate(n.Pipe, visit)
	case *parse.TemplateNode:
		if n.Pipe != nil {
			inTemplate(n.Pipe, visit)
		}
	case *parse.IfNode:
		branch(&n.BranchNode)
	case *parse.RangeNode:
		branch(&n.BranchNode)
	case *parse.WithNode:
		branch(&n.BranchNode)
	case *parse.PipeNode:
		for _, c := range n.Cmds {
			visit(c)
			for _, arg := range c.Args {
				if p, ok := arg.(*parse.PipeNode); ok {
					inTemplate(p, visit)
				}
			}
		}
	}
}
