package anchorage

import (
	"cmp"
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/price"
	"kitspan/internal/rigging"
	"kitspan/internal/shot"
)

// Planner is what a house has to hold pieces in the wind with, and that wind, as a gust in m/s, and ground.
type Planner struct {
	GustMS, safety float64
	ground         rigging.Ground
	// leastKg lies on every stand whatever the gust, highKg on one with an arm or over highM high.
	leastKg, highKg float64
	// ballast lies on bases or at ropes, weights at ropes alone, stakes go into the ground; each list is best first.
	ballast, ropes, stakes, weights []fixing
	points                          []point
	minuteMinor                     float64 // what a minute of one hand costs
	stock                           *catalog.Snapshot
	// mayStake is set where ballast is asked for, and the house has stakes that the ground would take.
	mayStake bool
}

// fixing is one kind of ballast, rope or anchor, and what one costs per day in minor units of the currency.
type fixing struct {
	item  *catalog.Item
	minor int64
	pullN float64 // safe pull of a rope or a stake; 0 for a weight
	longM float64 // of a rope
}

// point is a fixed point that the user names, in the world's axes.
type point struct {
	label string
	at    geom.Vec
	pullN float64
}

const (
	// highM is the height of the point held from which a stand counts as high (common practice, no source).
	highM = 3
	// LeastGustMS is the gust that everything outdoors stands, however calm the day is meant to be (common practice, no source).
	LeastGustMS = 3
)

// NewPlanner sorts what a house offers to hold pieces with, for a shot's wind and ground. Ballast and weights that no team may
// carry are left out.
func NewPlanner(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk) *Planner {
	t := &Planner{
		GustMS: s.GustMS, safety: s.SafetyFactor, ground: rigging.GroundOf(s.Site.Ground), stock: stock,
		leastKg: s.Allowance.BallastKg, highKg: s.Allowance.BallastHighKg,
	}
	for _, a := range s.Site.Anchors {
		t.points = append(t.points, point{a.Label, a.Position, a.SafePullN})
	}
	staked := s.GroundAnchor == shot.AnchorStakes && t.ground.Stakes
	wage := math.Inf(1)
	for _, o := range prices.Offers() {
		if w, ok := o.Item.Spec.(*catalog.Labour); ok && w.Role == catalog.RoleHand && w.HoursPerDay > 0 {
			wage = math.Min(wage, float64(o.Minor)/w.HoursPerDay/60)
		}
		one := fixing{item: o.Item, minor: o.Minor}
		switch spec := o.Item.Spec.(type) {
		case *catalog.Ballast:
			if rigging.HandCarried(o.Item.MassKg) {
				t.ballast = append(t.ballast, one)
			}
		case *catalog.Line:
			one.pullN, one.longM = spec.SafePullN, spec.LengthM
			t.ropes = append(t.ropes, one)
		case *catalog.Anchor:
			switch one.pullN = spec.SafePullN; {
			case spec.Form == catalog.FormStake && staked:
				t.stakes = append(t.stakes, one)
			case spec.Form == catalog.FormStake:
				t.mayStake = t.mayStake || t.ground.Stakes
			case rigging.HandCarried(o.Item.MassKg):
				t.weights = append(t.weights, one)
			}
		}
	}
	if !math.IsInf(wage, 1) {
		t.minuteMinor = wage
	}
	// One kind for a whole piece: the cheapest by the kilogram, the heavier of equals.
	perKg := func(f *fixing) float64 { return float64(f.minor) / f.item.MassKg }
	byKg := func(a, b fixing) int {
		return cmp.Or(cmp.Compare(perKg(&a), perKg(&b)), cmp.Compare(b.item.MassKg, a.item.MassKg), cmp.Compare(a.item.SKU, b.item.SKU))
	}
	byPrice := func(a, b fixing) int {
		return cmp.Or(cmp.Compare(a.minor, b.minor), cmp.Compare(b.pullN, a.pullN), cmp.Compare(a.item.SKU, b.item.SKU))
	}
	slices.SortFunc(t.ballast, byKg)
	slices.SortFunc(t.weights, byKg)
	slices.SortFunc(t.ropes, byPrice)
	slices.SortFunc(t.stakes, byPrice)
	return t
}

// MayStake reports whether ropes might be tied to stakes if the shot asked for them.
func (t *Planner) MayStake() bool { return t.mayStake }

const (
	// minutesPerKg is what a kilogram of ballast takes of one hand in all, from the shelf to the stand and back (common practice, no source).
	minutesPerKg = 0.35
	// minutesPerRope is what a rope takes to run, tie, flag, and take down (common practice, no source).
	minutesPerRope = 8
)

// effortMinor returns what the hands cost that lay ballast and tie ropes.
func (t *Planner) effortMinor(ballastKg float64, ropes int) int64 {
	return int64(math.Round(t.minuteMinor * (minutesPerKg*ballastKg + minutesPerRope*float64(ropes))))
}

// Owned returns how many the house owns of an item.
func (t *Planner) Owned(sku string) int { return t.stock.Item(sku).Owned }

// floorKg returns the ballast that lies on each stand of a piece whatever the gust; machines need none.
func (t *Planner) floorKg(p *Piece) []float64 {
	out := make([]float64, len(p.Masts))
	for i := range p.Masts {
		m := &p.Masts[i]
		switch {
		case m.Support.Spec.Class == catalog.ClassMachine:
		case m.Support.Spec.ArmReachM > 0 || m.Held.Z > highM:
			out[i] = t.highKg
		default:
			out[i] = t.leastKg
		}
	}
	return out
}
