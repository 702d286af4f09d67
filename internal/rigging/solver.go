package rigging

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"kitspan/internal/geom"
)

// Solver finds what a [Structure] stands. It is not safe for concurrent use.
type Solver struct {
	of *Structure
	m  statics
	room
	first int // the load case that was broken last, which is looked at first
	// heaviest is the load case that presses most on the stands.
	heaviest int
	program  program
	held     bool // the joints hold the frame
	brief    bool // it is asked only whether something stands
	// basisOf is the load case whose rows are in the basis of the program, with the leverage filled; −1 for none.
	basisOf int
	filled  [MaxSupports]float64

	factor   float64              // on the wind
	onWeight float64              // on dead weight in calm air
	ballast  [MaxSupports]float64 // kg on each stand
	weights  [MaxRopes]float64    // kg at the foot of each rope that is tied to weights
	lever    [MaxSupports]float64
	perLever [MaxSupports]float64 // 1 over lever
	perTurn  [MaxSupports]float64 // 1 over turn
	turn     [MaxSupports]float64 // the radius at which friction answers a twist
	leverage [MaxSupports]float64 // weight on the feet over the force on them, where the joint lifts, at least 1
	hold     [MaxRopes]float64    // newtons of pull that a newton of weight at the foot of a rope holds
	weight   asks                 // what the weight of the frame asks
	shareN   float64              // an even share of that
	safeN    [MaxSupports]float64 // safe loads
	// Of the load: the weight of each stand with its ballast, that with the even share, and the most that each rope bears.
	standN, ownN [MaxSupports]float64
	bearsN       [MaxRopes]float64

	// Of the load case looked at, at a pressure: what is asked of each stand without the free forces, and what each rope pulls.
	now   *load
	own   *caseAsks
	q     float64
	base  [MaxSupports][asked]float64
	perPa *asks // how that grows with the pressure
	// against is how far along each axis a stand is pushed that gives like all.
	against [MaxSupports][2]float64
	pull    [MaxRopes]float64
	cap     [MaxRopes]float64
	guyed   bool // some rope may pull
	// bars says along which axis stands may not be pushed against +1 and against −1.
	bars      [2][2]bool
	gone      [MaxRopes]bool
	pressN    [MaxSupports]float64 // the most that a joint presses down
	scratch   row
	even      [maxDim]float64 // the free forces with which all are as small as they can be
	apart     [maxDim]float64 // how far those that were found last lay from that
	tries     [3][maxDim]float64
	x         *[maxDim]float64 // the forces found
	one       []onOne
	oneWeight float64 // the factor on weight that one was worked out with
}

// room is the memory that a solver leaves to the next.
type room struct {
	loads []load
	// slacken are the pressures, by load case, under which some rope pulls no more, slackenPa all of them.
	slacken   [][]float64
	slackenPa []float64
	asked     []caseAsks // by load case
	one       []onOne
	searches  []*search
	used      int // of the searches
}

// terms of the rows.
type kind uint8

const (
	box kind = iota
	slack
	tips
	grips     // by the force on the feet
	gripsOwn  // by the stand's own weight
	presses   // safe load of a stand
	pullsOnly // a rope does not push
	parts     // a rope or its anchor
	pushed    // against what nothing makes
)

// term says which condition a row is: of which stand or rope, on which side of a cone, with which sign.
type term struct {
	kind kind
	of   int
	side int
	sign float64
}

// sides are the directions of the sides of cones, and cut what is left of a circle's radius at their middles.
var sides = func() (out [ConeSides][2]float64) {
	for k := range out {
		s, c := math.Sincos(2 * math.Pi * float64(k) / ConeSides)
		out[k] = [2]float64{c, s}
	}
	return out
}()

var cut = math.Cos(math.Pi / ConeSides)

// leastLeverM stands for the lever of a stand on fewer than three legs, which does not stand by itself.
const leastLeverM = 1e-3

// solvers are memory of solvers that are done: thousands of structures are asked about for one answer.
var solvers = sync.Pool{New: func() any { return new(Solver) }}

