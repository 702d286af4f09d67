package sizing

import (
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/shot"
)

// rankBy fills in what the option is compared by: what the user prefers, then what else it takes. Shades on the lens have no area that
// counts.
func (o *Option) rankBy(prefer string, a *lighting.Arrangement) {
	minor, _ := o.TotalPerDay.Int64() // it has been read once
	o.areaM2 = 0
	for _, ch := range a.Rigs {
		o.areaM2 += ch.Candidate.AreaM2
	}
	whole := o.areaM2
	for _, p := range a.Pieces {
		if p.Role != finding.RoleCameraShade {
			whole += p.AreaM2
		}
	}
	total, people, kg := float64(minor), float64(o.Crew.Total), o.Load.MassKg
	o.totalMinor = minor
	switch prefer {
	case shot.PreferCheapest:
		o.rank = overhead.Rank{total, o.areaM2, kg, people}
	case shot.PreferLightest:
		o.rank = overhead.Rank{kg, o.areaM2, total, people}
	case shot.PreferFewestHands:
		o.rank = overhead.Rank{people, float64(o.workMin()), total, kg}
	default:
		o.rank = overhead.Rank{o.areaM2, whole, total, kg}
	}
}
