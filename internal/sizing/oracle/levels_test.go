package oracle_test

import (
	"sync/atomic"
	"testing"

	"kitspan/internal/finding"
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
	}{{"quayside", scenes(28, 1000)}, {"northpier", scenes(8, 300)}} {
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

// TestDrivenBoardsGiveWhatRaysFind holds the levels of shots with several boards side by side, and with boards and frames
// near lamps, to rays that meet every board on both legs of their way, and the boards to the rules of where they stand.
func TestDrivenBoardsGiveWhatRaysFind(t *testing.T) {
	t.Parallel()
	var boards, near atomic.Int32
	inParts(t, oracle.DrivenScenes(0, scenes(20, 400)), func(t *testing.T, s oracle.Shoot) {
		slug := []string{"quayside", "northpier"}[s.Seed/2%2]
		stock := demo(t, slug)
		res, err := oracle.Size(t.Context(), s, stock)
		if err != nil {
			t.Errorf("%v", err)
			return
		}
		report(t, s, oracle.CheckLight(res, stock, rays(), s.Seed))
		for _, o := range res.Options {
			report(t, s, oracle.CheckReflectors(oracle.NewScene(res.Shot, o.Window.From, o.Window.To), o, stock))
			n := 0
			for _, p := range o.Pieces {
				if p.Role == finding.RoleReflector {
					n++
				}
			}
			if n >= 3 {
				boards.Add(1)
			}
			if n > 0 && res.Shot.Site.Roofed {
				near.Add(1)
			}
		}
	})
	t.Cleanup(func() {
		if boards.Load() < 1 || near.Load() < 10 {
			t.Errorf("%d options have three reflectors or more, %d work by lamps near by: wanted 1 and 10", boards.Load(), near.Load())
		}
	})
}