// Solver returns the solver of a structure, which must not change while it is used.
func (s *Structure) Solver() *Solver {
	v := solvers.Get().(*Solver)
	room := v.room
	room.loads, room.slacken, room.slackenPa = room.loads[:0], room.slacken[:0], room.slackenPa[:0]
	room.one, room.used = room.one[:0], 0
	*v = Solver{basisOf: -1}
	v.of, v.room = s, room
	v.m, v.held = staticsOf(s)
	if !v.held {
		return v
	}
	for i := range s.Stands {
		st := &s.Stands[i]
		v.lever[i], v.turn[i] = math.Max(leastLeverM, st.LeverM()), leastLeverM
		if st.Legs >= 3 {
			v.turn[i] = math.Max(leastLeverM, st.FootprintM*math.Sin(math.Pi/float64(st.Legs)))
		}
		v.perLever[i], v.perTurn[i] = 1/v.lever[i], 1/v.turn[i]
	}
	for j := range s.Ropes {
		r := &s.Ropes[j]
		u := r.To.Sub(r.From).Unit()
		v.hold[j] = s.Friction / math.Max(singular, math.Hypot(u.X, u.Y)+s.Friction*math.Abs(u.Z))
		v.weights[j] = r.WeightKg
	}
	v.loads = s.loads(v.loads, &v.m.axes)
	v.begin()
	if v.single() {
		v.load(nil, 1)
		v.ones()
		return v
	}
	v.first, v.heaviest = s.hardest(v.loads)
	for i := range v.loads {
		from := len(v.slackenPa)
		v.slackenPa = s.slacken(v.slackenPa, &v.loads[i])
		v.slacken = append(v.slacken, v.slackenPa[from:])
	}
	return v
}

// begin works out what holds for all load cases, of which nothing is known yet.
func (v *Solver) begin() {
	s := v.of
	v.asked = slices.Grow(v.asked[:0], len(v.loads))[:len(v.loads)]
	for i := range v.asked {
		v.asked[i].known = false
	}
	weight := wrench{2: -s.MassKg * GravityMS2}
	v.m.asks(&weight, &v.weight)
	v.shareN = s.MassKg * GravityMS2 / float64(v.m.stands)
	for i := range s.Stands {
		v.safeN[i] = s.Stands[i].SafeLoadKg * GravityMS2
	}
}

// Done gives the solver's memory back. Neither it nor a [Need] that it found may be used any more.
func (v *Solver) Done() {
	v.of, v.now, v.own, v.perPa = nil, nil, nil, nil
	solvers.Put(v)
}

// hardest returns the number of the load case that probably asks for most ballast, to be looked at first: by what its wind does to
// tip the stands and to lift them. heaviest is the one that probably presses most on one of them.
func (s *Structure) hardest(loads []load) (hardest, heaviest int) {
	high, wide, most, mostDown := 0.0, 0.0, 0.0, 0.0
	for i := range s.Stands {
		high, wide = math.Max(high, s.Stands[i].Held.Z), math.Max(wide, s.Stands[i].LeverM())
	}
	for i := range loads {
		w := &loads[i].wind
		turns := math.Abs(w[3]) + math.Abs(w[4])
		if tips := math.Hypot(w[0], w[1])*high + math.Max(0, w[2])*wide + turns; tips > most*(1+1e-9) {
			hardest, most = i, tips
		}
		if down := math.Max(0, -w[2])*wide + turns; w[2] < 0 && down > mostDown*(1+1e-9) {
			heaviest, mostDown = i, down
		}
	}
	return hardest, heaviest
}

// against reports whether a rope runs against the level part of the wind on the frame, and returns what decides else: it pulls where
// weight + pressure·push is negative.
func (r *Rope) against(l *load) (level bool, weight, push float64) {
	x, y, z := r.To.X-r.From.X, r.To.Y-r.From.Y, r.To.Z-r.From.Z
	along := x*l.wind[0] + y*l.wind[1]
	return along < -slight*math.Hypot(x, y)*math.Hypot(l.wind[0], l.wind[1]), z * l.dead[2], along + z*l.wind[2]
}

// slacken appends the pressures under which some rope does not pull that pulls above, falling.
func (s *Structure) slacken(all []float64, l *load) []float64 {
	if l.air != windy {
		return all
	}
	from := len(all)
	for j := range s.Ropes {
		if level, weight, push := s.Ropes[j].against(l); !level && push < 0 && weight > 0 {
			all = append(all, weight/-push*(1-slackenShare))
		}
	}
	out := all[from:]
	slices.SortFunc(out, func(a, b float64) int { return cmp.Compare(b, a) })
	return all[:from+len(slices.CompactFunc(out, func(a, b float64) bool { return a-b < slackenShare*a }))]
}

// slackenShare is how far under the pressure at which a rope goes slack a load case is looked at.
const slackenShare = 1e-6

// anchor returns what the anchor of a rope bears, in newtons.
func (v *Solver) anchor(j int) float64 {
	if a := v.of.Ropes[j].AnchorN; a > 0 {
		return a
	}
	return v.hold[j] * v.weights[j] * GravityMS2
}

