package oracle

import (
	"math"
	"time"

	"kitspan/internal/shot"
	"kitspan/internal/sun"
)

// SunLabel is the label of the sun among the sources.
const SunLabel = "sun"

// Source is one hard source over the window.
type Source struct {
	Label string
	// Position is where a lamp near by hangs; nil for a source so far off that its rays are parallel.
	Position *vec
	// TanRadius is the tangent of the angular radius.
	TanRadius float64
	// Moments are the instants looked at, in order; one alone for a source that does not move.
	Moments []Moment
	// Softened reports whether it counts as hard light; where the rule's threshold is so near that the two models of
	// illuminance could disagree, Doubtful is true.
	Softened, Doubtful bool
}

// Moment is a source at an instant: the unit vector toward it and its illuminance, both at the zone's middle.
type Moment struct {
	At     time.Time
	Toward vec
	Lx     float64
	// Counts means that the rays must be stopped now; Optional that the threshold is too near to insist.
	Counts, Optional bool
}

// countsShare is the least share of the window's strongest illuminance that must be softened: three stops less.
const countsShare = 1.0 / 8

// Doubt about a share of illuminance: the sun's own levels at two instants come from the same published curve, but a
// lamp against the sun depends on the extraterrestrial constant, on which print differs by 5 %.
const (
	doubtAlike = 0.02
	doubtMixed = 0.12
)

// The sun is looked at every minute, at least thirty times a window, and where it comes up or goes down. In a minute it moves 0.25°, which at 10 m is
// 4.4 cm along a nearly straight path: between two samples the path bulges by 10 m · 0.0044² / 8 = 0.03 mm, so the
// least margin, at an end or at the top of a bulge, is met to well under the tolerances.
const (
	sampleStep = time.Minute
	leastSteps = 30
)

func (s *Scene) readSources(from, to time.Time) {
	if !s.Shot.Site.Roofed {
		if src, ok := s.sunOver(from, to); ok {
			s.Sources = append(s.Sources, src)
		}
	}
	for _, l := range s.Shot.Lamps {
		s.Sources = append(s.Sources, s.lamp(l, from))
	}
	s.count()
}

func (s *Scene) lamp(l shot.Lamp, at time.Time) Source {
	src := Source{Label: l.Label, TanRadius: math.Tan(l.AngularRadiusDeg * math.Pi / 180)}
	if l.Position == nil {
		src.Moments = []Moment{{At: at, Toward: toward(l.AzimuthDeg, l.ElevationDeg), Lx: l.IlluminanceLx}}
		return src
	}
	p := fromGeom(*l.Position)
	src.Position = &p
	r := p.minus(s.Zone.middle)
	src.Moments = []Moment{{At: at, Toward: r.unit(), Lx: l.IntensityCd / r.dot(r)}}
	return src
}

func (s *Scene) sunOver(from, to time.Time) (Source, bool) {
	src := Source{Label: SunLabel}
	scale := s.sunScale()
	up := false
	steps := max(int(math.Ceil(float64(to.Sub(from))/float64(sampleStep))), leastSteps)
	look := func(at time.Time) (shines bool) {
		dir, lx, radiusDeg := s.sunAt(at)
		src.TanRadius = math.Max(src.TanRadius, math.Tan(radiusDeg*math.Pi/180))
		src.Moments = append(src.Moments, Moment{At: at, Toward: dir, Lx: lx * scale})
		up = up || lx > 0
		return lx > 0
	}
	last, shone := from, false
	for i := range steps + 1 {
		at := from.Add(time.Duration(float64(to.Sub(from)) * float64(i) / float64(steps)))
		if _, lx, _ := s.sunAt(at); i > 0 && (lx > 0) != shone { // the first or the last instant at which it shines
			if shone {
				look(s.edgeOfDay(last, at))
			} else {
				look(s.edgeOfDay(at, last))
			}
		}
		last, shone = at, look(at)
	}
	return src, up
}

// edgeOfDay is the last instant from one at which the sun shines toward one at which it does not, to a few milliseconds.
func (s *Scene) edgeOfDay(shines, not time.Time) time.Time {
	for range 16 {
		mid := shines.Add(not.Sub(shines) / 2)
		if _, lx, _ := s.sunAt(mid); lx > 0 {
			shines = mid
		} else {
			not = mid
		}
	}
	return shines
}

