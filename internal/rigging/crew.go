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

// HandHeld returns what so many hands bear of the wind on a panel that stands on nothing, with a safety factor (under 1 counts as
// 1, 0 as the default).
func HandHeld(panel *Panel, hands int, safetyFactor float64) Hold {
	w := panel.Wind()
	c := condition{dead: holdPullN * float64(hands), wind: math.Max(w.Down.Normal, w.Up.Normal)}
	goesPa := c.pressure(0)
	by := GovernsSupport
	if goesPa >= VelocityPressure(CeilingMS) {
		by = GovernsNone
	}
	return holdOf(GustOfPressure(goesPa/factorOf(safetyFactor)), GustOfPressure(goesPa), by, -1, setLimit{})
}

// Task is what one piece asks of hands.
type Task struct {
	// MassKg is lifted by hand to LiftToM, the least height of what it is hung on; a machine lifts it where Machines is not 0.
	MassKg, LiftToM float64
	AreaM2          float64
	// Supports counts machines too.
	Supports, Machines   int
	Bags, Lines, Weights int
	// ByHand: held or re-aimed by hand all the time.
	ByHand bool
	// Mains: a lamp that is fed from the mains.
	Mains bool
}

// Hands returns how many raise a piece: those that its mass takes, and one at each support to walk it up.
func (t *Task) Hands() int {
	if t.Machines > 0 {
		return max(tagHands, t.Supports-t.Machines)
	}
	return max(Lifters(t.MassKg, t.LiftToM), t.Supports)
}

// Held returns how many stay with it while it stands, in a gust.
func (t *Task) Held(gustMS float64) int {
	n := 0
	if t.ByHand {
		n = 1
	}
	if t.Lines > 0 && gustMS >= HoldGustMS {
		for _, row := range holdHands {
			if t.AreaM2 >= row.areaM2 {
				return row.hands // one that is held by hand as well is held by the same
			}
		}
	}
	return n
}

// Crew is how many people a plan takes, one in charge and the machines' operators among them in every figure but Hold and
// Operators, and how long it takes them.
type Crew struct {
	// Raise is the largest moment while the pieces go up one after another, those that stand held.
	Raise int
	// Hold is those who hold or re-aim a piece all the time, Work everybody there while the camera runs.
	Hold, Work int
	// Electricians look after lamps on the mains.
	Electricians int
	Operators    int
	// Total is the larger of Raise and Work.
	Total int
	// RigMin and StrikeMin are minutes, rounded up to five (common practice, no source).
	RigMin, StrikeMin int
	// LargeTeam means that some piece takes more hands than work well as one team: raise it a side at a time, or by machine.
	LargeTeam bool
}

// PlanCrew counts for pieces in the order in which they go up; they come down in the reverse order. One is in charge and
// lifts nothing. No piece, no crew.
func PlanCrew(tasks []Task, gustMS float64) Crew {
	var c Crew
	if len(tasks) == 0 {
		return c
	}
	mains, machines := 0, 0
	for i := range tasks {
		t := &tasks[i]
		machines += t.Machines
		if t.Mains {
			mains++
		}
		raise := t.Hands()
		c.LargeTeam = c.LargeTeam || t.Machines == 0 && Lifters(t.MassKg, t.LiftToM) > MaxTeam
		c.Raise = max(c.Raise, raise+c.Hold) // Hold is so far that of the pieces that stand
		c.Hold += t.Held(gustMS)
	}
	c.Operators = machines
	c.Electricians = (mains + mainsPerHand - 1) / mainsPerHand
	c.Raise += 1 + c.Operators
	c.Work = 1 + c.Operators + c.Electricians + c.Hold
	c.Total = max(c.Raise, c.Work)
	c.RigMin, c.StrikeMin = minutes(tasks, c.Total-1-c.Operators)
	return c
}

// minutes goes through the pieces one after another; what lies about a piece is done by its hands in pairs.
func minutes(tasks []Task, hands int) (rig, strike int) {
	pairs := math.Max(1, math.Floor(float64(hands)/2))
	sum := minutesArrive
	for i := range tasks {
		t := &tasks[i]
		about := minutesSupport*float64(t.Supports) + minutesBag*float64(t.Bags) + minutesLine*float64(t.Lines) +
			minutesWeight*float64(t.Weights)
		sum += minutesPiece + minutesPerM2*t.AreaM2 + minutesMachine*float64(t.Machines) + about/pairs
		if t.Mains {
			sum += minutesMains
		}
	}
	round := func(m float64) int { return int(math.Ceil(m/minutesRoundedTo-1e-9) * minutesRoundedTo) }
	return round(sum), round(strikeShare * sum)
}

// HandCarried is temporary.
func HandCarried(massKg float64) bool { return massKg <= TeamKg(3, ReferenceKg) }
