package lighting

import (
	"cmp"
	"math"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/finding"
	"kitspan/internal/scene"
)

// Carry is where to carry a group so that the light is as asked, or as near as it comes: metres over the ground from the middle of the zone
// to its own, along the line on which it stands.
type Carry struct {
	Role        finding.Role
	Count       int
	FromM, ToM  float64
	NearM, FarM float64 // between which it stands out of the picture, in the sun where it needs that, and holds the gust
	// Reaches reports whether the light then comes within a third of a stop of what is asked.
	Reaches bool
	Then    MeteredLook
	// Pieces are the group at ToM, in the camera's frame; nil where it stays, within [carryStepM].
	Pieces []*Piece
}

// Stays reports whether the group stays where it is.
func (c *Carry) Stays() bool { return math.Abs(c.ToM-c.FromM) < carryStepM }

// Next is another way to the key.
type Next string

// The ways.
const (
	NextMore   Next = "one_more"
	NextFewer  Next = "one_fewer"
	NextSide   Next = "other_side"
	NextWeaker Next = "weaker_cloth" // in an overhead
)

// NextStep is another way to the key, carried to where it comes nearest.
type NextStep struct {
	What Next
	// Face is the side of the board, or SKU the cloth, that it takes.
	Face, SKU string
	Carry
}

const (
	// carryStepM is the least way that a group is carried: nobody sets a stand down more exactly (common practice, no source).
	carryStepM = 0.05
	// carryLadder is the ratio of neighbouring distances that are looked at, carryMost how far a group is carried from where it stands, as
	// a ratio either way; carryHalvings is how often the distance between two of them is halved: to a centimetre of 8 m.
	carryLadder   = 1.06
	carryMost     = 2.5
	carryHalvings = 7
	// nextMost bounds the list of other ways to reach the level.
	nextMost = 4
)

// advise fills in what to change.
func (m *meter) advise(out *Metered) {
	keyStands := m.carryKey(out)
	if m.fill != nil && m.ctx.Err() == nil {
		m.carryFill(out)
	}
	if keyStands != nil && !out.Key.Reaches {
		m.nextSteps(out, keyStands)
	}
}

// carryKey finds where what lifts the key goes, and leaves it there; it returns the group as it stood, nil where there is none.
func (m *meter) carryKey(out *Metered) *placedArray {
	if m.key == nil {
		return nil
	}
	old := *m.key
	if old.role == finding.RoleLamp {
		s := m.split(m.group(m.key))
		need := m.referenceLx*math.Exp2(out.Wanted.KeyStops) - m.restBy*s.rest[onKey]
		if have := m.boardBy * s.board[onKey]; need > 0 && have > 0 {
			stops := math.Log2(have / need)
			out.ScrimStops = &stops
		}
	}
	parked := m.remove(m.key)
	m.onStandsOf(parked)
	c := m.carry(&old, old.array, func(up []*Piece) (float64, MeteredLook) {
		s := m.split(up)
		then := m.look(&s)
		return then.KeyStops - out.Wanted.KeyStops, then
	})
	out.Key = &c
	up := parked
	if c.Pieces != nil {
		up = c.Pieces
	}
	m.key = &placedArray{array: old.array, to: old.to, first: len(m.Pieces), count: len(up), role: old.role}
	m.add(up)
	return &old
}

// carryFill finds where what stands on the fill side goes, the key being where it is, and what becomes of the light without it.
func (m *meter) carryFill(out *Metered) {
	old := *m.fill
	out.Dims = old.dims
	parked := m.remove(m.fill)
	m.fill = nil
	var key []*Piece
	if m.key != nil {
		key = m.group(m.key)
	}
	s := m.split(key)
	bare := m.look(&s)
	out.WithoutFill = &bare
	m.onStandsOf(parked)
	c := m.carry(&old, old.array, func([]*Piece) (float64, MeteredLook) {
		s := m.split(key)
		then := m.look(&s)
		return then.ContrastStops - out.Wanted.ContrastStops, then
	})
	out.Fill = &c
	m.add(parked)
}

func (m *meter) group(g *placedArray) []*Piece { return m.Pieces[g.first : g.first+g.count] }

// onStandsOf lets pieces stand on the kinds of stands that some stand on: no other was brought.
func (m *meter) onStandsOf(list []*Piece) {
	own := *m.pl.gear
	own.stands = nil
	for i := range m.pl.gear.stands {
		w := &m.pl.gear.stands[i]
		used := func(p *Piece) bool {
			return slices.ContainsFunc(p.Masts, func(s anchorage.Mast) bool { return s.Support.Item == w.Item })
		}
		if slices.ContainsFunc(list, used) {
			own.stands = append(own.stands, *w)
		}
	}
	m.gear = &own
}

