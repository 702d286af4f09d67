//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package lighting

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/price"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/shot/shottest"
)

// randomSetup returns a setup without anything in it for a shot in the wind, all by chance.
func randomSetup(t *testing.T, rng *rand.Rand, slug string) *Setup {
	t.Helper()
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	d := shottest.Bare()
	d.Camera = shot.DraftCamera{BearingDeg: new(in(0, 360)), HeightM: new(in(0.4, 2.6)), AimHeightM: new(in(0.8, 1.5))}
	d.Framing = shot.DraftFraming{WidthM: new(in(0.5, 4)), DistanceM: new(in(1.2, 8))}
	d.GustMS, d.GroundAnchor = new(in(1, 14)), new([]string{shot.AnchorStakes, shot.AnchorBallast}[rng.IntN(2)])
	d.Site.Ground = new([]string{"grass", "concrete"}[rng.IntN(2)])
	shot := shottest.Resolve(t, d)
	stock, ok := catalog.DemoSnapshot(slug)
	if !ok {
		t.Fatalf("no demo house %q", slug)
	}
	prices := price.NewDesk(stock, shot.Window.Date)
	return NewSetup(NewPlanner(&shot, stock, prices, anchorage.NewPlanner(&shot, stock, prices)), scene.LightOf(&shot), nil)
}

// randomPiece returns a board, a framed cloth or a lamp of the house somewhere about the subject, turned anyhow.
func (s *Setup) randomPiece(rng *rand.Rand) *Piece {
	in := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	at := geom.Toward(in(0, 360), 0).Scale(in(1, 6)).Add(geom.Vec{Z: in(0.5, 4.5)})
	if rng.IntN(4) == 0 {
		l := s.gear.lamps[rng.IntN(len(s.gear.lamps))]
		return &Piece{Role: finding.RoleLamp, Items: l.counts(), MassKg: l.massKg, Lamp: &light.Lamp{At: at}}
	}
	l := s.gear.emitters[rng.IntN(len(s.gear.emitters))]
	p := &Piece{Role: finding.RoleReflector, Items: l.counts(), MassKg: l.massKg, framed: l.frame != nil}
	p.Sheet, p.Outer = sheetToward(at, geom.Toward(in(0, 360), in(-80, 80)), l.sheet)
	return p
}

// holdsSomewhere reports whether a piece by itself holds the gust as it stands, or on some other kind of stand of the house.
func (s *Setup) holdsSomewhere(p *Piece) bool {
	if got := s.Secure(p, p, s.Holding.GustMS, s.Remaining, false); got.Holds {
		return true
	}
	for i := range s.gear.stands {
		w := &s.gear.stands[i]
		other := *p
		other.Masts = nil
		if !s.standOn(&other, s.ends(p), []anchorage.Support{*w}) || !s.clearOf(&other, p) {
			continue
		}
		for k := range other.Masts {
			other.Masts[k].Support = w
		}
		if got := s.Secure(&other, p, s.Holding.GustMS, s.Remaining, false); got.Holds {
			return true
		}
	}
	return false
}

// TestNothingThatHoldsIsRefused stands pieces about at random in random wind, with more or less ballast left in the house:
// what is refused holds on no stand, and what is left not holding holds on no other.
func TestNothingThatHoldsIsRefused(t *testing.T) {
	const seed = 31
	rng := rand.New(rand.NewPCG(seed, 0))
	refused, passed, saved := 0, 0, 0
	const setups = 60
	for range setups {
		s := randomSetup(t, rng, []string{"quayside", "northpier"}[rng.IntN(2)])
		for range 60 {
			p := s.randomPiece(rng)
			if !s.standUp(p, s.ends(p)) {
				continue
			}
			clear(s.taken)
			for _, item := range s.stock.Items() {
				switch item.Spec.(type) {
				case *catalog.Ballast, *catalog.Anchor:
					if rng.IntN(3) == 0 {
						s.taken[item.SKU] = item.Owned - min(item.Owned, rng.IntN(10))
					}
				}
			}
			can, does := s.canHold(p), s.holdsSomewhere(p)
			what := fmt.Sprintf("seed %d: %s at %.3f in %.2f m/s", seed, p.Items[0].SKU, p.Masts[0].Held, s.Holding.GustMS)
			if can != does {
				t.Errorf("%s holds: %v, answered: %v", what, does, can)
			}
			first := p.Masts[0].Support
			s.add([]*Piece{p})
			s.brace(t.Context())
			// Bracing lays the most that goes there where the search for the least gives up, and that holds at times.
			h := p.Anchorage.Hold()
			if does && !p.Anchorage.Holds || p.Anchorage.Holds && !h.Holds(s.Holding.GustMS-1e-6) {
				t.Errorf("%s holds somewhere: %v, braced: %v", what, does, p.Anchorage.Holds)
			}
			s.drop(0)
			switch {
			case !can:
				refused++
			case does && p.Masts[0].Support != first:
				saved++
			default:
				passed++
			}
		}
	}
	t.Logf("%d refused, %d passed as they stood, %d on other stands", refused, passed, saved)
	if refused < setups/2 || passed < setups*8 || saved < setups/2 {
		t.Error("too few of some kind")
	}
}

// TestBestIsABound holds pieces with arms to the same without: none holds that the other does not.
func TestBestIsABound(t *testing.T) {
	const seed = 37
	rng := rand.New(rand.NewPCG(seed, 0))
	compared := 0
	for range 40 {
		s := randomSetup(t, rng, "quayside")
		for range 40 {
			p := s.randomPiece(rng)
			if !s.standUp(p, s.ends(p)) {
				continue
			}
			got := s.Secure(p, p, s.Holding.GustMS, s.Remaining, false)
			for i := range p.Masts {
				p.Masts[i].Base.X, p.Masts[i].Base.Y = p.Masts[i].Held.X, p.Masts[i].Held.Y
			}
			b := s.Held(p)
			best := s.Holding.AtBest(&b, s.takesRopes(p))
			compared++
			if got.Holds && !best {
				t.Errorf("seed %d: %s holds, and at best does not", seed, p.Items[0].SKU)
			}
		}
	}
	if compared < 500 {
		t.Errorf("only %d compared", compared)
	}
}
