package catalog

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// computed lists the cells that a spreadsheet program would compute, where it parts a text at semicolons too. The characters are
// those of OWASP, "CSV Injection".
func computed(text string) (cells []string) {
	for cell := range strings.SplitSeq(text, ";") {
		bare := strings.TrimLeft(cell, " \u00a0\"")
		if bare != "" && strings.ContainsRune("=+-@\t\r\n＝＋－＠", []rune(bare)[0]) {
			cells = append(cells, cell)
		}
	}
	return cells
}

func TestFormulasGoOutAsText(t *testing.T) {
	for text, want := range map[string]string{
		"=1+1":                 "'=1+1",
		"+351 21 000":          "'+351 21 000",
		"-2 stops":             "'-2 stops",
		"@SUM(A1)":             "'@SUM(A1)",
		"\t=1":                 "'\t=1",
		"\r=1":                 "'\r=1",
		"\n=1":                 "'\n=1",
		"＝1":                   "'＝1",
		`" =1"`:                `'" =1"`,
		"'=1":                  "''=1",
		"''@x":                 "'''@x",
		"Bag;=1;x":             "Bag;'=1;x",
		`Bag; "=1`:             `Bag;' "=1`,
		"Bag;'-1":              "Bag;''-1",
		"":                     "",
		"Silver board":         "Silver board",
		"8 x 12 ft = 2.4 m":    "8 x 12 ft = 2.4 m",
		"'Round' board, white": "'Round' board, white",
		"a;b":                  "a;b",
	} {
		if got := EscapeFormulas(text); got != want {
			t.Errorf("%q goes out as %q, want %q", text, got, want)
		}
		if got := UnescapeFormulas(want); got != text {
			t.Errorf("%q comes back as %q, want %q", want, got, text)
		}
	}
}

func TestAnExportHoldsNoFormulaAndNumbersStayNumbers(t *testing.T) {
	item := sound(t, KindFabric)
	cloth := item.Spec.(*Fabric)
	item.Name, item.Account, cloth.FaceA, cloth.FaceB, cloth.ColourShiftMired = `=HYPERLINK("http://x";"y")`, "+2410", "@white", "white;-1", -20
	var file bytes.Buffer
	if err := WriteCSV(&file, KindFabric, quay, []Item{item}); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(file.Bytes())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, column := range rows[0] {
		switch cell := rows[1][i]; {
		case column == "colour_shift_mired":
			if cell != "-20" {
				t.Errorf("the number -20 goes out as %q", cell)
			}
		case computed(cell) != nil:
			t.Errorf("%s goes out as %q", column, cell)
		}
	}
	back, err := readAll(file.String(), KindFabric)
	if err != nil || len(back) != 1 || back[0].Name != item.Name || back[0].Account != item.Account || *back[0].Spec.(*Fabric) != *cloth {
		t.Errorf("comes back as %+v, %v", back, err)
	}
}

func TestAFormulaThatWasNeverEscapedIsReadAsItIs(t *testing.T) {
	got, err := readAll(lineHead+"quayside,QG-L1,=Rope,1.2,0.01,4,20.00,'2410,15,1500,EUR,\n", KindLine)
	if err != nil || got[0].Name != "=Rope" || got[0].Account != "'2410" {
		t.Errorf("%+v, %v", got, err)
	}
}

// texts are dense in what matters: separators, quotes, apostrophes and the characters that begin a formula.
var texts = rapid.Map(rapid.SliceOfN(rapid.SampledFrom([]rune("'';;=+-@\t\r\n＝＠ \u00a0\"ab")), 0, 12), func(r []rune) string { return string(r) })

func TestEscapingComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := texts.Draw(t, "text")
		out := EscapeFormulas(text)
		if left := computed(out); left != nil {
			t.Fatalf("%q goes out as %q, of which %q is computed", text, out, left)
		}
		if computed(text) == nil && !slices.ContainsFunc(strings.Split(text, ";"), func(cell string) bool { return strings.HasPrefix(cell, "'") }) && out != text {
			t.Fatalf("%q holds no formula and goes out as %q", text, out)
		}
		if back := UnescapeFormulas(out); back != text {
			t.Fatalf("%q goes out as %q and comes back as %q", text, out, back)
		}
	})
}

func FuzzEscapeFormulas(f *testing.F) {
	for _, text := range []string{"=1", "'=1", ";;'+", "a\xff;=", "''", "\"\"=1"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		out := EscapeFormulas(text)
		if left := computed(out); left != nil {
			t.Fatalf("%q goes out as %q, of which %q is computed", text, out, left)
		}
		if back := UnescapeFormulas(out); back != text {
			t.Fatalf("%q goes out as %q and comes back as %q", text, out, back)
		}
	})
}