// nextSteps looks at other ways to the key, what lifts it taken away.
func (m *meter) nextSteps(out *Metered, old *placedArray) {
	m.remove(m.key)
	m.key = nil
	off := func(up []*Piece) (float64, MeteredLook) {
		s := m.split(up)
		then := m.look(&s)
		return then.KeyStops - out.Wanted.KeyStops, then
	}
	try := func(n NextStep, t array) {
		if m.ctx.Err() == nil {
			n.Carry = m.carry(old, t, off)
			out.Next = append(out.Next, n)
		}
	}
	dark := out.Key.Then.KeyStops < out.Wanted.KeyStops
	if t := old.array; dark && t.n < mostUnits && t.n < t.of.owned {
		t.n++
		try(NextStep{What: NextMore}, t)
	}
	if t := old.array; !dark && t.n > 1 {
		t.n--
		try(NextStep{What: NextFewer}, t)
	}
	for _, other := range m.pl.gear.emitters {
		if t := old.array; other != t.of && other.item == t.of.item && other.cloth == t.of.cloth && other.face != t.of.face {
			t.of = other
			try(NextStep{What: NextSide, Face: other.face}, t)
		}
	}
	for i, r := range m.Rigs {
		if !dark || len(r.Candidate.Weaker) == 0 || m.Remaining(r.Candidate.Weaker[0].SKU) < 1 {
			continue
		}
		m.hangUp(i, r.Candidate.Weaker[0])
		try(NextStep{What: NextWeaker, SKU: r.Candidate.Weaker[0].SKU}, old.array)
		m.hung = nil
	}
	miss := func(n *NextStep) float64 { return math.Abs(n.Then.KeyStops - out.Wanted.KeyStops) }
	left := miss(&NextStep{Carry: *out.Key})
	out.Next = slices.DeleteFunc(out.Next, func(n NextStep) bool { return miss(&n) > left-gainStops })
	slices.SortStableFunc(out.Next, func(a, b NextStep) int { return cmp.Compare(miss(&a), miss(&b)) })
	out.Next = out.Next[:min(len(out.Next), nextMost)]
}

// rungAt is a distance of a group that is being carried.
type rungAt struct {
	r    float64
	off  float64 // stops over what is asked
	then MeteredLook
}

// carry finds the distance, nearest to where a group stands, at which what off returns is 0; where there is none, the one at which it
// is least. off is asked with the group up, and gets its pieces.
func (m *meter) carry(g *placedArray, t array, off func(up []*Piece) (float64, MeteredLook)) Carry {
	from := g.array.r
	out := Carry{Role: g.role, Count: t.n, FromM: from, ToM: from, NearM: from, FarM: from}
	q := m.searchFor(g)
	at := func(r float64) rungAt {
		t.r = r
		up := q.bare(&t)
		n := len(m.Pieces)
		m.add(up)
		o, then := off(up)
		m.drop(n)
		return rungAt{r, o, then}
	}
	free := func(r float64) bool {
		t.r = r
		if q.layOut(&t); !q.fits(&t) {
			return false
		}
		_, ok := q.putUp(m.ctx, &t)
		return ok
	}
	out.NearM, out.FarM = m.walk(from, 1/carryLadder, free), m.walk(from, carryLadder, free)
	rungs := []rungAt{at(from)}
	for _, ratio := range [2]float64{1 / carryLadder, carryLadder} {
		for r := from; m.ctx.Err() == nil && r > out.NearM*1.0001 && ratio < 1 || r < out.FarM*0.9999 && ratio > 1; {
			r = math.Min(out.FarM, math.Max(out.NearM, r*ratio))
			rungs = append(rungs, at(r))
		}
	}
	slices.SortFunc(rungs, func(a, b rungAt) int { return cmp.Compare(a.r, b.r) })
	best := slices.MinFunc(rungs, func(a, b rungAt) int { return cmp.Compare(math.Abs(a.off), math.Abs(b.off)) })
	way := math.Inf(1)
	for i := 1; i < len(rungs); i++ {
		lo, hi := rungs[i-1], rungs[i]
		if lo.off*hi.off > 0 || m.ctx.Err() != nil {
			continue
		}
		for range carryHalvings {
			if mid := at((lo.r + hi.r) / 2); mid.off*lo.off > 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		end := lo
		if math.Abs(hi.off) < math.Abs(lo.off) {
			end = hi
		}
		if far := math.Abs(end.r - from); far < way {
			way, best = far, end
		}
	}
	out.ToM, out.Then, out.Reaches = best.r, best.then, math.Abs(best.off) <= closeStops
	if !out.Stays() {
		t.r = best.r
		q.layOut(&t)
		out.Pieces, _ = q.putUp(m.ctx, &t)
		m.hold(out.Pieces)
	}
	return out
}

// hold ballasts pieces that have found their places.
func (m *meter) hold(up []*Piece) {
	for _, p := range up {
		p.Anchorage = m.Secure(p, p, m.Holding.GustMS, m.Remaining, true)
		b := m.Held(p)
		p.Anchorage = m.Holding.Spare(&b, &p.Anchorage, m.Remaining)
	}
}

// walk steps from where a group stands as long as each place is free, and returns the last that is.
func (m *meter) walk(from, ratio float64, free func(r float64) bool) float64 {
	last := from
	for r := from * ratio; m.ctx.Err() == nil && r <= scene.FarM && r >= from/carryMost && r <= from*carryMost; r *= ratio {
		if !free(r) {
			lo, hi := last, r
			for range carryHalvings - 2 {
				if mid := (lo + hi) / 2; free(mid) {
					lo = mid
				} else {
					hi = mid
				}
			}
			return lo
		}
		last = r
	}
	return last
}

// searchFor is what lays out and puts up a group that stood.
func (m *meter) searchFor(g *placedArray) *lightSearch {
	to := g.to
	q := newSearch(m.Setup, asking(&to, m.referenceLx, g.dims))
	q.role, q.diffuserRole, q.sunny = g.role, finding.RoleReflectorDiffuser, g.role == finding.RoleReflector && m.Light.Driver >= 0
	if g.role == finding.RoleLamp {
		q.diffuserRole = finding.RoleLampDiffuser
	}
	return q
}

// bare are the pieces of an array in their places, on nothing: for their light alone.
func (q *lightSearch) bare(t *array) []*Piece {
	q.layOut(t)
	up := make([]*Piece, 0, t.n+1)
	for i := range q.laid.n {
		up = append(up, q.unit(t, i))
	}
	if t.diffuser != nil {
		p := q.s.diffuserPiece(t.diffuser, q.diffuserRole, q.laid.diffuser, q.laid.diffuserOuter, t.diffuser.panel(true))
		p.Serves = q.to.serves
		up = append(up, p)
	}
	return up
}
