//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"slices"
	"testing"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// seated are four people who talk all afternoon, of whom the sun goes round to the lens's right.
func seated(t *testing.T) shot.Draft {
	t.Helper()
	_, d := exampleDraft(t, "../../docs/examples/13-four-seated-all-afternoon.json")
	return d
}

func movedOf(r sizing.Result) (list []sizing.Option) {
	for _, o := range r.Options {
		if o.Label == sizing.LabelMoved {
			list = append(list, o)
		}
	}
	return list
}

func openingOf(t *testing.T, v *sizing.Piece) float64 {
	t.Helper()
	return v.Corners[1].Sub(v.Corners[0]).Len() * v.Corners[2].Sub(v.Corners[1]).Len()
}

// TestALongWindowIsCut: a frame that is moved is smaller than any that stands all through, takes less of something, is the same on the same
// supports in every part, and its kit is no more than the most of any.
func TestALongWindowIsCut(t *testing.T) {
	t.Parallel()
	r := plan(t, seated(t))
	moved := movedOf(r)
	if len(moved) == 0 {
		t.Fatal("nothing is moved in four hours")
	}
	whole := option(t, r, sizing.LabelOverhead)
	for _, o := range moved {
		if a, b := openingOf(t, &o.Pieces[0]), openingOf(t, &whole.Pieces[0]); a >= b {
			t.Errorf("%s: %.1f m² moved, %.1f m² all through", o.Name, a, b)
		}
		if o.Crew.Total >= whole.Crew.Total && o.Load.MassKg >= whole.Load.MassKg {
			t.Errorf("%s: %d people and %.0f kg, all through %d and %.0f", o.Name, o.Crew.Total, o.Load.MassKg, whole.Crew.Total, whole.Load.MassKg)
		}
		if o.Window != r.Shot.Window || o.State != finding.DoesIt || !o.Workable {
			t.Errorf("%s: %s, from %s to %s", o.Name, o.State, o.Window.Start, o.Window.End)
		}
		sum := map[string]int{}
		for k := range o.Parts() {
			part := o.Part(k)
			if !slices.Equal(part.Pieces[0].Items, o.Pieces[0].Items) || part.Pieces[0].Supports[0].SKU != o.Pieces[0].Supports[0].SKU {
				t.Errorf("%s, part %d: %v on %s", o.Name, k+1, part.Pieces[0].Items, part.Pieces[0].Supports[0].SKU)
			}
			if long := part.Window.To.Sub(part.Window.From); long < 40*time.Minute {
				t.Errorf("%s, part %d: %s", o.Name, k+1, long)
			}
			for i := range part.Pieces {
				for _, s := range part.Pieces[i].Supports {
					sum[s.Ballast.SKU] += s.Ballast.Quantity
				}
			}
		}
		for _, l := range o.Kit.Lines {
			if n := sum[l.SKU]; n > 0 && l.Quantity >= n {
				t.Errorf("%s: %d × %s for %d parts that take %d in all", o.Name, l.Quantity, l.SKU, o.Parts(), n)
			}
		}
		for i := range o.Moves {
			if m := &o.Moves[i]; m.Minutes < 5 || m.Hands < 2 || m.Hands > o.Crew.Total || 2*m.Minutes > int(m.Window.To.Sub(m.Window.From).Minutes()) {
				t.Errorf("%s, move %d: %d min by %d of %d", o.Name, i+1, m.Minutes, m.Hands, o.Crew.Total)
			}
		}
	}
	if n := len(moved); n > 1 && openingOf(t, &moved[0].Pieces[0]) == openingOf(t, &moved[n-1].Pieces[0]) {
		t.Error("two cuts for one frame")
	}
}

// TestWhatIsNotCut: a short window, a roof, lamps alone, and softening that is not asked for.
func TestWhatIsNotCut(t *testing.T) {
	t.Parallel()
	for name, change := range map[string]func(d *shot.Draft){
		"79 minutes":    func(d *shot.Draft) { d.Window.End = some("16:19") },
		"under a roof":  func(d *shot.Draft) { d.Site.Roofed = some(true) },
		"under a cloud": func(d *shot.Draft) { d.Sky.Condition = some("overcast") },
		"hard light":    func(d *shot.Draft) { d.Look.Soften = some(shot.SoftenOff) },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := seated(t)
			change(&d)
			for _, o := range movedOf(plan(t, d)) {
				t.Errorf("moved %d times", len(o.Moves))
			}
		})
	}
}

// TestAPartIsTheOptionOfItsTime: the parts of an option follow each other from the beginning of its window to its end, and what stands
// all through is its one part.
func TestAPartIsTheOptionOfItsTime(t *testing.T) {
	t.Parallel()
	r := plan(t, seated(t))
	for _, o := range r.Options {
		at := o.Window.From
		for k := range o.Parts() {
			part := o.Part(k)
			if !part.Window.From.Equal(at) || part.Levels.At.Before(part.Window.From) || part.Levels.At.After(part.Window.To) || part.Parts() != 1 {
				t.Errorf("%s, part %d: from %s, levels of %s", o.Name, k+1, part.Window.Start, part.Levels.At)
			}
			at = part.Window.To
		}
		if !at.Equal(o.Window.To) {
			t.Errorf("%s ends at %s, its parts at %s", o.Name, o.Window.To, at)
		}
	}
}