// bound returns b of a row in the case looked at: what its condition lacks without any free force.
func (v *Solver) bound(t *term) float64 {
	switch t.kind {
	case slack:
		return 0
	case tips:
		e, b := &sides[t.side], &v.base[t.of]
		return (e[0]*b[topplesX]+e[1]*b[topplesY])/v.lever[t.of] - cut*b[standsOn]
	case grips, gripsOwn:
		if v.now.air == tilted {
			return -farN
		}
		e, b := &sides[t.side], &v.base[t.of]
		n := b[standsOn]
		if t.kind == gripsOwn {
			n = v.ownN[t.of]
		}
		return e[0]*b[slidesX] + e[1]*b[slidesY] + cut*(t.sign*v.leverage[t.of]/v.turn[t.of]*b[twists]-v.of.Friction*n)
	case presses:
		return -v.pressN[t.of] - v.base[t.of][lifts]
	case pullsOnly:
		return -v.pull[t.of]
	case parts:
		return v.pull[t.of] - v.cap[t.of]
	case pushed:
		if !v.barred(t.side, t.sign) {
			return -farN
		}
		return math.Min(0, t.sign*v.against[t.of][t.side]) - t.sign*v.base[t.of][major+t.side]
	default:
	}
	return -farN
}

// barred reports whether in the case looked at stands may not be pushed along an axis against a sign.
func (v *Solver) barred(axis int, sign float64) bool {
	l := v.now
	if l.air == calm {
		return true
	}
	if v.guyed && (axis != l.major || l.push[axis] == 0) {
		return false
	}
	return l.push[axis] == sign || l.push[axis] == 0
}

// fill writes the row of a condition.
func (v *Solver) fill(t term, r *row) {
	r.what, r.b = t, v.bound(&t)
	free := v.m.free
	for k := range maxDim {
		r.a[k] = 0
	}
	r.a[free] = 1 // the slack
	if t.kind >= pullsOnly {
		r.a[free] = 0
	}
	switch t.kind {
	case tips:
		e, g := &sides[t.side], &v.m.byFree[t.of]
		for k := range free {
			r.a[k] = cut*g[standsOn][k] - (e[0]*g[topplesX][k]+e[1]*g[topplesY][k])/v.lever[t.of]
		}
	case grips, gripsOwn:
		e, g := &sides[t.side], &v.m.byFree[t.of]
		by := cut * t.sign * v.leverage[t.of] / v.turn[t.of]
		for k := range free {
			r.a[k] = -e[0]*g[slidesX][k] - e[1]*g[slidesY][k] - by*g[twists][k]
			if t.kind == grips {
				r.a[k] += cut * v.of.Friction * g[standsOn][k]
			}
		}
	case presses:
		for k := range free {
			r.a[k] = v.m.byFree[t.of][lifts][k]
		}
	case pullsOnly, parts:
		by := 1.0
		if t.kind == parts {
			by = -1
		}
		for k := range free {
			r.a[k] = by * v.m.pullFree[t.of][k]
		}
	case pushed:
		for k := range free {
			r.a[k] = t.sign * v.m.byFree[t.of][major+t.side][k]
		}
	default:
	}
}

// nearest is how much of a newton a condition may lack and count as kept.
const nearestN = 1e-4

// worst returns the condition that the free forces found so far break most, and by how much, with the leverage of twists that is set.
func (v *Solver) worst(x *[maxDim]float64) (t term, short float64) { return v.worstWith(x, false) }

