package oracle

import (
	"math"
	"math/rand/v2"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// view is one of the independent readings of a scene: how its panels are lit, by this reading's own points.
type view struct {
	*Scene
	shifts *rand.Rand
	// lit[k][i] is the share of hard source i's light that gets through to panel k, the mean over its area.
	lit [][]float64
	// exitance[k] is what leaves sides A and B of panel k, given back or let through: lux, π times the luminance.
	exitance [][2]float64
}

func newView(s *Scene, shifts *rand.Rand) *view {
	v := &view{Scene: s, shifts: shifts, lit: make([][]float64, len(s.sheets)), exitance: make([][2]float64, len(s.sheets))}
	for k, p := range s.sheets {
		v.lit[k] = make([]float64, len(s.light.Hard))
		for i, h := range s.light.Hard {
			v.lit[k][i] = v.share(p, h)
		}
		v.exitance[k] = v.leaving(p, [2]float64{})
	}
	// Only now, as the fed ones are lit by the others.
	for k, p := range s.sheets {
		if p.fed {
			v.exitance[k] = v.leaving(p, [2]float64{v.feed(p, 0), v.feed(p, 1)})
		}
	}
	return v
}

// share is the mean over the sheet of what gets through to it from a hard source.
func (v *view) share(p *sheet, h light.Hard) float64 {
	sum, at := 0.0, newPoints(v.shifts)
	for range v.areaPoints {
		x := p.at(at.next())
		toward, _, far := source(h, x)
		sum += through(v.sheets, p, x, toward, far)
	}
	return sum / float64(v.areaPoints)
}

// leaving is the exitance of both sides, fed in lux on each added.
func (v *view) leaving(p *sheet, fed [2]float64) [2]float64 {
	var hard, sky, out [2]float64
	for side := range 2 {
		n := p.facing(side)
		sky[side] = v.light.SkyLx * (1 + n.Z) / 2
		hard[side] = fed[side]
		for i, h := range v.light.Hard {
			toward, lx, _ := source(h, p.at(0.5, 0.5))
			hard[side] += lx * math.Max(0, n.Dot(toward)) * v.lit[p.index][i]
		}
		for _, l := range v.light.Lamps {
			hard[side] += p.mean(gauss4, func(x geom.Vec) float64 {
				toward, lx, _ := lampAt(l, x)
				return lx * math.Max(0, n.Dot(toward))
			})
		}
	}
	for side, f := range p.side {
		other := 1 - side
		// The beam's share of the sky comes back from all over the dome, so it counts as spread; the beam's share of
		// hard light does not.
		out[side] = f.Diffuse*hard[side] + (f.Diffuse+f.Specular)*sky[side] + p.scattered*(hard[other]+sky[other])
	}
	return out
}

// feed is what the unfed panels that reflect give a side of a fed one by glow and by beams, the mean over it.
func (v *view) feed(p *sheet, side int) float64 {
	n := p.facing(side)
	return p.mean(gauss3, func(x geom.Vec) float64 {
		_, _, glow := v.scan(v.unfed, x, n, v.feedRays, false)
		return glow + v.beams(v.unfed, x, n)
	})
}
