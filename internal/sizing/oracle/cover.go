package oracle

import (
	"math"
	"math/rand/v2"

	"kitspan/internal/sizing"
)

// crossing is where a ray from a point of the zone toward a source meets a frame.
type crossing struct {
	hit bool // the ray meets the plane between the point and the source
	// inside is the distance from the crossing to the nearest edge of the opening, negative outside.
	inside float64
	// penumbra is how far half-shade reaches: the distance along the ray times the tangent of the angular radius.
	penumbra float64
}

// cast sends one ray.
func (p plate) cast(from vec, src *Source, m Moment) crossing {
	dir, farthest := m.Toward, math.Inf(1)
	if src.Position != nil {
		dir = src.Position.minus(from)
		farthest = dir.length()
		dir = dir.unit()
	}
	across := dir.dot(p.normal)
	if math.Abs(across) < 1e-9 {
		return crossing{}
	}
	r := p.centre.minus(from).dot(p.normal) / across
	if r <= 0 || r >= farthest {
		return crossing{}
	}
	at := from.along(dir, r).minus(p.centre)
	return crossing{
		hit:      true,
		inside:   math.Min(p.half1-math.Abs(at.dot(p.e1)), p.half2-math.Abs(at.dot(p.e2))),
		penumbra: r * src.TanRadius,
	}
}

// randomRays is how many random points of the zone, each at a random instant, are cast beside the corners.
const randomRays = 300

// Cover is what casting the rays of one piece found.
type Cover struct {
	// LeastM is the least distance inside the opening over the zone's corners and every instant that counts, and LeastAllM over every instant
	// at which the source is up; the two differ where part of the window is too weak to count.
	LeastM, LeastAllM float64
	// ShortM is the greatest by which a ray falls short of the margin asked plus its penumbra; negative when none does.
	ShortM float64
	// Worst says which ray that is.
	Worst Violation
}

// castAll casts the rays of the sources that a piece is there to stop: the zone's corners at every instant, and random
// points at random instants.
func castAll(s *Scene, p plate, covers []string, marginM float64, rng *rand.Rand) Cover {
	c := Cover{LeastM: math.Inf(1), LeastAllM: math.Inf(1), ShortM: math.Inf(-1)}
	try := func(from vec, src *Source, m Moment, corner bool) {
		x := p.cast(from, src, m)
		if corner && m.Lx > 0 {
			inside := x.inside
			if !x.hit {
				inside = math.Inf(-1)
			}
			c.LeastAllM = math.Min(c.LeastAllM, inside)
			if m.Counts {
				c.LeastM = math.Min(c.LeastM, inside)
			}
		}
		if !m.Counts || m.Optional {
			return
		}
		short, what := marginM+x.penumbra-x.inside, "crosses the opening"
		if !x.hit {
			short, what = math.Inf(1), "never meets the frame"
		}
		if short > c.ShortM {
			c.ShortM = short
			c.Worst = broken(RuleCovered, short, "ray from (%.3f, %.3f, %.3f) to %s at %s %s %.4f m inside, wanted %.4f m plus penumbra %.4f m",
				from.x, from.y, from.z, src.Label, m.At.Format("15:04:05"), what, x.inside, marginM, x.penumbra)
		}
	}
	for _, label := range covers {
		src := s.source(label)
		if src == nil {
			continue
		}
		for _, on := range s.alongWay() { // seen from what moves, a lamp at a place moves the other way
			if src.Position == nil || on.length() == 0 {
				continue
			}
			seen, at := *src, src.Position.minus(on)
			seen.Position = &at
			for _, from := range s.Zone.corners() {
				try(from, &seen, src.Moments[0], true)
			}
		}
		for _, m := range src.Moments {
			for _, from := range s.Zone.corners() {
				try(from, src, m, true)
			}
		}
		for range randomRays {
			from := s.Zone.at(2*rng.Float64()-1, 2*rng.Float64()-1, rng.Float64())
			try(from, src, src.Moments[rng.IntN(len(src.Moments))], false)
		}
	}
	return c
}

// CheckCover casts rays through one piece: each must cross the opening at least the margin asked, plus the source's
// penumbra, inside its edge, and the margin that the piece tells must be the least found.
func CheckCover(s *Scene, p sizing.Piece, pl plate, rng *rand.Rand) []Violation {
	var bad []Violation
	if len(p.Covers) == 0 {
		bad = append(bad, broken(RuleCovered, 1, "%s covers no source", p.Role))
	}
	seen := map[string]bool{}
	for _, label := range p.Covers {
		src := s.source(label)
		switch {
		case src == nil:
			bad = append(bad, broken(RuleCovered, 1, "%s covers %q, which is no source of the shot", p.Role, label))
		case !src.Softened && !src.Doubtful:
			bad = append(bad, broken(RuleCovered, 1, "%s covers %q, which is no hard source", p.Role, label))
		case seen[label]:
			bad = append(bad, broken(RuleCovered, 1, "%s covers %q twice", p.Role, label))
		}
		seen[label] = true
	}
	c := castAll(s, pl, p.Covers, s.Shot.Allowance.CoverM, rng)
	if c.ShortM > placeTolM {
		bad = append(bad, c.Worst)
	}
	if lo, hi := c.LeastAllM-marginTolM, c.LeastM+marginTolM; !math.IsInf(c.LeastM, 0) && (p.MarginM < lo || p.MarginM > hi) {
		bad = append(bad, broken(RuleMargin, math.Max(lo-p.MarginM, p.MarginM-hi), "%s tells a margin of %.4f m; the least ray crosses %.4f m inside (%.4f m with weak instants)",
			p.Role, p.MarginM, c.LeastM, c.LeastAllM))
	}
	return bad
}
