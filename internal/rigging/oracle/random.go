package oracle

import (
	"math"
	"math/rand/v2"

	"kitspan/internal/geom"
	"kitspan/internal/rigging"
)

// Random returns a structure as rigs are built: on one, two or four stands, upright, tilted or level, over arms of up to 1 m, with and
// without ropes from corners or mast heads to stakes or weights; a box on one stand now and then.
func Random(rng *rand.Rand) rigging.Structure {
	d := dice{rng}
	s := rigging.Structure{
		Solidity: d.pick(0, 0, 0.4, 0.7), MassKg: d.between(2, 12), Friction: d.pick(0.1, 0.2, 0.2, 0.3), SafetyFactor: d.pick(1.2, 1.5, 1.5),
	}
	stands := int(d.pick(1, 2, 2, 4))
	side := map[int]float64{1: 0.8, 2: 1.6, 4: 2.8}[stands]
	s.Round = stands == 1 && d.chance(0.25)
	tilt := d.pick(0, 0, 90, d.between(2, 30), d.between(30, 88))
	if s.Round {
		tilt = 90
	}
	sin, cos := math.Sincos(tilt * math.Pi / 180)
	u := turned(geom.Vec{X: 1}, d.between(0, 360))
	across := turned(u, 90)
	s.Frame = geom.Rect{
		U: u, V: across.Scale(cos).Add(geom.Vec{Z: sin}), HalfU: side * d.between(0.5, 1.3) / 2, HalfV: side * d.between(0.5, 1.3) / 2,
	}
	s.Frame.Center = geom.Vec{X: d.between(-3, 3), Y: d.between(-3, 3), Z: d.between(0.3, 2.2) + s.Frame.HalfV*sin}
	s.MassKg += s.Frame.HalfU * s.Frame.HalfV * 4
	if d.chance(0.3) { // sides the other way round
		s.Frame.U, s.Frame.V, s.Frame.HalfU, s.Frame.HalfV = s.Frame.V, s.Frame.U.Scale(-1), s.Frame.HalfV, s.Frame.HalfU
	}
	longest := d.pick(0, 0, 0.4, 1)
	stand := rigging.Stand{
		FootprintM: d.between(0.45, 1), Legs: int(d.pick(3, 3, 4)), MassKg: d.between(4, 45), SafeLoadKg: d.between(10, 90),
	}
	for _, held := range heldAt(s.Frame, u, stands) {
		st := stand
		st.Held = held
		st.Foot = level(held)
		if longest > 0 {
			st.Foot = st.Foot.Add(turned(u, d.between(0, 360)).Scale(d.between(0, longest)))
		}
		s.Stands = append(s.Stands, st)
	}
	if d.chance(0.45) {
		s.Ropes = d.ropes(&s)
	}
	return s
}

// RandomBallast returns a ballast for each stand of a structure in kg.
func RandomBallast(rng *rand.Rand, s *rigging.Structure) []float64 {
	d := dice{rng}
	list := make([]float64, len(s.Stands))
	about := d.between(5, 100) * float64(1+len(s.Stands)/2)
	for i := range list {
		list[i] = about * d.between(0.7, 1.3)
	}
	return list
}

// heldAt are the points at which stands hold a frame whose sides along u are level: its middle, the middles of the two others, or
// its corners.
func heldAt(f geom.Rect, u geom.Vec, stands int) []geom.Vec {
	half := f.HalfU
	if math.Abs(f.V.Dot(u)) > 0.5 {
		half = f.HalfV
	}
	switch stands {
	case 1:
		return []geom.Vec{f.Center}
	case 2:
		return []geom.Vec{f.Center.Add(u.Scale(half)), f.Center.Sub(u.Scale(half))}
	}
	corners := f.Corners()
	return corners[:]
}

// ropes are one from each corner of a frame, or from the head of each stand, away from the middle; from an upright frame to both sides.
func (d dice) ropes(s *rigging.Structure) (list []rigging.Rope) {
	rope := rigging.Rope{Stand: rigging.OnFrame, SafePullN: d.between(300, 2500)}
	if d.chance(0.5) {
		rope.AnchorN = d.between(300, 2000)
	} else {
		rope.WeightKg = d.between(20, 250)
	}
	steep := math.Tan(d.between(30, 60) * math.Pi / 180)
	add := func(from, way geom.Vec) {
		r := rope
		r.From, r.To = from, level(from).Add(way.Scale(from.Z/steep))
		list = append(list, r)
	}
	if d.chance(0.3) {
		for i, st := range s.Stands {
			rope.Stand = i
			head := level(st.Foot).Add(geom.Vec{Z: st.Held.Z})
			first := d.between(0, 360)
			each := 8 / max(2, len(s.Stands)) // a rig has at most eight
			for k := range each {
				add(head, turned(geom.Vec{X: 1}, first+360*float64(k)/float64(each)))
			}
		}
		return list
	}
	for _, c := range s.Frame.Corners() {
		out := level(c.Sub(s.Frame.Center))
		square := level(s.Frame.U.Cross(s.Frame.V))
		switch {
		case c.Z < 0.5:
		case square.Len() > 0.9:
			add(c, out.Unit().Add(square.Unit()).Unit())
			add(c, out.Unit().Sub(square.Unit()).Unit())
		default:
			add(c, out.Unit())
		}
	}
	return list
}

// dice are throws from one seed.
type dice struct{ *rand.Rand }

func (d dice) between(a, b float64) float64 { return a + (b-a)*d.Float64() }
func (d dice) chance(p float64) bool        { return d.Float64() < p }
func (d dice) pick(of ...float64) float64   { return of[d.IntN(len(of))] }
