package scene

import (
	"math"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
)

// Crossing is the ray that crosses an opening nearest to its edge, or farthest outside it.
type Crossing struct {
	InsetM float64
	source *Source
	at     time.Time
	corner geom.Vec // of the zone
}

// Measure finds the least distance inside the opening's edge at which any ray from the zone to any of the sources
// crosses, at any instant: over the zone's corners (the crossing is a projection, so no inner point is worse) and the
// sampled instants. It works from the sources' own directions, not from the search's conditions.
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
				see(p, st.FromWorld(*src.Lamp.Position).Sub(p), src.Moments[0].At)
				continue
			}
			for i := range src.Samples {
				see(p, src.Samples[i].Dir, src.Samples[i].at)
			}
		}
	}
	return out
}

// Misses is the ray as a finding.
func (t *Crossing) Misses(zone *time.Location) finding.Misses {
	return finding.Misses{Corner: finding.CornerOf(t.corner.X, t.corner.Y), Source: finding.Source(t.source.Label), At: t.at.In(zone)}
}

// LeastOpeningM2 is an area that no opening which covers the zone is under: the largest silhouette that it shows to a
// directional source.
func (st *Stage) LeastOpeningM2(hard []*Source) float64 {
	area := 0.0
	for _, src := range hard {
		for i := range src.Samples {
			area = math.Max(area, st.Silhouette(src.Samples[i].Dir))
		}
	}
	return area
}
