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

// Hold returns up to which gust the piece holds with ballast (kg, support by support) and lines (nil for none); 0 where it does
// not stand in calm air either. A piece without supports holds nothing.
func (p *Piece) Hold(ballastKg [MaxSupports]float64, g *Guys) Hold {
	m := p.moment(g)
	return p.limit(&ballastKg, &m, g).stated()
}

// stated returns a limit as answers state it: never under 0, and with what follows from it.
func (h Hold) stated() Hold {
	h.GustLimitMS = max(0, h.GustLimitMS)
	h.LowerAtMS, h.WatchAtMS = LowerShare*h.GustLimitMS, WatchShare*h.GustLimitMS
	return h
}

// limit is Hold's limit, or fallen.
func (p *Piece) limit(ballastKg *[MaxSupports]float64, m *moment, g *Guys) Hold {
	if len(p.Supports) == 0 {
		return Hold{GustLimitMS: fallen, Governs: GovernsSupport, Support: -1}
	}
	h := Hold{Governs: GovernsNone, Support: -1}
	least := VelocityPressure(CeilingMS)
	var room [maxConditions]condition
	for i := range p.Supports {
		list := p.conditions(i, m, g, &room)
		for k := range list {
			if q := list[k].pressure(ballastKg[i]); q < least {
				least, h.Governs, h.Support = q, list[k].governs, i
			}
		}
	}
	h.GustLimitMS = fallen
	if least >= 0 {
		h.GustLimitMS = math.Min(CeilingMS, GustOfPressure(least))
	}
	for i := range p.Supports {
		if own := p.Supports[i].GustLimitMS; own > 0 && own < h.GustLimitMS {
			h.GustLimitMS, h.Governs, h.Support = own, GovernsSupport, i
		}
	}
	if p.HouseLimitMS > 0 && p.HouseLimitMS < h.GustLimitMS {
		h.GustLimitMS, h.Governs, h.Support = p.HouseLimitMS, GovernsHouseLimit, -1
	}
	return h
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
	ok = len(p.Supports) > 0 && (p.HouseLimitMS <= 0 || gustMS <= p.HouseLimitMS)
	var room [maxConditions]condition
	for i := range p.Supports {
		s := &p.Supports[i]
		list := p.conditions(i, m, g, &room)
		for k := range list {
			n, holds := list[k].count(gustMS, bagKg)
			bags[i], ok = max(bags[i], n), ok && holds
		}
		ok = ok && !(s.GustLimitMS > 0 && gustMS > s.GustLimitMS)
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
