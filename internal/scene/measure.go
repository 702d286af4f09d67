package scene

import (
	"math"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
)

// Crossing is where one ray crosses an opening.
type Crossing struct {
	InsetM float64 // distance inside the edge, negative outside
	source *Source
	at     time.Time
	corner geom.Vec // of the zone
}

// Measure returns the ray from the zone to any of the sources, at any instant, that crosses the opening nearest to its edge or
// farthest outside it: over the zone's corners (the crossing is a projection, so no inner point is worse) and the sampled
// instants. It works from the sources' own directions, not from the conditions of the search.
func (st *Stage) Measure(opening *geom.Rect, list []*Source) Crossing {
	out := Crossing{InsetM: math.Inf(1)}
	corners := st.corners()
	for _, src := range list {
		see := func(p, dir geom.Vec, at time.Time) {
			if inset, _ := opening.Inset(p, dir); inset < out.InsetM {
				out = Crossing{inset, src, at, p}
			}
		}
		for _, p := range corners {
			if src.Near() {
				for _, on := range st.ends() {
					see(p, st.FromWorld(*src.Lamp.Position).Sub(on).Sub(p), src.Moments[0].At)
				}
				continue
			}
			for i := range src.Samples {
				see(p, src.Samples[i].Dir, src.Samples[i].at)
			}
		}
	}
	return out
}

// Misses returns the ray as a finding, its time in the zone's.
func (t *Crossing) Misses(zone *time.Location) finding.Misses {
	return finding.Misses{Corner: finding.CornerOf(t.corner.X, t.corner.Y), Source: finding.Source(t.source.Label), At: t.at.In(zone)}
}

// LeastOpeningM2 returns a lower bound, in square metres, on the area of an opening that covers the zone: the largest
// silhouette that the zone shows to a directional source.
func (st *Stage) LeastOpeningM2(hard []*Source) float64 {
	area := 0.0
	for _, src := range hard {
		for i := range src.Samples {
			area = math.Max(area, st.Silhouette(src.Samples[i].Dir))
		}
	}
	return area
}
