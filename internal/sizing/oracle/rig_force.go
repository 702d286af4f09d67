package oracle

import "math"

// The wind's force on a piece, done over again from the rules in words.
const airKgM3 = 1.25 // EN 1991-1-4, 4.5

// The coefficients of a closed sheet by its tilt from level: pressed down, and lifted with the space underneath free and
// blocked (EN 1991-1-4, Table 7.6 up to 30°, the signboard of 7.4.3 upright).
var (
	tiltsDeg    = []float64{0, 5, 10, 15, 20, 25, 30, 90}
	downBy      = []float64{0.2, 0.4, 0.5, 0.7, 0.8, 1.0, 1.2, 1.8}
	upFreeBy    = []float64{0.5, 0.7, 0.9, 1.1, 1.3, 1.6, 1.8, 1.8}
	upBlockedBy = []float64{1.3, 1.4, 1.4, 1.4, 1.4, 1.4, 1.4, 1.8}
)

// between reads a row of the table at a tilt, by straight lines.
func between(row []float64, tiltDeg float64) float64 {
	for i := 1; i < len(tiltsDeg); i++ {
		if tiltDeg <= tiltsDeg[i] {
			t := (tiltDeg - tiltsDeg[i-1]) / (tiltsDeg[i] - tiltsDeg[i-1])
			return row[i-1]*(1-t) + row[i]*t
		}
	}
	return row[len(row)-1]
}

func pressurePa(gustMS float64) float64 { return airKgM3 * gustMS * gustMS / 2 }

// coefficient is the greatest of the table's rows at a piece's tilt, with the relief that an open net has.
func (r *rigged) coefficient() float64 {
	t := r.tiltDeg
	c := math.Max(between(downBy, t), math.Max(between(upFreeBy, t), between(upBlockedBy, t)))
	if r.solidity > 0 && r.solidity < 1 {
		c *= 1 - math.Pow(1-r.solidity, 1.5)
	}
	return c
}

// sameShare is how near two numbers are the same, as a share.
const sameShare = 1e-6

// alike reports whether two numbers are the same but for rounding.
func alike(a, b float64) bool {
	return math.Abs(a-b) <= sameShare*math.Max(1, math.Max(math.Abs(a), math.Abs(b)))
}

// checkForce holds area, pressure, coefficient and force at the gust asked.
func (r *rigged) checkForce(gustMS float64) []Violation {
	var bad []Violation
	h, role := r.piece.Hold, r.piece.Role
	wrong := func(what string, told, want float64) {
		bad = append(bad, broken(RuleWind, math.Abs(told-want), "%s: %s of %.6f told, %.6f found", role, what, told, want))
	}
	// Corners are promised to a millimetre, so the area is the catalogue's own.
	if area := r.catalogueM2(); !alike(h.AreaM2, area) {
		wrong("an area", h.AreaM2, area)
	}
	if q := pressurePa(gustMS); !alike(h.PressurePa, q) {
		wrong("a pressure", h.PressurePa, q)
	}
	if c := r.coefficient(); !alike(h.Coefficient, c) {
		wrong("a coefficient", h.Coefficient, c)
	}
	if force := h.Coefficient * h.PressurePa * h.AreaM2; !alike(h.ForceN, force) {
		wrong("a force", h.ForceN, force)
	}
	return append(bad, r.checkMoments(gustMS)...)
}

// catalogueM2 is the outer area that the catalogue has.
func (r *rigged) catalogueM2() float64 {
	switch {
	case r.found.frame != nil:
		return r.found.frame.OuterWidthM * r.found.frame.OuterHeightM
	case r.found.board != nil:
		return r.found.board.WidthM * r.found.board.HeightM
	}
	return r.areaM2
}

// dragShare is along a sheet, as a share of the pressure on it (friction 2 × 0.04 by EN 1991-1-4, Table 7.10, from memory, the rest common
// practice, no source).
const dragShare = 0.10

// mastDrag and mastWidthM are the coefficient and the width of a mast (EN 1991-1-4, 7.9, from memory).
const mastDrag, mastWidthM = 1.2, 0.05

// checkMoments holds the bending moment of each mast at the gust asked; machines have none, their makers' tables count. A single mast without
// ropes has nothing else to bear the push of the wind, which acts at least as high as the point held and no higher than the piece. What
// stands on its feet with others is turned over by no more than its weight and all that presses it down by the lever to the tipping edge.
func (r *rigged) checkMoments(gustMS float64) []Violation {
	var bad []Violation
	q := pressurePa(gustMS)
	forceN := r.coefficient() * q * r.areaM2
	pullsN := 0.0
	for _, g := range r.ropes {
		pullsN += g.line.SafePullN
	}
	for i, m := range r.masts {
		lever := m.spec.FootprintM * math.Cos(math.Pi/float64(m.spec.Legs))
		ballastKg := m.ballastKg()
		least, most := 0.0, lever*((m.massKg+ballastKg+r.found.massKg)*gravityMS2+forceN*(1+dragShare)+pullsN)
		if len(r.masts) == 1 && len(r.ropes) == 0 {
			h, half := m.sp.HeightM, math.Hypot(r.sheet.outer1, r.sheet.outer2)
			arm := hold(m.sp).far(vec{m.sp.Base.X, m.sp.Base.Y, h})
			least = forceN * math.Sin(r.tiltDeg*math.Pi/180) * h
			// With an arm, weight may turn it the other way.
			least = math.Max(0, least-arm*(r.safety*r.found.massKg*gravityMS2+forceN))
			most = forceN*(1+dragShare)*math.Hypot(h+half, arm+half) + mastDrag*mastWidthM*h*q*h/2 + arm*r.safety*r.found.massKg*gravityMS2
		}
		if m.isMachine {
			least, most = 0, 0
		}
		if told := m.sp.MastNM; !(told >= least*(1-sameShare) && told <= most*(1+sameShare)) {
			bad = append(bad, broken(RuleWind, math.Max(told-most, least-told), "%s, support %d: a moment of %.4f Nm told, it can be %.4f to %.4f",
				r.piece.Role, i+1, told, least, most))
		}
	}
	return bad
}
