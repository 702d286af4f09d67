//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/shot"
)

// A zone is given east and north of the subject; whoever thinks of left and right of the lens puts it out of the picture.
func TestAZoneOutOfThePictureIsNoted(t *testing.T) {
	for _, c := range []struct {
		what    string
		turnDeg float64 // off the way along which the lens looks
		farM    float64
		unseen  bool
	}{
		{"behind the subject", 0, 4, false},
		{"abreast of it", 90, 15, true},
		{"behind the lens", 180, 15, true},
	} {
		d := jetty()
		at := geom.Toward(*d.Camera.BearingDeg+c.turnDeg, 0).Scale(c.farM)
		d.OtherZones = []shot.DraftOtherZone{{Label: some("mates"), CenterM: []float64{at.X, at.Y}, WidthM: some(0.8), DepthM: some(0.5)}}
		for _, o := range plan(t, d).Options {
			n, ok := noted[finding.ZoneUnseen](o)
			if ok != c.unseen || ok && n.Zone != "mates" {
				t.Errorf("%s: %s has a note %v: %+v", c.what, o.Label, ok, n)
			}
		}
	}
}
