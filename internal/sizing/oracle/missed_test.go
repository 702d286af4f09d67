package oracle_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// asked answers a request of testdata/requests.
func asked(t *testing.T, name string) sizing.Result {
	t.Helper()
	body, err := os.ReadFile(filepath.Join("testdata/requests", name))
	if err != nil {
		t.Fatal(err)
	}
	res, err := desk().SizeJSON(t.Context(), body)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// TestFramesOnceMissedAreFound asks for what was once denied although there was a place for it: supports behind the lens
// and beside the picture at once, beyond where a lens that looks down sees the ground, and under a picture that looks up;
// turns between those of the grid; and, in the wind, another place than the first.
func TestFramesOnceMissedAreFound(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		request string
		sku     string // this frame or a smaller one
		held    bool
	}{
		{"zone-under-the-lens.json", "NP-FRAME-4X4", true},
		{"low-sun-wide-zone.json", "QG-FRAME-20X40", true},
		{"wide-zone-lens-close.json", "QG-FRAME-20X40", true},
		{"nearly-the-widest.json", "NP-FRAME-6X9", false},
		{"gust-held-in-another-place.json", "QG-FRAME-06X08", true},
		{"gust-of-two.json", "QG-FRAME-20X30", true},
	} {
		t.Run(c.request, func(t *testing.T) {
			t.Parallel()
			res := asked(t, c.request)
			body, err := os.ReadFile(filepath.Join("testdata/requests", c.request))
			if err != nil {
				t.Fatal(err)
			}
			stock := houseOf(t, body)
			sku, areaM2, ok := oracle.Overhead(res, stock)
			if !ok {
				t.Fatalf("no frame, %s does", c.sku)
			}
			if most := oracle.OpeningM2(stock.Item(c.sku)); areaM2 > most+1e-9 {
				t.Errorf("%s of %.2f m², %s of %.2f m² does", sku, areaM2, c.sku, most)
			}
			for _, o := range res.Options {
				if o.Label == sizing.LabelOverhead && c.held && o.Pieces[0].Hold.LowerAtMS < res.Shot.GustMS {
					t.Errorf("%s holds %.2f m/s, %.1f m/s is asked", sku, o.Pieces[0].Hold.LowerAtMS, res.Shot.GustMS)
				}
			}
		})
	}
}

// contradictions are frames that hold a gust no less than the one that they are refused for.
func contradictions(res sizing.Result) []string {
	var bad []string
	for _, r := range res.RuledOut {
		if wind, ok := r.Obstacle.(finding.NotInWind); ok && wind.LowerAtMS >= res.Shot.GustMS {
			bad = append(bad, fmt.Sprintf("%s: %+v", r.SKU, wind))
		}
	}
	return bad
}

func TestFramesOnceDeniedAgainstTheirOwnFigures(t *testing.T) {
	t.Parallel()
	if bad := contradictions(asked(t, "gust-of-two.json")); len(bad) > 0 {
		t.Errorf("%q", bad)
	}
}
