//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing/oracle"
)

// TestNoFrameIsTooHighByNothing looks at shots with a limit on the height of a rig: a frame that covers under the limit, and whose
// supports find no room there, is not too high.
func TestNoFrameIsTooHighByNothing(t *testing.T) {
	stock := house(t)
	tooHigh, noSupport := 0, 0
	for seed, limitM := range map[uint64]float64{6: 3.2, 11: 2.3, 16: 2.3, 40: 2.3} {
		s := oracle.SceneOf(seed)
		s.Draft.Limits = shot.DraftLimits{RigHeightM: some(limitM)}
		res, err := oracle.Size(t.Context(), s, stock)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range res.RuledOut {
			switch r.Because {
			case finding.TooHigh:
				if tooHigh++; r.ShortByM <= 1e-4 {
					t.Errorf("%s: under %.1f m %s is too high by %.4f m", s, limitM, r.SKU, r.ShortByM)
				}
			case finding.NoSupport:
				noSupport++
			default:
			}
		}
	}
	if tooHigh == 0 || noSupport == 0 {
		t.Errorf("%d frames are too high, %d find no room", tooHigh, noSupport)
	}
}
