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
	// OwnLimitMS is the gust at which the support is to be down whatever it carries, 0 for none.
	OwnLimitMS float64
}

// LeverM returns the level distance from the mast to the nearest tipping edge, 0 for fewer than three legs.
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

// Hold returns what the piece bears with ballast (kg, support by support) and lines (nil for none). A piece without supports holds
// nothing.
func (p *Piece) Hold(ballastKg [MaxSupports]float64, g *Guys) Hold {
	m := p.moment(g)
	return p.hold(&ballastKg, &m, g)
}

func (p *Piece) hold(ballastKg *[MaxSupports]float64, m *moment, g *Guys) Hold {
	if len(p.Supports) == 0 {
		return holdOf(fallen, fallen, GovernsSupport, -1, setLimit{})
	}
	factored, plain := m.with(factorOf(p.SafetyFactor)), m.with(1)
	safe, _, _ := p.limit(ballastKg, &factored, g)
	goes, by, support := p.limit(ballastKg, &plain, g)
	return holdOf(safe, goes, by, support, p.set())
}

// limit is the gust up to which everything holds with the factor in m, or fallen, and what gives way there.
func (p *Piece) limit(ballastKg *[MaxSupports]float64, m *moment, g *Guys) (gustMS float64, by Governs, support int) {
	by, support = GovernsNone, -1
	least := VelocityPressure(CeilingMS)
	var room [maxConditions]condition
	for i := range p.Supports {
		list := p.conditions(i, m, g, &room)
		for k := range list {
			if q := list[k].pressure(ballastKg[i]); q < least {
				least, by, support = q, list[k].governs, i
			}
		}
	}
	if least < 0 {
		return fallen, by, support
	}
	return GustOfPressure(least), by, support
}

// set is the least of the limits that are set for the piece.
func (p *Piece) set() setLimit {
	least := setLimit{p.HouseLimitMS, GovernsHouseLimit, -1}
	for i := range p.Supports {
		if own := p.Supports[i].OwnLimitMS; own > 0 && !(least.gustMS > 0 && least.gustMS <= own) {
			least = setLimit{own, GovernsSupport, i}
		}
	}
	return least
}

// Bags returns the least whole number of bags on each support that holds a gust. ok is false where no number does: a working
// load, a line, an anchor or a limit of its own is passed, or feet have no grip; the bags are then those for the rest.
//
// A stand's bags lie over its legs alike, what is left over at the foot of its mast: see [OverLegs].
func (p *Piece) Bags(gustMS, bagKg float64, g *Guys) (bags [MaxSupports]int, ok bool) {
	m := p.moment(g)
	return p.bags(gustMS, bagKg, &m, g)
}

func (p *Piece) bags(gustMS, bagKg float64, m *moment, g *Guys) (bags [MaxSupports]int, ok bool) {
	set := p.set()
	ok = len(p.Supports) > 0 && !(set.gustMS > 0 && gustMS > set.gustMS)
	var room [maxConditions]condition
	for _, a := range asksOf(factorOf(p.SafetyFactor)) {
		at := m.with(a.factor)
		for i := range p.Supports {
			list := p.conditions(i, &at, g, &room)
			for k := range list {
				n, holds := list[k].count(gustMS, bagKg, a)
				bags[i], ok = max(bags[i], n), ok && holds
			}
		}
	}
	return bags, ok
}

// OverLegs returns where a stand's bags go so that their weight is over its mast, as the levers here take it: so many on each
// leg and the rest at the foot of the mast.
func OverLegs(bags, legs int) (each, atMast int) {
	if legs < 1 {
		return 0, bags
	}
	return bags / legs, bags % legs
}
