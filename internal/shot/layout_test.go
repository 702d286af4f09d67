package shot

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"kitspan/internal/geom"
)

// A lens that looks east, 10 m west of the subject and level with what it aims at: 4 m are seen across at the subject, 2 m
// up at an aspect of 2, and a person who stands to the north is on its left.
func TestTheSetIsAsTheCameraHasIt(t *testing.T) {
	s := Shot{
		Camera:  Camera{BearingDeg: 90, HeightM: 1.5, AimHeightM: 1.5},
		Framing: Framing{DistanceM: 10, WidthM: 4, AspectRatio: 2},
		Zone:    Zone{WidthM: 2, DepthM: 1, BaseM: 0.5, TopM: 2},
	}
	v := s.View()
	for _, c := range []struct {
		p    geom.Vec
		want float64 // out of the picture
	}{
		{geom.Vec{X: 1.99, Z: 1.5}, 0}, {geom.Vec{X: 2.25, Z: 1.5}, 0.25}, {geom.Vec{X: -2.25, Z: 1.5}, 0.25},
		{geom.Vec{Z: 2.49}, 0}, {geom.Vec{Z: 2.75}, 0.25}, {geom.Vec{Y: 10, X: 4.25, Z: 1.5}, 0.25}, {geom.Vec{Y: -11, Z: 1.5}, math.Inf(1)},
	} {
		if got := v.Clearance(c.p); math.Abs(got-c.want) > 1e-12 && got != c.want {
			t.Errorf("%v is %v m out of the picture, want %v", c.p, got, c.want)
		}
	}
	if got, want := s.Zone.Box(), (geom.Box{Mid: geom.Vec{Z: 1.25}, Half: geom.Vec{X: 1, Y: 0.5, Z: 0.75}}); got != want {
		t.Errorf("main zone %v, want %v", got, want)
	}
	north := OtherZone{CenterX: 3, CenterY: 5, WidthM: 2, DepthM: 1, TopM: 1.8}.Box(s.Axes())
	if want := (geom.Vec{X: -5, Y: 3, Z: 0.9}); north.Mid.Sub(want).Len() > 1e-12 {
		t.Errorf("the zone in the north is at %v, want %v", north.Mid, want)
	}
}

// Zones one over the other that share a height do not overlap, whatever rounding makes of their middles and half-heights.
func TestZonesThatStandFlushDoNotOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		height := rapid.Float64Range(0.1, 20)
		low, mid := height.Draw(t, "low"), height.Draw(t, "mid")
		a := Zone{WidthM: 2, DepthM: 1, BaseM: low, TopM: low + mid}
		b := OtherZone{WidthM: 2, DepthM: 1, BaseM: a.TopM, TopM: a.TopM + height.Draw(t, "high")}
		axes := geom.AxesAlong(rapid.Float64Range(0, 360).Draw(t, "bearing"))
		if a.bounds().Overlaps(b.bounds(axes)) {
			t.Error("zones that stand flush overlap")
		}
		b.BaseM -= 0.01
		if !a.bounds().Overlaps(b.bounds(axes)) {
			t.Error("zones that share a centimetre do not overlap")
		}
	})
}
