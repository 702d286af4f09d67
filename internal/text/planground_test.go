package text_test

import (
	"strings"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/text"
)

// The ground is spoken of once, however many options there are and whatever their hours.
func TestSoftGroundIsSaidOnce(t *testing.T) {
	for _, windows := range [][]string{{"13:00"}, {"13:00", "13:00"}, {"13:00", "15:00"}, {"15:00"}} {
		r := rigged(board(geom.Vec{Y: -5, Z: 1.2}, 0, 31))
		r.Shot.Window = shot.Window{Start: "13:00"}
		first := r.Options[0]
		r.Options = r.Options[:0]
		for _, start := range windows {
			o := first
			o.Window = shot.Window{Start: start}
			o.Notes = []finding.Note{finding.SoftGround{Ground: "sand"}, finding.AimHolds{}}
			r.Options = append(r.Options, o)
		}
		got := printedPlan(t, r)
		if n := strings.Count(got, "- On sand: boards under every foot; nothing on wheels."); n != 1 {
			t.Errorf("options at %v: said %d times in\n%s", windows, n, got)
		}
	}
	if got := text.Note(text.Metres, finding.SoftGround{Ground: "water"}); !strings.HasPrefix(got, "By the water: boards under every foot") {
		t.Error(got)
	}
}
