package rigging

import "math"

// Lift is one task of the revised NIOSH lifting equation: lengths in centimetres, the angle of the twist in degrees, and
// the multipliers for frequency and grip from its tables.
type Lift struct {
	HorizontalCm, VerticalCm, DistanceCm, TwistDeg float64
	Frequency, Coupling                            float64
}

// ReferenceKg is the NIOSH load constant, the reference mass of ISO 11228-1 for a general working population: about 99 %
// of men and 90 % of women (percentages from memory).
const ReferenceKg = 23

// LimitKg returns the recommended weight limit, 23 kg·HM·VM·DM·AM·FM·CM with HM = 25/H, VM = 1 − 0.003·|V − 75|,
// DM = 0.82 + 4.5/D, AM = 1 − 0.0032·A, the first and third at most 1 (the equation as CCOHS prints it). Beyond the
// equation's range (H over 63, V over 175, D over 175, A over 135; from memory) nothing may be lifted: 0.
func (l Lift) LimitKg() float64 {
	if l.HorizontalCm > 63 || l.VerticalCm < 0 || l.VerticalCm > 175 || l.DistanceCm > 175 || l.TwistDeg > 135 {
		return 0
	}
	h := math.Min(1, 25/math.Max(l.HorizontalCm, 25))
	v := 1 - 0.003*math.Abs(l.VerticalCm-75)
	d := math.Min(1, 0.82+4.5/math.Max(l.DistanceCm, 25))
	return ReferenceKg * h * v * d * (1 - 0.0032*l.TwistDeg) * l.Frequency * l.Coupling
}

// TeamKg returns what a team lifts where each alone lifts eachKg: two thirds of the sum for two, half of it from three on (HSE
// L23, as quoted by Network Rail among others). More than four are unlikely to work well by the same source.
func TeamKg(people int, eachKg float64) float64 {
	sum := float64(people) * eachKg
	switch {
	case people <= 1:
		return math.Max(0, sum)
	case people == 2:
		return sum * 2 / 3
	}
	return sum / 2
}

// MaxTeam is the largest team that is likely to work (HSE L23).
const MaxTeam = 4

// HandCarried reports whether a team may carry one bag or block of ballast by hand: whether it weighs no more than [TeamKg] allows
// the [carriers] who find room around it, 34.5 kg. What is heavier goes by trolley or machine. A block of 50 kg is one of those by any
// reading of the rule: with 25 kg each, two lift 33.3 and three 37.5 kg.
func HandCarried(massKg float64) bool { return massKg <= TeamKg(carriers, ReferenceKg) }

// CarryHands returns how many carry one bag or block of ballast, by [TeamKg] of [ReferenceKg] each: one up to 23 kg, two up to 30.7, three up
// to 34.5. Two walk a trolley with what is heavier (common practice, no source).
func CarryHands(massKg float64) int {
	for n := 1; n <= carriers; n++ {
		if massKg <= TeamKg(n, ReferenceKg) {
			return n
		}
	}
	return trolleyHands
}

// Lifters returns how many lift a mass together to a height, by [TeamKg] of what one lifts to the destination: close to the body,
// from knuckle height, grip fair (multiplier 1 from 75 cm up), seldom. Heights under 1.4 m count as that: a frame is hung
// on stands no lower. Over 1.75 m the equation ends and the figure is for 1.75 m; higher is done in steps by the stands.
func Lifters(massKg, toM float64) int {
	to := 100 * math.Min(1.75, math.Max(liftLeastM, toM))
	each := Lift{HorizontalCm: 25, VerticalCm: to, DistanceCm: to - 100*liftFromM, Frequency: 1, Coupling: 1}.LimitKg()
	n := 1
	for n < maxCount && TeamKg(n, each) < massKg {
		n++
	}
	return n
}

// HandPullN returns what one hand holds of the wind on a piece held by hand, 68.6 N (7 kgf, HSE, to keep a load moving).
func HandPullN() float64 { return holdPullN }

// HandHeld returns what so many hands, one of each person, bear of the wind on a panel that stands on nothing, with a safety factor (under 1
// counts as 1, 0 as the default); nobody holds it in more than [HandGustMS].
func HandHeld(panel *Panel, hands int, safetyFactor float64) Hold {
	w := panel.Wind()
	goesPa := holdPullN * float64(hands) / math.Max(w.Down.Normal, w.Up.Normal)
	by := GovernsSupport
	if !(goesPa < VelocityPressure(CeilingMS)) {
		goesPa, by = VelocityPressure(CeilingMS)*factorOf(safetyFactor), GovernsNone
	}
	return holdOf(GustOfPressure(goesPa/factorOf(safetyFactor)), GustOfPressure(goesPa), by, -1, setLimit{HandGustMS, GovernsSupport, -1})
}