// sunScale is what the model's sun is multiplied by: the reading over the model at the instant that the reading is of.
func (s *Scene) sunScale() float64 {
	if s.Shot.Sky.SunLx == nil {
		return 1
	}
	if _, lx, _ := s.sunAt(s.Shot.Sky.ReadAt); lx > 0 {
		return *s.Shot.Sky.SunLx / lx
	}
	return 1
}

func (s *Scene) sunPosition(at time.Time) sun.Position {
	site := s.Shot.Site
	return sun.At(at, sun.Site{
		LatitudeDeg: site.LatitudeDeg, LongitudeDeg: site.LongitudeDeg, ElevationM: site.ElevationM,
		PressureHPa: site.PressureHPa, TemperatureC: site.TemperatureC,
	})
}

// sunAt is the sun's direction, the illuminance facing it (IES daylight availability model of 1984 with 127.5 klx
// outside the atmosphere at 1 AU; air mass by Kasten and Young 1989), and its angular radius (959.63″ at 1 AU). Of an
// overcast sky that a sun was read under, the ratio is the clear sky's.
func (s *Scene) sunAt(at time.Time) (dir vec, lx, radiusDeg float64) {
	p := s.sunPosition(at)
	extinction := map[string]float64{"clear": 0.21, "partly_cloudy": 0.80}
	if s.Shot.Sky.SunLx != nil {
		extinction["overcast"] = 0.21
	}
	c, shines := extinction[s.Shot.Sky.Condition]
	if h := p.ElevationDeg; shines && h > 0 {
		m := 1 / (math.Sin(h*math.Pi/180) + 0.50572*math.Pow(h+6.07995, -1.6364))
		lx = 127500 / (p.DistanceAU * p.DistanceAU) * math.Exp(-c*m)
	}
	return toward(p.AzimuthDeg, p.ElevationDeg), lx, 959.63 / 3600 / p.DistanceAU
}

// count marks the sources that are hard light and the moments that must be covered.
func (s *Scene) count() {
	doubt := doubtAlike
	if len(s.Sources) > 1 && s.Sources[0].Label == SunLabel {
		doubt = doubtMixed
	}
	for _, src := range s.Sources {
		for _, m := range src.Moments {
			s.Strongest = math.Max(s.Strongest, m.Lx)
		}
	}
	for i := range s.Sources {
		src := &s.Sources[i]
		for k := range src.Moments {
			m := &src.Moments[k]
			share := m.Lx / s.Strongest
			m.Counts = m.Lx > 0 && share >= countsShare
			m.Optional = math.Abs(share/countsShare-1) < doubt
			if m.Counts {
				src.Softened = true
			}
		}
		peak := 0.0 // the greatest share of what is strongest at the same instant
		for _, m := range src.Moments {
			peak = math.Max(peak, m.Lx/s.strongestAt(m.At, len(src.Moments) == 1))
		}
		byInstant := peak >= countsShare
		src.Doubtful = byInstant != src.Softened || math.Abs(peak/countsShare-1) < doubt
	}
}

// strongestAt is the greatest illuminance at one instant; for a source that does not move, the weakest such instant of
// the window, because it needs to reach the threshold at some instant alone.
func (s *Scene) strongestAt(at time.Time, ever bool) float64 {
	steady, moving := 0.0, math.Inf(1)
	for _, src := range s.Sources {
		if len(src.Moments) == 1 {
			steady = math.Max(steady, src.Moments[0].Lx)
			continue
		}
		for _, m := range src.Moments {
			if ever || m.At.Equal(at) {
				moving = math.Min(moving, m.Lx)
			}
		}
	}
	if math.IsInf(moving, 1) {
		moving = 0
	}
	return math.Max(math.Max(steady, moving), math.SmallestNonzeroFloat64)
}

// softened lists the sources that an answer has to stop: those that count but for small practicals, lamps three stops and more under the
// key wanted, where softening is only preferred.
func (s *Scene) softened() []Source {
	var hard []Source
	for _, src := range s.Sources {
		if !src.Softened {
			continue
		}
		if src.Label != SunLabel && s.Shot.Look.Soften == shot.SoftenPreferred {
			share := src.Moments[0].Lx / (s.exposure().ReferenceLx * math.Pow(2, s.Shot.Look.KeyStops))
			if share < countsShare*(1-doubtMixed) {
				continue
			}
			src.Doubtful = src.Doubtful || share < countsShare*(1+doubtMixed)
		}
		hard = append(hard, src)
	}
	return hard
}

// source finds one by label; nil where there is none.
func (s *Scene) source(label string) *Source {
	for i := range s.Sources {
		if s.Sources[i].Label == label {
			return &s.Sources[i]
		}
	}
	return nil
}
