package oracle_test

import (
	"testing"

	"kitspan/internal/sizing/oracle"
)

// rays is how many are thrown at a face.
func rays() oracle.Rays {
	if oracle.Full() {
		return oracle.ManyRays
	}
	return oracle.FewRays
}

// TestLevelsAreThoseThatRaysFind holds levels, contrast, evenness and what options say that they do to rays thrown from
// the faces of the subject, which know nothing of form factors.
func TestLevelsAreThoseThatRaysFind(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		slug string
		n    int
	}{{"quayside", rayScenes(96, 1000)}, {"northpier", rayScenes(40, 300)}} {
		t.Run(c.slug, func(t *testing.T) {
			t.Parallel()
			inParts(t, oracle.Scenes(0, c.n), func(t *testing.T, s oracle.Shoot) {
				res, stock, err := answerTo(t, s, c.slug)
				if err != nil {
					return // told by TestAnswersKeepEveryRule
				}
				report(t, s, oracle.CheckLight(res, stock, rays(), s.Seed))
			})
		})
	}
}
