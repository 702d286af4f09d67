package anchorage

import (
	"math"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/placement"
	"kitspan/internal/price"
	"kitspan/internal/rigging"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/shot/shottest"
)

// onGround is a planner of the demo house for a bare shot on some ground, with the user's fixed points.
func onGround(t *testing.T, word, anchor string, points ...shot.DraftAnchor) (*Planner, *scene.Stage) {
	t.Helper()
	d := shottest.Bare()
	d.Site.Ground, d.GroundAnchor, d.Site.Anchors = &word, &anchor, points
	s := shottest.Resolve(t, d)
	stock, ok := catalog.DemoSnapshot("quayside")
	if !ok {
		t.Fatal("no demo house")
	}
	return NewPlanner(&s, stock, price.NewDesk(stock, s.Window.Date)), scene.NewStage(&s)
}

// frameOf is a square frame well above and beside the people, on two stands of the demo house or on four.
func frameOf(t *testing.T, pl *Planner, stands int, sideM, tiltDeg, middleM float64, sku string) *Piece {
	t.Helper()
	sin, cos := math.Sincos(tiltDeg * math.Pi / 180)
	r := geom.Rect{Center: geom.Vec{X: -9, Y: 4, Z: middleM}, U: geom.Vec{X: 1}, V: geom.Vec{Y: cos, Z: sin}, HalfU: sideM / 2, HalfV: sideM / 2}
	item := pl.stock.Item(sku)
	spec := item.Spec.(*catalog.Support)
	w := &Support{Item: item, Spec: spec, Limits: placement.SupportLimits{HighestM: spec.HighestM}}
	p := &Piece{Outer: r, Solidity: 1, MassKg: 3 * sideM * sideM}
	c := r.Corners()
	at := c[:]
	switch stands {
	case 1:
		at = []geom.Vec{r.Center}
	case 2:
		at = []geom.Vec{r.Center.Sub(r.U.Scale(r.HalfU)), r.Center.Add(r.U.Scale(r.HalfU))}
	}
	for _, held := range at {
		p.Masts = append(p.Masts, Mast{Base: geom.Vec{X: held.X, Y: held.Y}, Held: held, Support: w})
	}
	return p
}

func nothingAround(st *scene.Stage) *Surroundings {
	return &Surroundings{Stage: st, Cut: func(_, _ geom.Vec) bool { return false }}
}

// TestEveryStandHasAFloorOfBallast: in still air 15 kg lie on a stand, and 30 on one with an arm or over 3 m high (common
// practice, no source).
func TestEveryStandHasAFloorOfBallast(t *testing.T) {
	pl, st := onGround(t, "concrete", "ballast")
	for _, test := range []struct {
		sku     string
		heightM float64
		floorKg float64
	}{{"QG-STAND-COMBO", 2, 15}, {"QG-STAND-COMBO", 3.2, 30}, {"QG-STAND-COMBO-ARM-06", 2, 30}} {
		p := frameOf(t, pl, 2, 0.6, 90, test.heightM, test.sku)
		got := pl.Secure(p, 0, nothingAround(st), pl.Owned, false)
		if !got.Holds {
			t.Fatalf("%s at %.1f m does not hold in still air", test.sku, test.heightM)
		}
		for i := range p.Masts {
			if kg := float64(got.Bags[i]) * got.Bag.MassKg; kg < test.floorKg || kg > test.floorKg+got.Bag.MassKg+15 {
				t.Errorf("%s at %.1f m: %.0f kg on it, want about %.0f", test.sku, test.heightM, kg, test.floorKg)
			}
		}
	}
}

// TestRopesSaveBallast: a frame that no ballast on its stands holds is held by ropes to stakes in grass; on concrete the same ropes
// lead to ballast on the ground; a fixed point of the user's is taken before either and costs nothing.
func TestRopesSaveBallast(t *testing.T) {
	const gust = 8
	_, st := onGround(t, "concrete", "ballast")
	at := st.ToWorld(geom.Vec{X: -12, Y: 7, Z: 1})
	for _, test := range []struct {
		ground, anchor string
		points         []shot.DraftAnchor
	}{
		{"grass", "stakes", nil},
		{"concrete", "ballast", nil},
		{"concrete", "ballast", []shot.DraftAnchor{{Label: ptr("railing"), PositionM: []float64{at.X, at.Y, at.Z}, SafePullN: ptr(3000.0)}}},
	} {
		pl, st := onGround(t, test.ground, test.anchor, test.points...)
		p := frameOf(t, pl, 2, 2.44, 60, 2.8, "QG-STAND-CRANK-37")
		free := pl.Secure(p, gust, nil, pl.Owned, false)
		got := pl.Secure(p, gust, nothingAround(st), pl.Owned, false)
		if free.Holds {
			t.Fatalf("on %s it holds without ropes: %+v", test.ground, free.Bags)
		}
		if !got.Holds || len(got.Ropes) < leastRopes {
			t.Fatalf("on %s it is held by %d ropes: %v", test.ground, len(got.Ropes), got.Holds)
		}
		if h := got.Hold(); !h.Holds(gust - 1e-6) {
			t.Errorf("on %s it holds %+v", test.ground, h)
		}
		named := 0
		forces, pullN := got.Forces(gust)
		for _, r := range got.Ropes {
			if r.Label != "" {
				named++
			}
			if r.Label == "" && r.Weighted() == (test.anchor == "stakes") {
				t.Errorf("on %s a rope leads to %v", test.ground, r.Anchor)
			}
			if safe := r.Item.Spec.(*catalog.Line).SafePullN; pullN <= 0 || pullN > safe {
				t.Errorf("on %s a rope of %.0f N pulls %.0f N", test.ground, safe, pullN)
			}
		}
		if (named > 0) != (test.points != nil) {
			t.Errorf("on %s %d ropes lead to fixed points", test.ground, named)
		}
		if forces.MastNM[0] <= 0 || forces.FeetN[0] <= 0 {
			t.Errorf("on %s masts bear %+v", test.ground, forces)
		}
		if gone := got.RopeGoneMS(); gone <= 0 || gone >= gust {
			t.Errorf("on %s it holds %.2f m/s without its worst rope", test.ground, gone)
		}
	}
}

