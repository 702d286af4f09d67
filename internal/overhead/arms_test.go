package overhead

import (
	"math/rand/v2"
	"testing"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/scene"
	"kitspan/internal/shot/shottest"
)

// TestKindsOutOfReachFindNoPlace searches in full for each kind of supports that is passed over in random shots, because the best of those
// with arms no longer found no place.
func TestKindsOutOfReachFindNoPlace(t *testing.T) {
	t.Parallel()
	stock, ok := catalog.DemoSnapshot("quayside")
	if !ok {
		t.Fatal("no demo house")
	}
	rng := rand.New(rand.NewPCG(7, 1))
	passed, searched := 0, 0
	for range 6 {
		d := shottest.Bare()
		d.Framing.WidthM, d.Framing.DistanceM = new(1+4*rng.Float64()), new(4+4*rng.Float64())
		d.Camera.BearingDeg = new(230 + 60*rng.Float64())
		s := shottest.Resolve(t, d)
		sc := scene.LightOf(&s)
		prices := price.NewDesk(stock, s.Window.Date)
		pl, err := NewPlanner(&s, stock, prices, anchorage.NewPlanner(&s, stock, prices))
		if err != nil {
			t.Fatal(err)
		}
		g := NewGroup(t.Context(), sc.Stage, sc.ToSoften)
		for _, c := range pl.Stands {
			if len(c.Options) == 0 || !g.BestPlace(t.Context(), c).Fits() {
				continue
			}
			for i := range c.Options {
				w := &c.Options[i]
				if searched++; !g.outOfReach(t.Context(), c, &w.Limits) {
					continue
				}
				passed++
				if spot, ok := g.covering(t.Context(), c, &w.Limits); ok {
					t.Errorf("%.2f m wide: %s on %d of %s is passed over and covers: %+v", *d.Framing.WidthM, c.Item.SKU, w.Limits.Count, w.Item.SKU, spot)
				}
			}
		}
	}
	if passed < 50 || passed == searched {
		t.Errorf("%d of %d kinds are passed over: too few or too many to say anything", passed, searched)
	}
}
