package oracle

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestLeastClearanceAgreesWithSampling walks over random rectangles, segments and discs point by point: no sample may
// be nearer to the view than the least told, and the nearest must come close to it.
func TestLeastClearanceAgreesWithSampling(t *testing.T) {
	t.Parallel()
	const seed = 7
	rng := rand.New(rand.NewPCG(seed, 2))
	const n = 60
	cut := 0 // parts with points on both sides of the plane of the lens
	for trial := range 400 {
		v := randomView(rng)
		at := func(r float64) vec {
			return vec{rng.NormFloat64() * r, rng.NormFloat64() * r, rng.NormFloat64() * r}
		}
		corner, side1 := v.lens.plus(at(4)), at(2)
		side2 := side1.cross(at(1)).unit().times(3 * rng.Float64())
		radius := rng.Float64()
		type part struct {
			name  string
			least float64
			at    func(i, j float64) vec
			size  float64
		}
		for _, p := range []part{
			{"plate", v.leastOnPlate(corner, side1, side2), func(i, j float64) vec { return corner.along(side1, i).along(side2, j) }, math.Max(side1.length(), side2.length())},
			{"segment", v.leastOnSegment(corner, corner.plus(side1)), func(i, _ float64) vec { return corner.along(side1, i) }, side1.length()},
			{"disc", v.leastOnDisc(corner, radius), func(i, j float64) vec {
				sin, cos := math.Sincos(2 * math.Pi * i)
				return corner.plus(vec{radius * j * cos, radius * j * sin, 0})
			}, 2 * math.Pi * radius},
		} {
			sampled, front, behind := math.Inf(1), false, false
			for i := range n + 1 {
				for j := range n + 1 {
					d, ok := v.clear(p.at(float64(i)/n, float64(j)/n))
					front, behind = front || ok, behind || !ok
					if ok {
						sampled = math.Min(sampled, d)
					}
				}
			}
			if front && behind {
				cut++
			}
			if sampled < p.least-1e-9 {
				t.Fatalf("seed %d, trial %d, %s: a sample is %.6f m clear, the least told %.6f m", seed, trial, p.name, sampled, p.least)
			}
			// Between samples the distance changes by no more than the step times how fast the view widens, twice over.
			if step := 2 * p.size / n * (1 + v.tanW + v.tanH); front && !behind && sampled > p.least+step {
				t.Fatalf("seed %d, trial %d, %s: the least told is %.6f m, no sample is under %.6f m", seed, trial, p.name, p.least, sampled)
			}
		}
	}
	if cut < 50 {
		t.Fatalf("only %d parts cross the plane of the lens", cut)
	}
}

func randomView(rng *rand.Rand) View {
	b, pitch := 2*math.Pi*rng.Float64(), rng.Float64()-0.5
	v := View{
		lens: vec{rng.NormFloat64(), rng.NormFloat64(), 1 + rng.Float64()},
		axis: vec{math.Sin(b) * math.Cos(pitch), math.Cos(b) * math.Cos(pitch), math.Sin(pitch)},
		tanW: 0.05 + 0.8*rng.Float64(),
	}
	v.right = vec{math.Cos(b), -math.Sin(b), 0}
	v.up = v.right.cross(v.axis)
	v.tanH = v.tanW * (0.4 + rng.Float64())
	return v
}
