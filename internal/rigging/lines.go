package rigging

import "math"

// Guys are the guy lines of a piece: from the head of each support down to stakes or dead weights. Every line is computed
// as if it alone answered the pull at its support.
//
// A lower head is a shorter lever against a force off the middle (up to 30° of tilt, on one or two supports), so that there a
// lower piece may need a little more of its lines; a piece without lines never does.
type Guys struct {
	// AngleDeg is between line and ground, 0 for the default.
	AngleDeg float64
	// Factor is how much more than the level pull a line has to give, level, because it does not point straight against
	// it: see [FactorAlong] and [FactorAround]. 0 stands for lines up to 45° off.
	Factor float64
	// LineSafePullN is the working load of the line.
	LineSafePullN float64
	// StakeSafePullN is the working pull of the stake, one to a line; 0 where the line goes to Weights dead weights of
	// WeightKg each, which hold by friction against what the pull leaves of their weight.
	StakeSafePullN float64
	WeightKg       float64
	Weights        int
	// MaxWeights is how many a line may have, 0 for the default.
	MaxWeights int
}

func (g *Guys) angle() float64 {
	if g.AngleDeg <= 0 || g.AngleDeg >= 90 {
		return DefaultLineDeg
	}
	return g.AngleDeg
}

func (g *Guys) factor() float64 {
	if g.Factor == 0 {
		return math.Sqrt2
	}
	return math.Max(1, g.Factor)
}

// pulls are what the wind asks of the line of a support, pressing the piece down and lifting it, in m²: tension, and (lifting,
// when it is the larger) the level part that couples ask of the head of the mast and, the other way, of its foot.
type pulls struct{ down, up, kickUp float64 }

// pulls turns wind on the mast, an arm and a force off the middle into a pull at the head and its counterpart at the foot.
func (p *Piece) pulls(i int, m *moment) pulls {
	s := &p.Supports[i]
	share, height := m.share.wind, max(s.HeightM, leastHeadM)
	mast := mastDrag * mastM * s.HeightM
	kick := func(u *Push) float64 {
		return (share*(u.Level*m.aboveM+u.Normal*m.offM+u.Vertical*(m.asideM+s.ArmM)) + mast*s.HeightM/2) / height
	}
	down, up := &m.wind.Down, &m.wind.Up
	kickUp := kick(up)
	return pulls{m.perPull * (m.share.line*down.Level + kick(down)), m.perPull * (m.share.line*up.Level + kickUp), kickUp}
}

// leastHeadM keeps couples finite where a piece is held at the ground.
const leastHeadM = 0.2

// guyed writes the conditions of a support with lines from its head. The lines hold the level force and all that would tip
// the mast, the base gets no credit for that; the base holds what lifts, less what the same pull of the line presses down,
// and keeps the foot of the mast from kicking out.
func (p *Piece) guyed(i int, m *moment, g *Guys, out *[maxConditions]condition) []condition {
	s, sin, cos := &p.Supports[i], m.lineSin, m.lineCos
	stand := (s.MassKg + p.MassKg*m.share.least) * GravityMS2
	gamma, share := m.gamma, m.share.wind
	line := p.pulls(i, m)
	pull := max(line.down, line.up)

	// The line that answers a lifted panel's level push presses its own support down. Counted is no more than the plain
	// share of that push, and nothing at supports whose lines are slack.
	up := &m.wind.Up
	lift := max(m.share.slack*up.Vertical, share*max(0, up.Vertical-up.square()*sin/cos))

	anchor := condition{GovernsAnchor, g.StakeSafePullN, 0, gamma * pull}
	if g.StakeSafePullN <= 0 {
		anchor = p.weight(g, m, pull)
		anchor.dead, anchor.perKg = anchor.perKg*float64(g.Weights), 0
	}
	return append(out[:0],
		condition{GovernsOverturning, p.standing(i, m), GravityMS2 * m.levers[i], 0}, // before any line is made fast
		condition{GovernsLine, g.LineSafePullN, 0, gamma * pull},
		anchor,
		p.grip(stand, gamma*line.kickUp, gamma*lift),
		p.carried(s, m, max(share*m.wind.Down.Vertical+line.down*sin, line.up*sin)),
	)
}

