package oracle_test

import (
	"encoding/json"
	"sync/atomic"
	"testing"

	"kitspan/internal/sizing/oracle"
)

// TestNoSmallerFrameDoes looks, slowly, for a frame smaller than the engine chose, that keeps every condition with 2 cm
// to spare and stands on stands of the house.
func TestNoSmallerFrameDoes(t *testing.T) {
	t.Parallel()
	fine := oracle.Coarse
	if oracle.Full() {
		fine = oracle.Fine
	}
	var looked, scenesLooked, finds, bare atomic.Int64
	t.Cleanup(func() {
		t.Logf("%d frames searched in %d scenes; %d would do; %d would but for their stands", looked.Load(), scenesLooked.Load(), finds.Load(), bare.Load())
		if scenesLooked.Load() < 16 || looked.Load() < 130 {
			t.Errorf("only %d frames in %d scenes were searched", looked.Load(), scenesLooked.Load())
		}
	})
	inParts(t, oracle.Scenes(0, scenes(28, 1000)), func(t *testing.T, s oracle.Shoot) {
		res, stock, err := answerTo(t, s, "quayside")
		if err != nil {
			return // told by TestAnswersKeepEveryRule
		}
		out := oracle.CheckSmallest(res, stock, fine)
		looked.Add(int64(out.Looked))
		finds.Add(int64(len(out.Finds)))
		bare.Add(int64(len(out.Bare)))
		if out.Looked > 0 {
			scenesLooked.Add(1)
		}
		report(t, s, out.Violations)
		for _, f := range out.Finds {
			p, _ := json.Marshal(f.Piece)
			t.Logf("%s: found %s with %.3f m to spare: %s", s, f.SKU, f.SlackM, p)
		}
	})
}
