package rigging

import "math"

// MaxSupports is how many supports a piece has at most.
const MaxSupports = 4

// Support is one stand or machine under a piece.
type Support struct {
	MassKg float64
	// FootprintM is the radius of the circle of the feet and Legs their number: the lever to the tipping edge is
	// FootprintM·cos(180°/Legs).
	FootprintM float64
	Legs       int
	// HeightM is that of the point held, ArmM its level distance from the mast.
	HeightM, ArmM float64
	// SafeLoadKg is the working load at full height and full arm.
	SafeLoadKg float64
	// GustLimitMS is the support's own limit whatever it carries, 0 for none.
	GustLimitMS float64
}

// LeverM is the level distance from the mast to the nearest tipping edge, 0 for fewer than three legs.
func (s *Support) LeverM() float64 {
	if s.Legs < 3 {
		return 0
	}
	return s.FootprintM * math.Cos(math.Pi/float64(s.Legs))
}

// Piece is a panel on one support (a board, a lamp), on two at the ends of its level side, or on four at its corners.
type Piece struct {
	Panel Panel
	// MassKg is everything that hangs on the supports.
	MassKg   float64
	Supports []Support
	// Friction is that of the ground, under feet, bags and dead weights alike.
	Friction float64
	// SafetyFactor is on the wind and on dead weight that tips; under 1 counts as 1, and 0 as the default.
	SafetyFactor float64
	// HouseLimitMS is the rental house's own limit, 0 for none.
	HouseLimitMS float64
}

// Governs is what gives way first, in the words of the contract.
type Governs string

// What can govern.
const (
	GovernsOverturning Governs = "overturning"
	GovernsSliding     Governs = "sliding"
	GovernsUplift      Governs = "uplift"
	GovernsLine        Governs = "line"
	GovernsAnchor      Governs = "anchor"
	GovernsSupport     Governs = "support"
	GovernsHouseLimit  Governs = "house_limit"
	GovernsNone        Governs = "none"
)

// Hold is up to which gust a piece holds: the safety factor is in it. At the limit it must be down already; it is watched
// from WatchAtMS and lowered at LowerAtMS.
type Hold struct {
	GustLimitMS, LowerAtMS, WatchAtMS float64
	Governs                           Governs
	// Support is the index of the support that gives way first, -1 where it is none of them.
	Support int
}

// sharing is how much of the whole one support takes.
type sharing struct {
	wind  float64 // of the force, at most
	slack float64 // of the force, at most, while its own lines are slack
	least float64 // of the dead weight, where weight helps
	most  float64 // of the dead weight, where it does not
	line  float64 // of the level force, at most, by the lines of one support
}

// sharingOf is how a piece on n supports shares its load. Two at the ends of a side share by statics: the force acts up to
// a quarter of the side off the middle, so that one takes three quarters, and the dead weight is in the middle. Four take
// three quarters on the windward pair (the centre of pressure of canopies), and inside a pair one takes two thirds and the
// other one, because four are never level and rigid frames do not ask how they were shared out: as four-legged slings are
// rated for three legs (ASME B30.9, EN 818-4). Lines stand on the windward side alone, so that with four supports two of
// them take it all, three quarters on one. Adding up to more than the whole is meant: any of them may be the worst.
func sharingOf(n int) sharing {
	switch n {
	case 1:
		return sharing{wind: 1, least: 1, most: 1, line: 1}
	case 2:
		return sharing{wind: 0.75, slack: 0.25, least: 0.5, most: 0.5, line: 0.75}
	}
	return sharing{wind: 0.5, slack: 1.0 / 6, least: 1.0 / 6, most: 1.0 / 3, line: 0.75}
}

// condition holds while dead + perKg·ballast ≥ wind·q, with ballast in kg and q in pascals. The safety factor is in its
// numbers.
type condition struct {
	governs           Governs
	dead, perKg, wind float64
}

// fallen is the limit of what does not even stand in calm air: under every gust, calm among them.
const fallen = -1

// gust is the largest at which the condition holds, or fallen.
func (c *condition) gust(ballastKg float64) float64 {
	left := c.dead + c.perKg*ballastKg
	switch {
	case !(left >= 0):
		return fallen
	case c.wind <= 0:
		return math.Inf(1)
	}
	return GustOfPressure(left / c.wind)
}

