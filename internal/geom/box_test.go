package geom_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"kitspan/internal/geom"
)

func drawBox(t *rapid.T, label string) geom.Box {
	half := rapid.Float64Range(0.1, 2)
	return geom.Box{Mid: drawVec(t, label, 4), Half: geom.Vec{X: half.Draw(t, "half x"), Y: half.Draw(t, "half y"), Z: half.Draw(t, "half z")}}
}

// inside is by the definition of a box, and by how much.
func inside(b geom.Box, p geom.Vec) float64 {
	d := p.Sub(b.Mid)
	return math.Min(b.Half.X-math.Abs(d.X), math.Min(b.Half.Y-math.Abs(d.Y), b.Half.Z-math.Abs(d.Z)))
}

func TestCornersAreOnTheirSides(t *testing.T) {
	b := geom.Box{Mid: geom.Vec{X: 10, Y: 20, Z: 30}, Half: geom.Vec{X: 1, Y: 2, Z: 3}}
	want := [8]geom.Vec{
		{X: 9, Y: 18, Z: 27}, {X: 11, Y: 18, Z: 27}, {X: 9, Y: 22, Z: 27}, {X: 11, Y: 22, Z: 27},
		{X: 9, Y: 18, Z: 33}, {X: 11, Y: 18, Z: 33}, {X: 9, Y: 22, Z: 33}, {X: 11, Y: 22, Z: 33},
	}
	if got := b.Corners(); got != want {
		t.Errorf("%v, want %v", got, want)
	}
}

// A linear function is greatest at a corner.
func TestSupportIsThatOfTheFarthestCorner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, n := drawBox(t, "box"), drawVec(t, "n", 1)
		want := math.Inf(-1)
		for _, c := range b.Corners() {
			want = math.Max(want, n.Dot(c))
		}
		if got := b.Support(n); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v, want %v", got, want)
		}
	})
}

// The depth within a box is a concave function along a segment, so that ever finer steps around the deepest find it.
func deepest(b geom.Box, p, q geom.Vec, depth func(geom.Box, geom.Vec) float64) float64 {
	lo, hi := 0.0, 1.0
	at := func(s float64) float64 { return depth(b, p.Add(q.Sub(p).Scale(s))) }
	for range 200 {
		a, c := lo+(hi-lo)/3, hi-(hi-lo)/3
		if at(a) < at(c) {
			lo = a
		} else {
			hi = c
		}
	}
	return math.Max(at(lo), math.Max(at(0), at(1)))
}

func TestSegmentsCutABoxWhereTheyComeIntoIt(t *testing.T) {
	cuts, over, past := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		b, p, q := drawBox(t, "box"), drawVec(t, "p", 6), drawVec(t, "q", 6)
		flat := func(b geom.Box, p geom.Vec) float64 {
			p.Z = b.Mid.Z
			return inside(geom.Box{Mid: b.Mid, Half: geom.Vec{X: b.Half.X, Y: b.Half.Y, Z: 1e9}}, p)
		}
		for _, c := range []struct {
			got  bool
			deep float64
		}{{b.CutBy(p, q), deepest(b, p, q, inside)}, {b.CutInPlan(p, q), deepest(b, p, q, flat)}} {
			if math.Abs(c.deep) > 1e-9 && c.got != (c.deep > 0) {
				t.Errorf("cut: %v, %v m deep", c.got, c.deep)
			}
		}
		switch {
		case b.CutBy(p, q):
			cuts++
		case b.CutInPlan(p, q):
			over++
		default:
			past++
		}
		if b.CutBy(p, q) && !b.Bounds().Touches(geom.BoundsOf(p, q)) {
			t.Error("a segment cuts a box that lies beyond one side of it")
		}
		if !b.CutBy(p, b.Mid) || !b.CutBy(b.Mid, b.Mid) || !b.CutInPlan(b.Mid.Add(geom.Vec{Z: 50}), b.Mid.Add(geom.Vec{Z: 50})) {
			t.Error("a segment that ends in the box does not cut it")
		}
	})
	if cuts == 0 || over == 0 || past == 0 {
		t.Errorf("%d cut, %d passed over, %d passed by: one kind was not tried", cuts, over, past)
	}
}

func TestDistanceInPlanIsThatOfTheNearestPlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, p := drawBox(t, "box"), drawVec(t, "p", 6)
		got := b.DistanceInPlan(p)
		want := math.Inf(1)
		const steps = 40
		for i := range steps + 1 {
			for k := range steps + 1 {
				x := b.Mid.X + b.Half.X*(2*float64(i)/steps-1)
				y := b.Mid.Y + b.Half.Y*(2*float64(k)/steps-1)
				want = math.Min(want, math.Hypot(p.X-x, p.Y-y))
			}
		}
		if cell := math.Hypot(b.Half.X, b.Half.Y) / steps; got > want+1e-12 || got < want-cell {
			t.Errorf("%v, want %v", got, want)
		}
		grown := b.Grow(0.25)
		if d := grown.DistanceInPlan(p); got > 0.25*math.Sqrt2 && (d > got-0.25+1e-12 || d < got-0.25*math.Sqrt2-1e-12) {
			t.Errorf("%v from the grown box, %v from the box", d, got)
		}
	})
}

func TestBoundsTouchAndOverlapWhereBoxesDo(t *testing.T) {
	overlaps, apart := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawBox(t, "a"), drawBox(t, "b")
		corners := a.Corners()
		for _, c := range corners {
			if !a.Grow(1e-12).Bounds().Contains(c) {
				t.Errorf("the corner %v is out of bounds", c)
			}
		}
		if got := geom.BoundsOf(corners[:]...); got != a.Bounds() {
			t.Errorf("bounds of the corners: %v, want %v", got, a.Bounds())
		}
		// Two boxes are apart where they are along one axis.
		d := a.Mid.Sub(b.Mid)
		gap := math.Max(math.Abs(d.X)-a.Half.X-b.Half.X, math.Max(math.Abs(d.Y)-a.Half.Y-b.Half.Y, math.Abs(d.Z)-a.Half.Z-b.Half.Z))
		for name, got := range map[string]bool{
			"overlaps": a.Bounds().Overlaps(b.Bounds()), "touches": a.Bounds().Touches(b.Bounds()),
			"overlapped": b.Bounds().Overlaps(a.Bounds()), "touched": b.Bounds().Touches(a.Bounds()),
		} {
			if math.Abs(gap) > 1e-9 && got != (gap < 0) {
				t.Errorf("%s: %v, with a gap of %v m", name, got, gap)
			}
		}
		if gap < 0 {
			overlaps++
		} else {
			apart++
		}
	})
	if overlaps == 0 || apart == 0 {
		t.Errorf("%d overlap, %d are apart: one kind was not tried", overlaps, apart)
	}
	// Flush: a shared face is touched, and no overlap.
	low, high := geom.Bounds{High: geom.Vec{X: 1, Y: 1, Z: 0.1}}, geom.Bounds{Low: geom.Vec{Z: 0.1}, High: geom.Vec{X: 1, Y: 1, Z: 2}}
	if low.Overlaps(high) || !low.Touches(high) || !high.Contains(geom.Vec{X: 1, Z: 0.1}) || high.Contains(geom.Vec{X: 1, Z: 0.09}) {
		t.Error("boxes that stand flush overlap, or do not touch")
	}
}
