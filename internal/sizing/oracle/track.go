package oracle

import (
	"math"
	"time"

	"kitspan/internal/scene"
)

// Tolerances of a track: directions are promised to 0.01°, a lamp's own are exact; the sun's illuminance is the same
// published curve, within what print differs on its constant.
const (
	directionTolDeg = 0.02
	sunLxTolShare   = 0.06
	lampLxTolShare  = 1e-6
	edgeTolDeg      = 0.03
)

// trackStep is how far apart a track's points are.
const trackStep = 5 * time.Minute

func angleDeg(a, b vec) float64 {
	return math.Atan2(a.cross(b).length(), a.dot(b)) * 180 / math.Pi
}

// sees reports whether any part of a disc about a direction from the lens is in the picture: its middle and rim.
func (v View) sees(dir vec, radiusDeg float64) bool {
	inside := func(d vec) bool {
		depth := d.dot(v.axis)
		return depth > 0 && math.Abs(d.dot(v.right)) <= v.tanW*depth && math.Abs(d.dot(v.up)) <= v.tanH*depth
	}
	if inside(dir) {
		return true
	}
	if radiusDeg <= 0 {
		return false
	}
	side := dir.cross(v.axis)
	if side.length() < 1e-9 {
		side = v.right
	}
	side = side.unit()
	rise := side.cross(dir)
	const rim = 360
	for i := range rim {
		a := 2 * math.Pi * float64(i) / rim
		r := math.Tan(radiusDeg * math.Pi / 180)
		if inside(dir.along(side, r*math.Cos(a)).along(rise, r*math.Sin(a))) {
			return true
		}
	}
	return false
}

// CheckSources holds an answer's sources to the oracle's: which there are, which count, and where they stand.
func CheckSources(s *Scene, tracks []scene.SourceTrack, from, to time.Time) []Violation {
	var bad []Violation
	told := map[string]bool{}
	for _, t := range tracks {
		told[t.Label] = true
		src := s.source(t.Label)
		if src == nil {
			if t.Label != SunLabel || t.Softened {
				bad = append(bad, broken(RuleSources, 1, "source %q is none of the shot's (softened %v)", t.Label, t.Softened))
			}
			continue
		}
		if t.Softened != src.Softened && !src.Doubtful {
			bad = append(bad, broken(RuleSources, 1, "source %q softened %v, by its share of the strongest it is %v", t.Label, t.Softened, src.Softened))
		}
		want := 1
		if t.Label == SunLabel {
			want = int(to.Sub(from)/trackStep) + 1
			if to.Sub(from)%trackStep != 0 {
				want++
			}
		}
		if len(t.Track) != want {
			bad = append(bad, broken(RuleSources, math.Abs(float64(len(t.Track)-want)), "source %q has %d points, wanted %d", t.Label, len(t.Track), want))
		}
		for _, p := range t.Track {
			bad = append(bad, checkPoint(s, src, p)...)
		}
	}
	for _, src := range s.Sources {
		if !told[src.Label] {
			bad = append(bad, broken(RuleSources, 1, "source %q is missing", src.Label))
		}
	}
	return bad
}

func checkPoint(s *Scene, src *Source, p scene.TrackPoint) []Violation {
	var bad []Violation
	wrong := func(by float64, format string, args ...any) {
		bad = append(bad, broken(RuleSources, by, "%s at %s: "+format, append([]any{src.Label, p.At.Format("15:04")}, args...)...))
	}
	dir, lx, tol := src.Moments[0].Toward, src.Moments[0].Lx, lampLxTolShare
	radiusDeg := math.Atan(src.TanRadius) * 180 / math.Pi
	if src.Label == SunLabel {
		tol = sunLxTolShare
		dir, lx, radiusDeg = s.sunAt(p.At)
		if s.Shot.Sky.SunLx != nil {
			lx = p.IlluminanceLx // scaled by a reading: held by the ratio of the moments instead
		}
	}
	if off := angleDeg(dir, toward(p.AzimuthDeg, p.ElevationDeg)); off > directionTolDeg {
		wrong(off, "azimuth %.3f°, elevation %.3f° is %.3f° off", p.AzimuthDeg, p.ElevationDeg, off)
	}
	if off := math.Abs(p.IlluminanceLx - lx); off > tol*lx+1e-6 {
		wrong(off, "%.1f lx, wanted %.1f lx", p.IlluminanceLx, lx)
	}
	seen := dir
	if src.Position != nil {
		seen = src.Position.minus(s.View.lens).unit()
	}
	if off := math.Abs(p.OffAxisDeg - angleDeg(seen, s.View.axis)); off > directionTolDeg {
		wrong(off, "off axis %.3f°, wanted %.3f°", p.OffAxisDeg, angleDeg(seen, s.View.axis))
	}
	if surely := s.View.sees(seen, radiusDeg-edgeTolDeg); surely && !p.InView {
		wrong(1, "in the picture, told not to be")
	}
	if perhaps := s.View.sees(seen, radiusDeg+edgeTolDeg); !perhaps && p.InView {
		wrong(1, "told to be in the picture, is not")
	}
	return bad
}
