package sizing

import (
	"math"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
)

// tightest is the ray that crosses an opening nearest to its edge, or farthest outside it.
type tightest struct {
	insetM float64
	source *source
	at     time.Time
	corner geom.Vec // of the zone
}

// measure finds the least distance inside the opening's edge at which any ray from the zone to any of the sources
// crosses, at any instant: over the zone's corners (the crossing is a projection, so no inner point is worse) and the
// sampled instants. It works from the sources' own directions, not from the search's conditions.
func (st *stage) measure(opening *geom.Rect, list []*source) tightest {
	out := tightest{insetM: math.Inf(1)}
	corners := st.corners()
	for _, src := range list {
		see := func(p, dir geom.Vec, at time.Time) {
			if inset, _ := opening.Inset(p, dir); inset < out.insetM {
				out = tightest{inset, src, at, p}
			}
		}
		for _, p := range corners {
			if src.near() {
				see(p, st.fromWorld(*src.lamp.Position).Sub(p), src.moments[0].at)
				continue
			}
			for i := range src.checks {
				see(p, src.checks[i].dir, src.checks[i].at)
			}
		}
	}
	return out
}

// misses is the ray as a finding.
func (t *tightest) misses(zone *time.Location) finding.Misses {
	return finding.Misses{Corner: finding.CornerOf(t.corner.X, t.corner.Y), Source: finding.Source(t.source.label), At: t.at.In(zone)}
}

// least is an area that no opening which covers the zone is under: the largest silhouette that it shows to a
// directional source.
func (st *stage) least(hard []*source) float64 {
	area := 0.0
	for _, src := range hard {
		for i := range src.checks {
			area = math.Max(area, st.silhouette(src.checks[i].dir))
		}
	}
	return area
}
