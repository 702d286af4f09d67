package oracle

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/rigging"
	"kitspan/internal/sizing"
)

// Limits of the balance: common practice, no source, but for the two named.
const (
	gravityMS2    = 9.80665 // standard gravity
	mostGustMS    = 60      // no limit is stated above
	machineGustMS = 12.5    // EN 280, as the trade quotes it
	// leastGustMS is the gust that everything on stands is to bear, however calm the day.
	leastGustMS = 3
	// mostBallast is how many bags or blocks lie on one support, or hang on the foot of one rope.
	mostBallast = 6
	// carriedBy is how many find room around a bag or block.
	carriedBy = 3
)

// underFoot is the friction of the ground under whatever rests on it, wet; the sources stand in the documentation.
var underFoot = map[string]float64{
	"grass": 0.20, "soil": 0.20, "sand": 0.20, "concrete": 0.30, "asphalt": 0.30, "snow": 0.10, "water": 0.20, "": 0.20,
}

// handCarried reports whether as many as find room around it may carry a bag, a block or an anchor: a team of three carries half of what
// each does alone (HSE L23).
func handCarried(massKg float64) bool { return massKg <= carriedBy*oneLiftsKg*teamShare+1e-9 }

// mast is one support as the balance sees it.
type mast struct {
	sp        sizing.Support
	spec      *catalog.Support
	massKg    float64
	unitKg    float64 // of one bag or block
	isMachine bool
}

func (m mast) ballastKg() float64 { return float64(m.sp.Ballast.Quantity) * m.unitKg }

// hasArm reports whether the support comes with an arm, whether the load hangs at the end of it or over the mast.
func (m mast) hasArm() bool { return m.spec.ArmReachM > 0 }

// rope is one rope as the balance sees it.
type rope struct {
	sizing.GuyLine
	line *catalog.Line
	// anchor is nil where the rope is tied to ballast or to a fixed point.
	anchor   *catalog.Anchor
	isBag    bool
	unitKg   float64 // of one thing at its foot
	anchorN  float64 // that a stake or a fixed point bears, 0 for weights
	from, to vec
}

func (r *rope) onFrame() bool { return r.Support == rigging.OnFrame }
func (r *rope) isPoint() bool { return r.Point != "" }

// weightKg is what lies at its foot, where that holds it by its mass.
func (r *rope) weightKg() float64 {
	if r.anchorN > 0 {
		return 0
	}
	return float64(r.Anchor.Quantity) * r.unitKg
}

// rigged is one piece as the wind sees it.
type rigged struct {
	piece sizing.Piece
	found parts
	// sheet is what the wind blows on, in the world's axes; a lamp is a square of the side of a cube of its packed volume.
	sheet        plate
	areaM2       float64
	tiltDeg      float64
	solidity     float64
	masts        []mast
	ropes        []rope
	houseLimitMS float64
	safety       float64
	// rig is all of that as one structure, in the camera's axes.
	rig rigging.Structure
}

// rig reads a piece; ok is false where what it is made of or stands on is not to be read, which other rules tell.
func rig(s *Scene, p sizing.Piece, stock *catalog.Snapshot) (r rigged, ok bool) {
	found, _ := partsOf(p, stock)
	if !found.fit(p.Role) || len(p.Supports) == 0 || len(p.Supports) > rigging.MaxSupports || len(p.Lines) > rigging.MaxRopes {
		return r, false
	}
	r = rigged{piece: p, found: found, solidity: 1, safety: s.Shot.SafetyFactor}
	for _, sp := range p.Supports {
		m, known := readMast(sp, stock)
		if !known {
			return r, false
		}
		r.masts = append(r.masts, m)
	}
	for _, l := range p.Lines {
		g, known := readRope(s, l, len(p.Supports), stock)
		if !known {
			return r, false
		}
		r.ropes = append(r.ropes, g)
	}
	switch {
	case found.lamp != nil && p.Lamp == nil:
		return r, false
	case found.lamp != nil:
		half := math.Cbrt(stock.Item(p.Items[0].SKU).PackedM3) / 2
		r.sheet = plate{
			centre: fromGeom(p.Lamp.Position), e1: s.View.right, e2: up, normal: s.View.right.cross(up),
			half1: half, half2: half, outer1: half, outer2: half,
		}
	default:
		r.sheet = plateIn(p, found)
	}
	r.areaM2 = 4 * r.sheet.outer1 * r.sheet.outer2
	r.tiltDeg = math.Acos(math.Min(1, math.Abs(r.sheet.normal.z))) * 180 / math.Pi
	if f := found.frame; f != nil {
		r.houseLimitMS = f.GustLimitMS
		if c := found.fabric; c.Use == catalog.UseNet {
			r.solidity = c.Solidity
		}
	}
	return r, r.join(s)
}

