package light

import (
	"testing"

	"kitspan/internal/geom"
)

// plainSet is one overhead, one key board, one fill board; fullSet has a flag, a fed frame, another board, a net and a lamp
// besides.
func plainSet() *Scene {
	over := Panel{Corners: board(subject.Add(backSun.Scale(2)), geom.Vec{Z: 1}, 2.4, 2.4), A: Surface{Diffuse: 0.4},
		B: Surface{Diffuse: 0.4}, Transmittance: 0.4, BeamShare: 0.1}
	return backlit(over, keyBoard(silver, 3, 1.2), fillBoard(white, 2))
}

func fullSet() *Scene {
	s := plainSet()
	s.Panels = append(s.Panels,
		fillBoard(black, 1.2),
		Panel{Corners: toward(subject, 45, 1.8, 1.7, 1.5, 1.5), A: Surface{Diffuse: 0.3}, B: Surface{Diffuse: 0.3},
			Transmittance: 0.5, BeamShare: 0.05, Fed: true},
		Panel{Corners: mirrorOf(geom.Vec{X: 4, Y: 0.5, Z: 1.7}, subject, backSun, 1.5, 1.5), A: silver, B: white},
		Panel{Corners: board(subject.Add(backSun.Scale(1.2)), backSun, 1, 1), A: black, B: black, Transmittance: 0.5, BeamShare: 1})
	s.Lamps = []Lamp{{At: geom.Vec{X: 3, Y: 3, Z: 2}, Aim: subject, IntensityCd: 50000, BeamDeg: 30}}
	return s
}

// setAndFaces is the work of one question of a planner: another scene, and the three faces of the subject.
func setAndFaces(l *Lit, s *Scene) (sum float64) {
	l.Set(s)
	for _, n := range [3]geom.Vec{keyFace, fillFace, geom.Toward(180, 45)} {
		sum += l.Face(subject, n).Total()
	}
	return sum
}

func TestNoAllocationsAfterWarmUp(t *testing.T) {
	for what, s := range map[string]*Scene{"plain": plainSet(), "full": fullSet()} {
		l := Light(s)
		setAndFaces(l, s)
		if got := testing.AllocsPerRun(100, func() {
			setAndFaces(l, s)
			l.SourceDeg(subject, 1)
			ApparentDeg(subject, s.Panels[0].Corners)
		}); got != 0 {
			t.Errorf("%s: %v allocations", what, got)
		}
	}
}

func BenchmarkLevels(b *testing.B) {
	for _, c := range []struct {
		what string
		set  *Scene
	}{{"plain", plainSet()}, {"full", fullSet()}} {
		b.Run(c.what, func(b *testing.B) {
			var l Lit
			b.ReportAllocs()
			for b.Loop() {
				setAndFaces(&l, c.set)
			}
		})
	}
}
