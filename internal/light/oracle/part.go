package oracle

import (
	"math"

	"kitspan/internal/geom"
)

// Part is the light on a face from one panel and how large what gives it looks from there: lux with the standard error, and
// the solid angle in steradians, above the face's horizon, of the whole panel where it glows more than it mirrors, otherwise of the part
// of it that throws its beam on the face, of several beams the brightest.
type Part struct{ Lx, Error, Sr float64 }

// Panel reads what one panel gives a face at p with the unit normal n. Points all over the panel are looked at from the face: each
// stands for its share of the area, foreshortened, over the square of its distance.
func (s *Scene) Panel(p, n geom.Vec, panel int) Part {
	sh := s.sheets[panel]
	var all, beam, whole tally
	spots := make([]tally, len(s.light.Hard))
	shone := make([]float64, len(s.light.Hard))
	for _, v := range s.views {
		c := newPoints(v.shifts)
		area := sh.along.Cross(sh.across).Len()
		glow, shining, open := 0.0, 0.0, 0.0
		lit := make([]float64, len(s.light.Hard))
		for range s.rays {
			x := sh.at(pair(c))
			d := x.Sub(p)
			far := d.Len()
			d = d.Scale(1 / far)
			cos := n.Dot(d)
			if cos <= 0 {
				continue
			}
			side := 0
			if sh.normal.Dot(d) > 0 {
				side = 1
			}
			sr := area * math.Abs(sh.normal.Dot(d)) / (far * far)
			open += sr
			glow += v.leaving(sh, side, x).lx / math.Pi * cos * sr * through(v.sheets, sh, p, d, far).share
			for i := range s.light.Hard {
				if b := v.mirrored(sh, side, i, x, p, n); b > 0 {
					shining += b * sr
					shone[i] += b * sr
					lit[i] += sr
				}
			}
		}
		each := 1 / float64(s.rays)
		all.add((glow + shining) * each)
		beam.add(shining * each)
		whole.add(open * each)
		for i := range spots {
			spots[i].add(lit[i] * each)
		}
	}
	out := Part{Lx: all.mean(), Error: all.err(), Sr: whole.mean()}
	if beam.mean() > out.Lx/2 {
		brightest := 0
		for i := range shone {
			if shone[i] > shone[brightest] {
				brightest = i
			}
		}
		out.Sr = spots[brightest].mean()
	}
	return out
}

// mirrored is what a point of a side of a sheet throws on a face of one hard source, in lux a steradian.
func (v *view) mirrored(s *sheet, side, hard int, x, p, n geom.Vec) float64 {
	f := s.side[side]
	if f.Specular <= 0 {
		return 0
	}
	h := v.light.Hard[hard]
	l := lobe{s: s, facing: s.facing(side), h: h, share: f.Specular, mired: f.ShiftMired,
		tan: math.Tan(math.Min(math.Max(0, f.LobeDeg)+math.Max(0, h.RadiusDeg), widestCone) * math.Pi / 180)}
	return v.along(&l, x, p, n).lx
}

// Straight reads what a hard source, and what a placed lamp, gives a face straight, through any cloths.
func (s *Scene) Straight(p, n geom.Vec) (hard, lamps []float64) {
	for _, h := range s.light.Hard {
		toward, lx, far := source(h, p)
		hard = append(hard, lx*math.Max(0, n.Dot(toward))*through(s.sheets, nil, p, toward, far).share)
	}
	for _, l := range s.light.Lamps {
		toward, lx, far := lampAt(l, p)
		lamps = append(lamps, lx*math.Max(0, n.Dot(toward))*through(s.sheets, nil, p, toward, far).share)
	}
	return hard, lamps
}