// maxConditions is how many conditions a support has at most.
const maxConditions = 7

// moment is the wind on a support that is the same for all of a piece.
type moment struct {
	wind    Wind
	share   sharing
	gamma   float64
	aboveM  float64 // of the force above the points held
	offM    float64 // of the force from the axis of the points held, along the slope
	sidewaM float64 // of the force from a single mast, along the level side
}

func (p *Piece) moment() moment {
	m := moment{wind: p.Panel.Wind(), share: sharingOf(len(p.Supports)), gamma: p.factor()}
	sum := 0.0
	for i := range p.Supports {
		sum += p.Supports[i].HeightM
	}
	m.aboveM = m.wind.RaiseM + math.Max(0, p.Panel.MiddleM-sum/float64(len(p.Supports)))
	// Four corners take a force off the middle by their shares; an axis or a single mast is turned by it.
	if len(p.Supports) <= 2 {
		m.offM = m.wind.OffSlopeM
	}
	if len(p.Supports) == 1 {
		m.sidewaM = m.wind.OffWidthM
	}
	return m
}

func (p *Piece) factor() float64 {
	if p.SafetyFactor == 0 {
		return DefaultSafetyFactor
	}
	return math.Max(1, p.SafetyFactor)
}

// free writes the conditions of a support that stands by its ballast alone. Wind and arm may point any way, so that the
// worst is taken of each: the load beyond the tipping edge or, lifted, on the far side of it.
func (p *Piece) free(s *Support, m *moment, out *[maxConditions]condition) []condition {
	lever, arm := s.LeverM(), s.ArmM
	stand := s.MassKg * GravityMS2
	load := p.MassKg * GravityMS2 * m.share.least
	gamma, share := m.gamma, m.share.wind
	mast := mastDrag * mastM * s.HeightM

	over := func(u *Push) float64 { // tipping moment of the level force and of its being off the middle
		return share*(u.Level*(s.HeightM+m.aboveM)+u.Normal*m.offM+u.Vertical*m.sidewaM) + mast*s.HeightM/2
	}
	down, up := &m.wind.Down, &m.wind.Up
	in, out1 := math.Max(0, lever-arm), math.Max(0, arm-lever)
	dead := p.standing(s, m)
	perKg := GravityMS2 * lever
	c := append(out[:0],
		condition{GovernsOverturning, dead, perKg, gamma * (over(down) + share*down.Vertical*out1)},
		condition{GovernsOverturning, dead, perKg, gamma * (over(up) + share*up.Vertical*in)},
		condition{GovernsOverturning, stand*lever + load*(lever+arm), perKg, gamma * (over(up) + share*up.Vertical*(lever+arm))},
		// What presses down helps against sliding and is not counted; what lifts is.
		condition{GovernsSliding, p.Friction * (stand + load), p.Friction * GravityMS2, gamma * (share*down.Level + mast)},
		condition{GovernsSliding, p.Friction * (stand + load), p.Friction * GravityMS2, gamma * (share*(up.Level+p.Friction*up.Vertical) + mast)},
		condition{GovernsUplift, stand + load, GravityMS2, gamma * share * up.Vertical},
	)
	return append(c, p.carried(s, m, share*down.Vertical))
}

// standing is the moment about the tipping edge of what is there without wind and ballast, N·m: the stand, and the load
// inside the edge, or, with the safety factor, beyond it.
func (p *Piece) standing(s *Support, m *moment) float64 {
	lever := s.LeverM()
	load := p.MassKg * GravityMS2
	return s.MassKg*GravityMS2*lever + load*m.share.least*math.Max(0, lever-s.ArmM) -
		m.gamma*load*m.share.most*math.Max(0, s.ArmM-lever)
}

// carried holds the working load against the dead weight and the wind that presses, in m². A working load has its maker's
// factor in it; ours is on the dead weight besides (shared evenly then, or at its worst without it, whichever is more), and
// not once more on the wind.
func (p *Piece) carried(s *Support, m *moment, pressM2 float64) condition {
	share := math.Max(m.gamma/float64(len(p.Supports)), m.share.most)
	return condition{GovernsSupport, (s.SafeLoadKg - share*p.MassKg) * GravityMS2, 0, pressM2}
}