// weight is the condition of a line's dead weights, counted by the weight: γ·T·cos α ≤ μ·(W − γ·T·sin α).
func (p *Piece) weight(g *Guys, m *moment, pull float64) condition {
	return condition{GovernsAnchor, 0, p.Friction * g.WeightKg * GravityMS2, m.gamma * pull * (m.lineCos + p.Friction*m.lineSin)}
}

// PullN returns the largest tension in a line of a support at a gust, without the safety factor.
func (p *Piece) PullN(gustMS float64, support int, g *Guys) float64 {
	m := p.moment(g)
	line := p.pulls(support, &m)
	return VelocityPressure(gustMS) * max(line.down, line.up)
}

// WeightsFor returns the least number of dead weights at the foot of each line that holds a gust; ok is false where none does.
func (p *Piece) WeightsFor(gustMS float64, g *Guys) (n int, ok bool) {
	m := p.moment(g)
	return p.weightsFor(gustMS, &m, g)
}

func (p *Piece) weightsFor(gustMS float64, m *moment, g *Guys) (n int, ok bool) {
	ok = true
	for _, a := range asksOf(factorOf(p.SafetyFactor)) {
		at := m.with(a.factor)
		for i := range p.Supports {
			line := p.pulls(i, &at)
			c := p.weight(g, &at, max(line.down, line.up))
			k, holds := c.count(gustMS, 1, a)
			n, ok = max(n, k), ok && holds
		}
	}
	return n, ok
}

// FactorAlong returns the factor of [Guys] for a piece on two or four supports, which its frame ties together: pullsDeg are the
// azimuths in which something has to hold it (for a tilted panel straight against its two pushes), linesDeg those of the
// lines, from head to anchor, that there are on the side of each pull. The best line for each pull is taken alone; +Inf where
// none is near enough.
//
// It asks for an order that balances the piece in plan with its bases helping not at all (a test goes through the statics):
// on two supports lines fore and aft at each, those of one the mirror image of the other's, fanned outward by up to
// [MaxOffDeg]; on four corners two lines at each, one outward over the side and one outward over the end, each up to
// [MaxOffCornerDeg] off. A single line outward over each corner holds against pushing and not against turning.
func FactorAlong(supports int, pullsDeg, linesDeg []float64) float64 {
	most := MaxOffDeg
	if supports > 2 {
		most = MaxOffCornerDeg
	}
	worst := 1.0
	for _, pull := range pullsDeg {
		best := 0.0
		for _, line := range linesDeg {
			best = math.Max(best, math.Cos((line-pull)*math.Pi/180))
		}
		if best < math.Cos(float64(most)*math.Pi/180)-1e-9 {
			return math.Inf(1)
		}
		worst = math.Max(worst, 1/best)
	}
	return worst
}

// FactorAround returns the factor of [Guys] for a support that stands alone and is pulled any way, by its lines on both sides of
// the pull: 1 where no gap between neighbours is over 90°, 1/sin of the largest gap to under 180°, else +Inf: 2/√3 for
// three lines evenly around, 1 for four.
func FactorAround(linesDeg []float64) float64 {
	widest := 0.0
	for i, from := range linesDeg {
		gap := 360.0
		for k, to := range linesDeg {
			if d := math.Mod(math.Mod(to-from, 360)+360, 360); i != k && d > 0 {
				gap = math.Min(gap, d)
			}
		}
		widest = math.Max(widest, gap)
	}
	switch {
	case len(linesDeg) == 0 || widest >= 180-1e-9:
		return math.Inf(1)
	case widest <= 90:
		return 1
	}
	return 1 / math.Sin(widest*math.Pi/180)
}

// LineLengthM returns the length of a line from head to ground, without knots. GroundRadiusM is how far from below the head it meets the ground: the
// circle to keep clear of people, the zone and the view.
func LineLengthM(heightM, angleDeg float64) float64 { return heightM / math.Sin(angleDeg*math.Pi/180) }

// GroundRadiusM is described at [LineLengthM].
func GroundRadiusM(heightM, angleDeg float64) float64 {
	return heightM / math.Tan(angleDeg*math.Pi/180)
}
