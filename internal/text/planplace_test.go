package text

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// World coordinates are x east, y north. A lens that looks east (90°) has south on its right and east behind the subject.
func TestPlacesAreAsTheCameraSeesThem(t *testing.T) {
	for _, tc := range []struct {
		bearing, x, y float64
		want          string
	}{
		{0, 2, 3, "2.0 m to the right, 3.0 m behind the subject"},
		{90, 2, 3, "3.0 m to the left, 2.0 m behind the subject"},
		{180, 2, 3, "2.0 m to the left, 3.0 m in front of the subject"},
		{0, 0.04, -0.04, "on the lens axis, level with the subject"},
		{0, -0.06, 0.06, "0.1 m to the left, 0.1 m behind the subject"},
	} {
		p := printer{axes: geom.AxesAlong(tc.bearing)}
		if got := place(&p, geom.Vec{X: tc.x, Y: tc.y}); got != tc.want {
			t.Errorf("%v: %s", tc, got)
		}
	}
}

func TestSupportsAreListedAroundTheFrame(t *testing.T) {
	// A frame of 4 m × 2 m in the middle 3 m up, by corners as the world has them, and stands under the points held.
	level := [4]geom.Vec{{X: -2, Y: -1, Z: 3}, {X: 2, Y: -1, Z: 3}, {X: 2, Y: 1, Z: 3}, {X: -2, Y: 1, Z: 3}}
	tilted, upright := level, level
	for i := range level {
		tilted[i].Z += level[i].Y / 2
		upright[i].Y, upright[i].Z = 0, 3+level[i].Y
	}
	under := func(points ...geom.Vec) (out []sizing.Support) {
		for _, v := range points {
			out = append(out, sizing.Support{Base: geom.Vec{X: v.X, Y: v.Y}, HeightM: v.Z})
		}
		return out
	}
	for name, tc := range map[string]struct {
		bearing  float64
		corners  [4]geom.Vec
		supports []sizing.Support
		want     []string
		heights  string
	}{
		"four, in any order": {0, level, under(level[2], level[0], level[3], level[1]),
			[]string{"near left corner", "near right corner", "far right corner", "far left corner"}, "level at 3.00 m"},
		"two at the ends": {0, level, under(geom.Vec{X: 2, Z: 3}, geom.Vec{X: -2, Z: 3}), []string{"left end", "right end"}, "level at 3.00 m"},
		// The lens looks along the long side.
		"two at the ends, seen endwise": {90, level, under(geom.Vec{X: 2, Z: 3}, geom.Vec{X: -2, Z: 3}), []string{"near end", "far end"}, "level at 3.00 m"},
		"far edge up":                   {0, tilted, under(tilted[:]...), []string{"near left corner", "near right corner", "far right corner", "far left corner"}, "near edge 2.50 m up, far edge 3.50 m up"},
		"far edge up, seen from behind": {180, tilted, under(tilted[:]...), []string{"near left corner", "near right corner", "far right corner", "far left corner"}, "far edge 2.50 m up, near edge 3.50 m up"},
		// From the west, north is on the left.
		"far edge up, seen from the side": {90, tilted, under(tilted[:]...), []string{"near left corner", "near right corner", "far right corner", "far left corner"}, "right edge 2.50 m up, left edge 3.50 m up"},
		"upright":                         {0, upright, under(upright[:]...), []string{"lower left corner", "lower right corner", "upper right corner", "upper left corner"}, "lower edge 2.00 m up, upper edge 4.00 m up"},
	} {
		t.Run(name, func(t *testing.T) {
			p := printer{axes: geom.AxesAlong(tc.bearing)}
			sides := sidesOf(&p, tc.corners)
			var got []string
			for _, h := range holds(&p, &sizing.Piece{Corners: tc.corners, Supports: tc.supports}, &sides) {
				got = append(got, h.at)
			}
			if diff := cmp.Diff(tc.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
			if got := sides.heights(); got != tc.heights {
				t.Errorf("%s, want %s", got, tc.heights)
			}
		})
	}
	// A stand whose arm reaches over holds the arm's end, not the point above its feet.
	p := printer{axes: geom.AxesAlong(0)}
	sides := sidesOf(&p, level)
	reaching := sizing.Support{Base: geom.Vec{X: 2.5}, HeightM: 3, Arm: &[2]geom.Vec{{X: 2.5, Z: 3}, {X: -2, Z: 3}}}
	if got := holds(&p, &sizing.Piece{Supports: []sizing.Support{reaching, {Base: geom.Vec{X: 2}, HeightM: 3}}}, &sides); got[0].support.Arm == nil || got[0].at != "left end" {
		t.Errorf("the arm holds the %s", got[0].at)
	}
}

func TestLevelsHaveThreeDigits(t *testing.T) {
	for lx, want := range map[float64]string{0: "0 lx", 0.25: "0.25 lx", 7.4: "7 lx", 253.4: "253 lx", 999.6: "1000 lx", 94133: "94100 lx", 98350: "98400 lx"} {
		if got := Metres.lux(lx); got != want {
			t.Errorf("%v lx: %s, want %s", lx, got, want)
		}
	}
}