// join puts the structure together; ok is false on a ground that nothing is known of.
func (r *rigged) join(s *Scene) (ok bool) {
	friction, ok := underFoot[s.Shot.Site.Ground]
	ahead := up.cross(s.View.right)
	at := func(v vec) geom.Vec { return geom.Vec{X: v.dot(s.View.right), Y: v.dot(ahead), Z: v.z} }
	pl := r.sheet
	r.rig = rigging.Structure{Solidity: r.solidity, MassKg: r.found.massKg, Round: r.found.lamp != nil, Friction: friction, SafetyFactor: r.safety}
	f := &r.rig.Frame
	f.Center, f.U, f.V, f.HalfU, f.HalfV = at(pl.centre), at(pl.e1), at(pl.e2), pl.outer1, pl.outer2
	for _, m := range r.masts {
		r.rig.Stands = append(r.rig.Stands, rigging.Stand{
			Foot: at(fromGeom(m.sp.Base)), Held: at(hold(m.sp)), FootprintM: m.spec.FootprintM, Legs: m.spec.Legs,
			MassKg: m.massKg, SafeLoadKg: m.spec.SafeLoadKg,
		})
	}
	for _, g := range r.ropes {
		r.rig.Ropes = append(r.rig.Ropes, rigging.Rope{
			Stand: g.Support, From: at(g.from), To: at(g.to), SafePullN: g.line.SafePullN, AnchorN: g.anchorN, WeightKg: g.weightKg(),
		})
	}
	return ok
}

// ballastKg is what lies on each stand.
func (r *rigged) ballastKg() (list []float64) {
	for _, m := range r.masts {
		list = append(list, m.ballastKg())
	}
	return list
}

func (r *rigged) onMachines() bool {
	for _, m := range r.masts {
		if m.isMachine {
			return true
		}
	}
	return false
}

func readMast(sp sizing.Support, stock *catalog.Snapshot) (m mast, ok bool) {
	item := stock.Item(sp.SKU)
	if item == nil {
		return m, false
	}
	spec, ok := item.Spec.(*catalog.Support)
	if !ok {
		return m, false
	}
	m = mast{sp: sp, spec: spec, massKg: item.MassKg, isMachine: spec.Class == catalog.ClassMachine}
	if sp.Ballast.Quantity > 0 {
		bag := stock.Item(sp.Ballast.SKU)
		if bag == nil {
			return m, false
		}
		m.unitKg = bag.MassKg
	}
	return m, true
}

// readRope reads a rope; ok is false where it names what the house does not have, no support of the piece, or no point of the user's.
func readRope(s *Scene, l sizing.GuyLine, supports int, stock *catalog.Snapshot) (g rope, ok bool) {
	item := stock.Item(l.SKU)
	if item == nil || l.Support < rigging.OnFrame || l.Support >= supports {
		return g, false
	}
	g = rope{GuyLine: l, from: fromGeom(l.From), to: fromGeom(l.To)}
	if g.line, ok = item.Spec.(*catalog.Line); !ok || g.from.far(g.to) < placeTolM {
		return g, false
	}
	if g.isPoint() {
		for _, a := range s.Shot.Site.Anchors {
			if a.Label == l.Point {
				g.anchorN = a.SafePullN
			}
		}
		return g, g.anchorN > 0
	}
	holds := stock.Item(l.Anchor.SKU)
	if holds == nil {
		return g, false
	}
	g.unitKg = holds.MassKg
	switch spec := holds.Spec.(type) {
	case *catalog.Ballast:
		g.isBag = true
	case *catalog.Anchor:
		g.anchor = spec
		if spec.Form == catalog.FormStake {
			// Half in soaked ground; of two in line each bears as much as each of three does, 1800 lb together where one bears 700.
			g.anchorN = spec.SafePullN / 2
			if n := l.Anchor.Quantity; n > 1 {
				g.anchorN *= float64(n) * 600 / 700
			}
		}
	default:
		return g, false
	}
	return g, true
}