// worstWith is worst, exact with the leverage that the forces themselves ask for.
func (v *Solver) worstWith(x *[maxDim]float64, exact bool) (t term, short float64) {
	m := &v.m
	s := x[m.free]
	short = nearestN + s // every row has the slack s in it
	found := term{kind: box}
	var all forces
	m.unknown(x, &all)
	pulls := all[m.perStand*m.stands:]
	var heads [MaxSupports]geom.Vec // what ropes pull at the heads of stands
	for j := range m.ropes {
		if i := m.ropeAt[j]; i >= 0 {
			heads[i] = heads[i].Add(m.ropeTo[j].Scale(pulls[j]))
		}
	}
	var f [asked]float64
	for i := range m.stands {
		v.put(i, &all, &heads[i], &f)
		px, py := f[topplesX]*v.perLever[i], f[topplesY]*v.perLever[i]
		if longer(px, py, short+cut*f[standsOn]) {
			k := side(px, py)
			if lacks := sides[k][0]*px + sides[k][1]*py - cut*f[standsOn]; lacks > short {
				short, found = lacks, term{tips, i, k, 0}
			}
		}
		if lacks := -v.pressN[i] - f[lifts]; lacks > short {
			short, found = lacks, term{presses, i, 0, 0}
		}
		if v.now.air != tilted {
			hx, hy := f[slidesX], f[slidesY]
			leverage := v.leverage[i]
			if exact {
				leverage = max(1, leverageOf(f[standsOn], f[lifts], f[twists])/turnStep)
			}
			bears := cut*leverage*v.perTurn[i]*math.Abs(f[twists]) - cut*v.of.Friction*min(v.ownN[i], f[standsOn])
			if longer(hx, hy, short-bears) {
				k, what, sign := side(hx, hy), grips, 1.0
				if v.ownN[i] < f[standsOn] {
					what = gripsOwn
				}
				if f[twists] < 0 {
					sign = -1
				}
				if lacks := sides[k][0]*hx + sides[k][1]*hy + bears; lacks > short {
					short, found = lacks, term{what, i, k, sign}
				}
			}
		}
		if m.stands == 1 {
			continue
		}
		for axis := range 2 {
			if v.bars[axis][0] {
				if lacks := min(0, v.against[i][axis]) - f[major+axis] + s; lacks > short {
					short, found = lacks, term{pushed, i, axis, 1}
				}
			}
			if v.bars[axis][1] {
				if lacks := min(0, -v.against[i][axis]) + f[major+axis] + s; lacks > short {
					short, found = lacks, term{pushed, i, axis, -1}
				}
			}
		}
	}
	for j := range m.ropes {
		pull := v.pull[j] + pulls[j]
		if lacks := s - pull; lacks > short {
			short, found = lacks, term{pullsOnly, j, 0, 0}
		}
		if lacks := pull - v.cap[j] + s; lacks > short {
			short, found = lacks, term{parts, j, 0, 0}
		}
	}
	if short < 0 { // a slack under 0
		short, found = 0, term{kind: slack}
	}
	return found, short - s
}

// longer reports whether a level vector is longer than that, which may be under 0.
func longer(x, y, than float64) bool { return than < 0 || x*x+y*y > than*than }

// forces are unknown forces, or what the free ones add to them.
type forces [maxForces]float64

// unknown works out what free forces x add to the unknown ones.
func (m *statics) unknown(x *[maxDim]float64, out *forces) {
	var a, b, c, d, e, f float64
	for k := range m.free {
		by, force := &m.freeBy[k], x[k]
		a += by[0] * force
		b += by[1] * force
		c += by[2] * force
		d += by[3] * force
		e += by[4] * force
		f += by[5] * force
		out[m.freeOf[k]] = force
	}
	for r, force := range [6]float64{a, b, c, d, e, f} {
		out[m.solved[r]] = force
	}
}

// put works out what is asked of a stand with what free forces add to the unknown ones, head being the pull of ropes at its head.
func (v *Solver) put(i int, all *forces, head *geom.Vec, f *[asked]float64) {
	m := &v.m
	at := all[i*m.perStand:]
	jx, jy, jz := at[0], at[1], at[2]
	h, base := m.heldM[i], &v.base[i]
	f[standsOn] = base[standsOn] - jz - head.Z
	f[topplesX] = base[topplesX] + h*(jx+head.X) - m.armX[i]*jz
	f[topplesY] = base[topplesY] + h*(jy+head.Y) - m.armY[i]*jz
	for k := range m.moments {
		f[topplesX] += m.about[k].Y * at[3+k]
		f[topplesY] -= m.about[k].X * at[3+k]
	}
	f[slidesX], f[slidesY] = base[slidesX]+jx+head.X, base[slidesY]+jy+head.Y
	f[twists] = base[twists] + m.armX[i]*jy - m.armY[i]*jx
	f[lifts] = base[lifts] + jz
	f[major] = base[major] + m.axes[0].X*jx + m.axes[0].Y*jy
	f[minor] = base[minor] + m.axes[1].X*jx + m.axes[1].Y*jy
}

// facing are the slopes half-way between the sides of a cone in its first eighth.
var facing = func() (out [ConeSides / 8]float64) {
	for k := range out {
		out[k] = math.Tan(2 * math.Pi * (float64(k) + 0.5) / ConeSides)
	}
	return out
}()

// side returns the side of a cone that faces a direction.
func side(x, y float64) (k int) {
	far, near := math.Abs(x), math.Abs(y)
	steep := near > far
	if steep {
		far, near = near, far
	}
	for _, slope := range facing {
		if near > slope*far {
			k++
		}
	}
	if steep {
		k = ConeSides/4 - k
	}
	if x < 0 {
		k = ConeSides/2 - k
	}
	if y < 0 {
		k = (ConeSides - k) % ConeSides
	}
	return k
}
