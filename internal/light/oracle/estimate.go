package oracle

import (
	"math"
	"math/rand/v2"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// readings is how many independent ones are averaged; their spread tells the error. Sixteen know it to some 18 %.
const readings = 16

// beamPart is the part of a reading's rays that looks for each beam of a panel.
const beamPart = 2

// Scene is a scene made ready for readings.
type Scene struct {
	light         *light.Scene
	sheets, unfed []*sheet
	rays          int // of one reading
	views         []*view
}

// Reading is what comes to a face, with standard errors of each part and of the total in lux, and by how many mired it is warmer than its
// sources, with that one's: the mean over the rays by what each brings.
type Reading struct {
	Level, Error           light.Level
	TotalError             float64
	ShiftMired, ShiftError float64
}

// Estimate returns the light on a face at p with the unit normal n, in lux by the way that it came, and the standard error
// of the total. It takes about that many rays; the same seed gives the same answer.
func Estimate(s *light.Scene, p, n geom.Vec, rays int, seed uint64) (level light.Level, standardError float64) {
	r := Look(s, rays, seed).Face(p, n)
	return r.Level, r.TotalError
}

// Look prepares a scene for faces with about that many rays each.
func Look(s *light.Scene, rays int, seed uint64) *Scene {
	each := max(1, rays/readings)
	l := &Scene{light: s, rays: each}
	for i, p := range s.Panels {
		l.sheets = append(l.sheets, newSheet(p))
		if !p.Fed {
			l.unfed = append(l.unfed, l.sheets[i])
		}
	}
	for i := range readings {
		l.views = append(l.views, &view{l, rand.New(rand.NewPCG(seed, uint64(i)))})
	}
	return l
}

// Face reads the light on a face at p with the unit normal n.
func (s *Scene) Face(p, n geom.Vec) Reading {
	var parts [6]tally
	var total, shift tally
	for _, v := range s.views {
		sky, ground, glow := v.scan(s.sheets, p, n, newPoints(v.shifts), s.rays, true)
		beam := v.beams(s.sheets, p, n, newPoints(v.shifts), max(64, s.rays/beamPart))
		direct, lamp := v.straight(p, n)
		var all tinted
		for i, t := range [6]tinted{sky, ground, direct, glow, beam, lamp} {
			parts[i].add(t.lx)
			all = all.plus(t)
		}
		total.add(all.lx)
		shift.add(all.mired())
	}
	var mean, err [6]float64
	for i := range parts {
		mean[i], err[i] = parts[i].mean(), parts[i].err()
	}
	return Reading{Level: levelOf(mean), Error: levelOf(err), TotalError: total.err(), ShiftMired: shift.mean(), ShiftError: shift.err()}
}

func levelOf(lx [6]float64) light.Level {
	return light.Level{Sky: lx[0], Ground: lx[1], Direct: lx[2], Glow: lx[3], Beam: lx[4], Lamp: lx[5]}
}

// tally gathers readings (Welford's running mean and sum of squares, so that equal ones have no spread).
type tally struct{ n, m, squares float64 }

func (t *tally) add(x float64) {
	t.n++
	d := x - t.m
	t.m += d / t.n
	t.squares += d * (x - t.m)
}

func (t *tally) mean() float64 { return t.m }

// err is the standard error of the mean.
func (t *tally) err() float64 { return math.Sqrt(t.squares / (t.n - 1) / t.n) }
