package scene_test

import (
	"math"
	"testing"

	"kitspan/internal/scene"
	"kitspan/internal/shot/shottest"
)

// backgroundOf is the background of a shot of the given bearing and faces with readings of 90,000 lx of sun and 12,000 lx of sky.
func backgroundOf(t *testing.T, bearingDeg float64, faces string) (b scene.BackgroundLevel, sunElevationDeg, sunAzimuthDeg float64) {
	t.Helper()
	d := shottest.Bare()
	d.Sky.SunLx, d.Sky.SkyLx = new(90000.0), new(12000.0)
	d.Camera.BearingDeg, d.Background.Faces, d.Site.GroundReflectance = &bearingDeg, &faces, new(0.25)
	s := shottest.Resolve(t, d)
	l := scene.LightOf(&s)
	m := l.Sources[0].Moments[len(l.Sources[0].Moments)/2]
	return l.Background, m.ElevationDeg, m.AzimuthDeg
}

// The sky's half and the ground's half are Liu & Jordan's for 90°; against them the sun comes only with the lens's back to it.
func TestBackgroundIsWhatFacesTheLens(t *testing.T) {
	t.Parallel()
	against, e, azimuth := backgroundOf(t, 262, "upright")
	level := 12000 + 90000*math.Sin(e*math.Pi/180)
	shaded := 6000 + 0.125*level
	away, _, _ := backgroundOf(t, azimuth-180, "upright")
	beside, _, _ := backgroundOf(t, azimuth-120, "upright")
	ground, _, _ := backgroundOf(t, 262, "level")
	sky, _, _ := backgroundOf(t, 262, "sky")
	flat := 90000 * math.Cos(e*math.Pi/180)
	for _, tc := range []struct {
		what      string
		got, want float64
	}{
		{"toward the sun", against.ReferenceLx, shaded},
		{"the sun straight behind the lens", away.ReferenceLx, shaded + flat},
		{"the sun 60° beside straight behind the lens", beside.ReferenceLx, shaded + flat/2},
		{"ground", ground.ReferenceLx, level},
		{"sky", sky.ReferenceLx, 12000 / 0.18},
		{"the ground told beside the sides", against.LevelLx, level},
		{"the sides told beside the ground", ground.UprightLx, shaded},
	} {
		if off := math.Abs(tc.got/tc.want - 1); !(off < 1e-6) {
			t.Errorf("%s: %.1f lx, want %.1f", tc.what, tc.got, tc.want)
		}
	}
}
