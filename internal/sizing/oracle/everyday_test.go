package oracle_test

import (
	"path/filepath"
	"strings"
	"testing"
)

// TestEverydayShotsAreWorkable: what a small crew lights every day can be rigged as the first option says, and may stay up in the gust
// that was asked.
func TestEverydayShotsAreWorkable(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("testdata/requests/everyday-*.json")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d requests (%v)", len(files), err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(strings.TrimSuffix(name, ".json"), func(t *testing.T) {
			t.Parallel()
			res := asked(t, name)
			if len(res.Options) == 0 {
				t.Fatal("no option")
			}
			o := &res.Options[0]
			if !o.Workable {
				t.Errorf("%s is not workable: %+v", o.Label, o.Notes)
			}
			for i := range o.Pieces {
				if h := &o.Pieces[i].Hold; h.LowerAtMS < res.Shot.GustMS-1e-6 {
					t.Errorf("the %s is to be down at %.2f m/s, %.2f are asked", o.Pieces[i].Role, h.LowerAtMS, res.Shot.GustMS)
				}
			}
		})
	}
}