func (p *Piece) conditions(s *Support, m *moment, g *Guys, out *[maxConditions]condition) []condition {
	if g == nil {
		return p.free(s, m, out)
	}
	return p.guyed(s, m, g, out)
}

// Hold is up to which gust the piece holds with ballast (kg, support by support) and lines (nil for none); 0 where it does
// not stand in calm air either. A piece without supports holds nothing.
func (p *Piece) Hold(ballastKg [MaxSupports]float64, g *Guys) Hold {
	return p.limit(&ballastKg, g).stated()
}

// stated is a limit as it is told: never under 0, and with what follows from it.
func (h Hold) stated() Hold {
	h.GustLimitMS = math.Max(0, h.GustLimitMS)
	h.LowerAtMS, h.WatchAtMS = LowerShare*h.GustLimitMS, WatchShare*h.GustLimitMS
	return h
}

// limit is Hold's limit, or fallen.
func (p *Piece) limit(ballastKg *[MaxSupports]float64, g *Guys) Hold {
	if len(p.Supports) == 0 {
		return Hold{GustLimitMS: fallen, Governs: GovernsSupport, Support: -1}
	}
	h := Hold{GustLimitMS: CeilingMS, Governs: GovernsNone, Support: -1}
	lower := func(limit float64, by Governs, i int) {
		if limit < h.GustLimitMS {
			h.GustLimitMS, h.Governs, h.Support = limit, by, i
		}
	}
	m := p.moment()
	var room [maxConditions]condition
	for i := range p.Supports {
		s := &p.Supports[i]
		list := p.conditions(s, &m, g, &room)
		for k := range list {
			lower(list[k].gust(ballastKg[i]), list[k].governs, i)
		}
		if s.GustLimitMS > 0 {
			lower(s.GustLimitMS, GovernsSupport, i)
		}
	}
	if p.HouseLimitMS > 0 {
		lower(p.HouseLimitMS, GovernsHouseLimit, -1)
	}
	return h
}

// maxCount is the most bags or weights that are ever counted.
const maxCount = 1 << 20

// Bags is the least whole number of bags on each support that holds a gust. ok is false where no number does: a working
// load, a line, an anchor or a limit of its own is passed, or feet have no grip; the bags are then those for the rest.
//
// A stand's bags lie over its legs alike, what is left over at the foot of its mast: see [OverLegs].
func (p *Piece) Bags(gustMS, bagKg float64, g *Guys) (bags [MaxSupports]int, ok bool) {
	ok = len(p.Supports) > 0 && (p.HouseLimitMS <= 0 || gustMS <= p.HouseLimitMS)
	if len(p.Supports) == 0 {
		return bags, ok
	}
	m := p.moment()
	var room [maxConditions]condition
	for i := range p.Supports {
		s := &p.Supports[i]
		list := p.conditions(s, &m, g, &room)
		for k := range list {
			n, holds := list[k].count(gustMS, bagKg)
			bags[i], ok = max(bags[i], n), ok && holds
		}
		ok = ok && !(s.GustLimitMS > 0 && gustMS > s.GustLimitMS)
	}
	return bags, ok
}

// count is the least n for which n·unitKg of ballast holds a gust; ok is false where none does, with 0.
func (c *condition) count(gustMS, unitKg float64) (n int, ok bool) {
	if c.gust(0) >= gustMS {
		return 0, true
	}
	each := c.perKg * unitKg
	if !(each > 0) {
		return 0, false
	}
	need := math.Ceil((c.wind*VelocityPressure(gustMS) - c.dead) / each)
	if !(need < maxCount) {
		return 0, false
	}
	n = max(1, int(need))
	// The square root and back may lose the last digit: what Hold will say decides.
	for c.gust(float64(n)*unitKg) < gustMS {
		n++
	}
	for n > 1 && c.gust(float64(n-1)*unitKg) >= gustMS {
		n--
	}
	return n, true
}

// OverLegs is where a stand's bags go so that their weight is over its mast, as the levers here take it: so many on each
// leg and the rest at the foot of the mast.
func OverLegs(bags, legs int) (each, atMast int) {
	if legs < 1 {
		return 0, bags
	}
	return bags / legs, bags % legs
}
