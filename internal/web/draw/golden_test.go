package draw_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"kitspan/internal/web/draw"
)

var update = flag.Bool("update", false, "rewrite the drawings under testdata")

// golden compares a drawing with the one that was looked at and kept.
func golden(t *testing.T, name, svg string) {
	t.Helper()
	path := filepath.Join("testdata", name+".svg")
	if *update {
		if err := os.WriteFile(path, []byte(svg), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	got, kept := strings.Split(svg, "\n"), strings.Split(string(want), "\n")
	for i := range max(len(got), len(kept)) {
		if i >= len(got) || i >= len(kept) || got[i] != kept[i] {
			t.Errorf("%s differs from line %d on (go test -run Golden -update rewrites it; look at it then):\n- %s\n+ %s",
				path, i+1, at(kept, i), at(got, i))
			return
		}
	}
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return "(nothing)"
}

func TestGoldenDrawings(t *testing.T) {
	for _, a := range examples() {
		number := a.name[:2]
		if number != "01" && number != "05" {
			continue
		}
		for _, d := range kinds {
			golden(t, number+"-"+d.name, d.draw(&a.res, &a.res.Options[0], metric))
		}
	}
	for _, name := range []string{"01-two-anglers", "05-six-rowers"} {
		res := sweepOf(t, "../../../docs/examples/"+name+".json", 30)
		golden(t, name[:2]+"-day", draw.Day(&res, metric))
	}
}
