package geom_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"kitspan/internal/geom"
)

func near(t rapid.TB, what string, got, want geom.Vec) {
	t.Helper()
	if d := got.Sub(want).Len(); !(d <= 1e-12*(1+want.Len())) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

func drawVec(t *rapid.T, label string, far float64) geom.Vec {
	in := rapid.Float64Range(-far, far)
	return geom.Vec{X: in.Draw(t, label+" x"), Y: in.Draw(t, label+" y"), Z: in.Draw(t, label+" z")}
}

// By compass: who looks east has south on the right.
func TestAxesLieAsTheLensLooks(t *testing.T) {
	north, east := geom.Vec{Y: 1}, geom.Vec{X: 1}
	for _, c := range []struct {
		bearing         float64
		right, straight geom.Vec
	}{
		{0, east, north}, {90, north.Scale(-1), east}, {180, east.Scale(-1), north.Scale(-1)}, {270, north, east.Scale(-1)}, {-90, north, east.Scale(-1)},
	} {
		a := geom.AxesAlong(c.bearing)
		near(t, "right", a.ToWorld(geom.Vec{X: 1}), c.right)
		near(t, "away", a.ToWorld(geom.Vec{Y: 1}), c.straight)
		near(t, "up", a.ToWorld(geom.Vec{Z: 1}), geom.Vec{Z: 1})
	}
}

func TestAxesTurnWithoutStretching(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bearing := rapid.Float64Range(-360, 720).Draw(t, "bearing")
		a, p, q := geom.AxesAlong(bearing), drawVec(t, "p", 100), drawVec(t, "q", 100)
		near(t, "there and back", a.ToWorld(a.FromWorld(p)), p)
		near(t, "back and there", a.FromWorld(a.ToWorld(p)), p)
		if got, want := a.FromWorld(p).Dot(a.FromWorld(q)), p.Dot(q); math.Abs(got-want) > 1e-11*(1+p.Len()*q.Len()) {
			t.Errorf("the scalar product becomes %v, was %v", got, want)
		}
		near(t, "handedness", a.FromWorld(p).Cross(a.FromWorld(q)), a.FromWorld(p.Cross(q)))
		// A direction by compass is one by the angle against the lens.
		off, up := rapid.Float64Range(-180, 180).Draw(t, "off"), rapid.Float64Range(-90, 90).Draw(t, "up")
		near(t, "direction", a.FromWorld(geom.Toward(bearing+off, up)), geom.Toward(off, up))
	})
}