// TestNobodyCarriesHeavyBlocks: what is over what two people lift together is neither ballast nor anchor.
func TestNobodyCarriesHeavyBlocks(t *testing.T) {
	pl, st := onGround(t, "concrete", "ballast")
	p := frameOf(t, pl, 4, 3.66, 20, 3.2, "QG-STAND-CRANK-52")
	for _, gust := range []float64{4, 8, 11} {
		got := pl.Secure(p, gust, nothingAround(st), pl.Owned, true)
		for _, c := range got.Counts() {
			if kg := pl.stock.Item(c.SKU).MassKg; !rigging.HandCarried(kg) {
				t.Errorf("at %.0f m/s %d × %s of %.0f kg", gust, c.Quantity, c.SKU, kg)
			}
		}
	}
}

// TestNoBallastLeft: a piece is secured with what the house has left, and with none where nothing is asked.
func TestNoBallastLeft(t *testing.T) {
	pl, _ := onGround(t, "concrete", "ballast")
	p := frameOf(t, pl, 1, 0.6, 90, 1.2, "QG-STAND-LOW")
	none := func(string) int { return 0 }
	if got := pl.Secure(p, 8, nil, none, false); got.Holds || got.Bag != nil && got.MostBags() > 0 {
		t.Errorf("without ballast it holds with %+v", got.Bags)
	}
	pl.leastKg, pl.highKg = 0, 0
	if got := pl.Secure(p, 0, nil, none, false); !got.Holds || len(got.Counts()) > 0 {
		t.Errorf("still air: holds %v with %v", got.Holds, got.Counts())
	}
	if got := pl.Secure(p, 8, nil, pl.Owned, false); !got.Holds {
		t.Error("8 m/s are held by nothing that the house owns")
	}
}

func ptr[T any](v T) *T { return &v }

// TestNothingIsLaidForNothing: where a stand gives way first, as under ropes that press on it, a piece that does not hold the gust is spared
// the ballast that does not let it stay up longer.
func TestNothingIsLaidForNothing(t *testing.T) {
	pl, st := onGround(t, "concrete", "ballast")
	for _, test := range []struct {
		name        string
		sku         string
		ropes, calm bool // whether it gets ropes, and stands in calm air
	}{
		{"under the wind", "QG-STAND-COMBO", false, true},
		{"under ropes", "QG-STAND-COMBO", true, true},
		{"too heavy", "QG-STAND-LIGHT-HIGH", true, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			p := frameOf(t, pl, 2, 2.44, 20, 2.8, test.sku)
			around := nothingAround(st)
			if !test.ropes {
				around = nil
			}
			most := pl.Secure(p, 14, around, pl.Owned, true)
			got := pl.Spare(p, &most, pl.Owned)
			was, is := most.Hold(), got.Hold()
			if most.Holds || got.Holds || was.Governs != rigging.GovernsSupport || (was.LowerAtMS > 0) != test.calm {
				t.Fatalf("with %.0f kg it is to be lowered at %.2f m/s, by %s", most.BallastKg(), was.LowerAtMS, was.Governs)
			}
			if is.LowerAtMS < 0.98*was.LowerAtMS {
				t.Errorf("to be lowered at %.2f m/s, with as much as goes at %.2f", is.LowerAtMS, was.LowerAtMS)
			}
			if got.BallastKg() > 0.8*most.BallastKg() {
				t.Errorf("%.0f kg, with as much as goes %.0f", got.BallastKg(), most.BallastKg())
			}
			if again := pl.Spare(p, &got, pl.Owned); again.Minor < got.Minor*9/10 {
				t.Errorf("spared twice it costs %d, once %d", again.Minor, got.Minor)
			}
		})
	}
}

// TestRopesThatAreTiedToNothingAreNotReckonedWith: where the weights that are left go on the stands, the ropes that would be tied to them are
// neither told nor held by.
func TestRopesThatAreTiedToNothingAreNotReckonedWith(t *testing.T) {
	pl, st := onGround(t, "concrete", "ballast")
	p := frameOf(t, pl, 2, 2.44, 80, 1.6, "QG-STAND-COMBO")
	unroped := 0
	for few := range 40 {
		left := func(sku string) int {
			switch spec := pl.stock.Item(sku).Spec.(type) {
			case *catalog.Ballast:
				return few
			case *catalog.Anchor:
				if spec.Form == catalog.FormWeight {
					return 0
				}
			}
			return pl.Owned(sku)
		}
		got := pl.Secure(p, 14, nothingAround(st), left, true)
		h := got.Hold()
		if len(got.Ropes) > 0 {
			continue
		}
		unroped++
		if h.Governs == rigging.GovernsAnchor || h.Governs == rigging.GovernsLine {
			t.Errorf("%d of each ballast: what goes first without a rope is %s", few, h.Governs)
		}
		free := pl.Secure(p, 14, nil, left, true)
		if alone := free.Hold(); h.GoesAtMS > alone.GoesAtMS+1e-6 {
			t.Errorf("%d of each ballast: without a rope it goes at %.3f m/s, and where there is no room for any at %.3f", few, h.GoesAtMS, alone.GoesAtMS)
		}
	}
	if unroped == 0 {
		t.Error("ropes always find weights")
	}
}
