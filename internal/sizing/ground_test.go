//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"testing"

	"kitspan/internal/finding"
)

// Feet and wheels sink in whatever is not paved: common practice is boards under the feet, said once an option.
func TestSoftGroundIsNoted(t *testing.T) {
	for ground, soft := range map[string]bool{"sand": true, "snow": true, "grass": true, "soil": true, "water": true, "concrete": false, "asphalt": false} {
		d := jetty()
		d.Site.Ground = &ground
		for _, o := range plan(t, d).Options {
			n := 0
			for _, note := range o.Notes {
				if told, ok := note.(finding.SoftGround); ok {
					n++
					if told.Ground != ground {
						t.Errorf("%s: %s says %s", ground, o.Label, told.Ground)
					}
				}
			}
			if soft != (n == 1) || n > 1 {
				t.Errorf("%s: %s has %d notes", ground, o.Label, n)
			}
		}
	}
}
