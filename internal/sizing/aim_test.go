//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"path/filepath"
	"slices"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

// A board that throws the sun sends it where the answer says: by the law of reflection, from its middle and by the way that it looks, the
// sun of mid-window comes past that point. A frame over people lets the light in from above.
func TestBoardsSendTheSunWhereTheyAreAimed(t *testing.T) {
	t.Parallel()
	const pastM = 0.02
	aimed := 0
	for _, name := range []string{"01-two-anglers", "03-tiles-table-top", "06-regatta-crowd", "07-noon-on-the-beach", "08-ferry-captain-upright", "05-six-rowers"} {
		house, d := exampleDraft(t, filepath.Join("../../docs/examples", name+".json"))
		res := planOf(t, d, demoHouse(t, house))
		track := res.Sources[0].Track // of the sun, in even steps but for the last
		middle := res.Shot.Window.From.Add(res.Shot.Window.To.Sub(res.Shot.Window.From) / 2)
		after := slices.IndexFunc(track, func(p scene.TrackPoint) bool { return p.At.After(middle) })
		if after < 1 {
			t.Fatalf("%s: no middle in the track of %s", name, res.Sources[0].Label)
		}
		one, two := &track[after-1], &track[after]
		share := float64(middle.Sub(one.At)) / float64(two.At.Sub(one.At))
		sun := geom.Toward(one.AzimuthDeg, one.ElevationDeg).Scale(1 - share).Add(geom.Toward(two.AzimuthDeg, two.ElevationDeg).Scale(share)).Unit()
		for i := range res.Options {
			o := &res.Options[i]
			for k := range o.Pieces {
				v := &o.Pieces[k]
				if v.Role == finding.RoleOverhead && v.Faces().Z <= 0 {
					t.Errorf("%s, %s: the overhead looks down: %v", name, o.Name, v.Faces())
				}
				if v.Aim == nil || v.Role != finding.RoleReflector || !o.Window.From.Equal(res.Shot.Window.From) {
					continue
				}
				aimed++
				n, from := v.Faces(), v.Corners[0].Add(v.Corners[2]).Scale(0.5)
				beam := n.Scale(2 * n.Dot(sun)).Sub(sun)
				if to := v.Aim.Sub(from); n.Dot(sun) <= 0 || beam.Cross(to).Len() > pastM || beam.Dot(to) <= 0 {
					t.Errorf("%s, %s: a board at %v that looks %v sends the sun past %v by %.3f m", name, o.Name, from, n, *v.Aim, beam.Cross(to).Len())
				}
			}
		}
	}
	if aimed < 10 {
		t.Errorf("%d boards are aimed: too few to check", aimed)
	}
}
