//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package lighting

import (
	"math"
	"slices"
	"testing"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/light"
	"kitspan/internal/price"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/shot/shottest"
)

// bareOf returns an arrangement with nothing up for a shot by a demo house, and its planner.
func bareOf(t *testing.T, slug string, d shot.Draft) (*Planner, *Arrangement) {
	t.Helper()
	s := shottest.Resolve(t, d)
	stock, ok := catalog.DemoSnapshot(slug)
	if !ok {
		t.Fatalf("no demo house %q", slug)
	}
	prices := price.NewDesk(stock, s.Window.Date)
	pl := NewPlanner(&s, stock, prices, anchorage.NewPlanner(&s, stock, prices))
	return pl, &Arrangement{Setup: NewSetup(pl, scene.LightOf(&s), nil)}
}

func (a *Arrangement) contrast() float64 {
	key, fill, _ := a.FaceLevels(a.Light.Stage.Mid)
	return light.Stops(key, fill)
}

// checkFillSide holds what is up on the fill side: within a third of a stop together, each piece worth a sixth by itself.
func checkFillSide(t *testing.T, a *Arrangement, asked float64) {
	t.Helper()
	is := a.contrast()
	if math.Abs(is-asked) > closeStops {
		t.Errorf("contrast %.3f, asked %.3f", is, asked)
	}
	all := a.Pieces
	for i, p := range all {
		a.Pieces = append(append([]*Piece{}, all[:i]...), all[i+1:]...)
		if gain := math.Abs(a.contrast() - is); gain < gainStops-1e-9 {
			t.Errorf("a %s brings %.3f stops", p.Role, gain)
		}
	}
	a.Pieces = all
}

func TestWhatStandsCloseInComesBeforeWhatIsLarge(t *testing.T) {
	for _, slug := range []string{"quayside", "northpier"} {
		for _, prefer := range []string{shot.PreferSmallest, shot.PreferCheapest, shot.PreferLightest, shot.PreferFewestHands} {
			d := shottest.Bare()
			d.Prefer = &prefer
			pl, _ := bareOf(t, slug, d)
			large, small := false, 0
			for _, b := range pl.arrays.of(blackArrays) {
				area := float64(b.n) * b.of.areaM2
				if large = large || area > largestFillM2; !large {
					small++
				} else if area <= largestFillM2 {
					t.Errorf("%s, %s: %d of %s, %.1f m², after larger ones", slug, prefer, b.n, b.of.item.SKU, area)
				}
			}
			if !large || small == 0 {
				t.Errorf("%s, %s: %d small blacks, large ones %v: nothing to hold in order", slug, prefer, small, large)
			}
		}
	}
}

// TestMoreContrastTakesMoreBlack asks for more and more contrast than there is: what stands takes at least as much, brings it close, and no
// piece of it could be left out.
func TestMoreContrastTakesMoreBlack(t *testing.T) {
	stood := 0
	for _, slug := range []string{"quayside", "northpier"} {
		last := math.Inf(-1)
		for more := 0.35; more <= 1; more += 0.05 {
			d := shottest.Bare()
			d.Framing.WidthM, d.Sky.Condition = new(1.0), new("overcast")
			_, bare := bareOf(t, slug, d)
			asked := bare.contrast() + more
			if asked < 0 {
				continue
			}
			d.Look.ContrastStops = &asked
			pl, a := bareOf(t, slug, d)
			pl.shapeFill(t.Context(), a, ByReflectors)
			if a.fill == nil || !a.fill.dims || !a.fill.done {
				continue
			}
			stood++
			checkFillSide(t, a, asked)
			if is := a.contrast(); is < last-closeStops {
				t.Errorf("%s, %.2f stops more asked: contrast %.3f after %.3f", slug, more, is, last)
			} else {
				last = is
			}
		}
	}
	if stood < 5 {
		t.Errorf("a black did it %d times: too few to say anything", stood)
	}
}

// TestAGroupIsWorthItsLeastPiece takes each piece out of rows that stand and meters the contrast again.
func TestAGroupIsWorthItsLeastPiece(t *testing.T) {
	d := shottest.Bare()
	d.Framing.WidthM, d.Sky.Condition, d.Look.ContrastStops = new(1.0), new("overcast"), new(1.0)
	pl, a := bareOf(t, "quayside", d)
	to := a.fillAim()
	key, fill, _ := a.FaceLevels(to.mid)
	worth, waste := 0, 0
	for _, kind := range []arrayKind{blackArrays, fillArrays} {
		q := newSearch(a.Setup, asking(&to, fill, kind == blackArrays))
		q.role, q.against, q.leastGain = finding.RoleFill, key, gainStops
		for _, b := range pl.arrays.of(kind) {
			b.phi, b.z = phis[0], to.mid.Z
			b.r = q.nearest(&b)
			if q.layOut(&b); b.n < 2 || !q.clears(&b) {
				continue
			}
			up, ok := q.putUp(t.Context(), &b)
			if !ok {
				continue
			}
			least, n := math.Inf(1), len(a.Pieces)
			a.add(up)
			whole := a.contrast()
			for i := range up {
				a.Pieces = slices.Concat(up[:i], up[i+1:])
				least = math.Min(least, math.Abs(a.contrast()-whole))
			}
			a.Pieces = up
			a.drop(n)
			if got := q.worth(up, q.with(up)); got != (least >= gainStops) {
				t.Errorf("%d of %s: worth %v, the least brings %.4f stops", b.n, b.of.item.SKU, got, least)
			} else if got {
				worth++
			} else {
				waste++
			}
		}
	}
	if worth < 1 || waste < 2 {
		t.Errorf("%d rows are worth their pieces, %d are not: too few to say anything", worth, waste)
	}
}

// TestABlackStandsWhereItTakesMost: what is too far off on the line on which the fill face looks stands nearer beside it, before a larger one or
// two are brought.
func TestABlackStandsWhereItTakesMost(t *testing.T) {
	d := shottest.Bare()
	d.Framing.WidthM = new(1.0)
	_, bare := bareOf(t, "quayside", d)
	beside := false
	for more := 0.35; more <= 1; more += 0.05 {
		asked := math.Max(0, bare.contrast()+more)
		d.Look.ContrastStops = &asked
		pl, a := bareOf(t, "quayside", d)
		pl.shapeFill(t.Context(), a, ByReflectors)
		beside = beside || a.fill != nil && a.fill.dims && a.fill.done && a.fill.array.phi != phis[0]
	}
	if !beside {
		t.Error("no black stands beside that line")
	}
}

// TestLessContrastTakesMoreFill does the same the other way.
func TestLessContrastTakesMoreFill(t *testing.T) {
	last, stood := math.Inf(1), 0
	for less := 0.35; less < 2.5; less += 0.05 {
		d := shottest.Bare()
		d.Camera.BearingDeg = new(200.0)
		d.Look.KeySide = new(shot.SideRight) // toward the sun, which lights the key
		_, bare := bareOf(t, "quayside", d)
		asked := bare.contrast() - less
		if asked < 0 {
			break
		}
		d.Look.ContrastStops = &asked
		pl, a := bareOf(t, "quayside", d)
		pl.shapeFill(t.Context(), a, ByReflectors)
		if a.fill == nil || !a.fill.done {
			continue
		}
		stood++
		checkFillSide(t, a, asked)
		if is := a.contrast(); is > last+closeStops {
			t.Errorf("%.2f stops less asked: contrast %.3f after %.3f", less, is, last)
		} else {
			last = is
		}
	}
	if stood < 5 {
		t.Errorf("a fill did it %d times: too few to say anything", stood)
	}
}
