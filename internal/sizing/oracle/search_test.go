package oracle

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/sizing"
)

// TestSearchFindsWhatChanceFinds throws frames about at random. Whenever one lands so that it keeps every condition with
// the slack, the search must have found a place for that frame too: it may overlook nothing that blind luck meets.
func TestSearchFindsWhatChanceFinds(t *testing.T) {
	t.Parallel()
	stock, ok := catalog.DemoSnapshot("quayside")
	if !ok {
		t.Fatal("no demo catalogue")
	}
	throws := 1500
	if Full() {
		throws = 20000
	}
	hits := 0
	for _, shoot := range Scenes(5000, 40) {
		shot, faults := shoot.Draft.Resolve()
		if len(faults) > 0 {
			t.Fatalf("%s: %v", shoot, faults)
		}
		s := NewScene(shot, shot.Window.From, shot.Window.To)
		var hard []string
		for _, src := range s.softened() {
			hard = append(hard, src.Label)
		}
		if len(hard) == 0 {
			continue
		}
		h := NewSearch(s, stock, Coarse)
		rng := rand.New(rand.NewPCG(shoot.Seed, 3))
		frames := framesByArea(stock)
		for _, item := range []*catalog.Item{frames[rng.IntN(len(frames)/2)], frames[len(frames)/2+rng.IntN(len(frames)/2)]} {
			lucky := h.throw(item, hard, throws, rng)
			if lucky == nil {
				continue
			}
			hits++
			if _, bare := h.Place(item.SKU, hard, SlackM); bare == nil {
				t.Errorf("%s: the search finds no place for %s, chance found %v", shoot, item.SKU, lucky)
			}
		}
	}
	if hits < 10 {
		t.Errorf("chance found %d places in 40 scenes: too few to try the search", hits)
	}
}

// throw puts a frame at random between the zone and the sources; the first place that keeps the conditions with the
// slack, or nil.
func (h *Search) throw(item *catalog.Item, hard []string, throws int, rng *rand.Rand) *plate {
	s, f := h.scene, item.Spec.(*catalog.Frame)
	cloth := h.heaviestCloth(f)
	l, ok := h.limitsOf(f, item.MassKg+cloth.MassKg)
	if !ok {
		return nil
	}
	src := s.source(hard[0])
	m := src.Moments[len(src.Moments)/2]
	for range throws {
		n := toward(360*rng.Float64(), 90*rng.Float64())
		e1 := n.cross(up).unit()
		z := sizes(f)
		size := z[rng.IntN(len(z))]
		pl := plate{
			e1: e1, e2: n.cross(e1), normal: n,
			half1: size.half1, half2: size.half2, outer1: size.outer1, outer2: size.outer2,
			centre: s.Zone.middle.along(m.Toward, 6*rng.Float64()).plus(vec{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}.times(0.5)),
		}
		if h.kept(pl, hard, l) {
			return &pl
		}
	}
	return nil
}

// kept reports whether a frame alone keeps all conditions with the slack, by the checks' own means.
func (h *Search) kept(pl plate, hard []string, l limits) bool {
	s := h.scene
	top := pl.centre.z
	if l.corners {
		top += pl.outer2 * math.Abs(pl.e2.z)
	}
	outline := pl.outline()
	if top > l.heldTo-SlackM || lowest(outline) < lowestEdgeM+SlackM || pl.centre.far(s.Zone.middle) > reachM {
		return false
	}
	// The middle of the zone first: it decides nearly always.
	for _, label := range hard {
		src := s.source(label)
		if x := pl.cast(s.Zone.middle, src, src.Moments[0]); !x.hit || x.inside < l.coverM {
			return false
		}
	}
	strict := *s
	strict.Shot.Allowance.HeadM += SlackM
	if len(CheckHead(&strict, sizing.Piece{}, pl)) > 0 {
		return false
	}
	// The search leaves out turns nearly edge-on to a source.
	for _, label := range hard {
		src := s.source(label)
		for _, m := range src.Moments {
			if math.Abs(m.Toward.dot(pl.normal)) < leastFacing+0.02 {
				return false
			}
		}
	}
	c := castAll(s, pl, hard, l.coverM+SlackM, rand.New(rand.NewPCG(1, 1)))
	if c.ShortM > 0 {
		return false
	}
	clear := s.View.leastOnPlate(pl.corner(-1, -1, true), pl.e1.times(2*pl.outer1), pl.e2.times(2*pl.outer2))
	return clear >= s.Shot.Allowance.ViewM+SlackM
}

// TestFinerSearchFindsLittleMore compares the search with a far finer one: a frame to which the finer gives clearly more
// slack than is wanted must not escape the coarser.
func TestFinerSearchFindsLittleMore(t *testing.T) {
	t.Parallel()
	n, compared := 2, 0 // of the sixty, which take minutes
	if Full() {
		n = 60
	}
	stock, _ := catalog.DemoSnapshot("quayside")
	for _, shoot := range Scenes(7000, n) {
		shot, faults := shoot.Draft.Resolve()
		if len(faults) > 0 {
			t.Fatalf("%s: %v", shoot, faults)
		}
		s := NewScene(shot, shot.Window.From, shot.Window.To)
		var hard []string
		for _, src := range s.softened() {
			hard = append(hard, src.Label)
		}
		coarse, fine := NewSearch(s, stock, Coarse), NewSearch(s, stock, Fine)
		for _, item := range framesByArea(stock) {
			_, want := fine.Place(item.SKU, hard, SlackM)
			if want == nil {
				continue
			}
			compared++
			_, got := coarse.Place(item.SKU, hard, SlackM)
			if got == nil && want.SlackM > SlackM+0.02 {
				t.Errorf("%s, %s: nothing, the finer search finds %.3f m of slack", shoot, item.SKU, want.SlackM)
			}
			if got != nil && want.SlackM > got.SlackM+0.05 {
				t.Logf("%s, %s: %.3f m of slack, the finer search finds %.3f m", shoot, item.SKU, got.SlackM, want.SlackM)
			}
		}
	}
	if compared == 0 {
		t.Error("no frame was found to compare")
	}
}
