package rigging

import (
	"math"

	"kitspan/internal/geom"
)

// Panel is a flat rectangle in the wind. The zero Solidity is that of closed cloth.
type Panel struct {
	// WidthM is the outer side that lies level, HeightM the other, along the slope.
	WidthM, HeightM float64
	// TiltDeg is from level: 0 lies flat, 90 stands upright; beyond 90 counts as leaning the other way.
	TiltDeg float64
	// MiddleM and LowestM are the heights of the middle and of the lowest edge above the ground.
	MiddleM, LowestM float64
	// Solidity is the closed share of an open net, under 1. Woven cloth is 1 however fine the light comes through it: a
	// fine screen can draw more than a plate, so that nothing is taken off.
	Solidity float64
}

// PanelOf returns a rectangle in the wind, by its outer edge and its solidity from 0 to 1.
func PanelOf(outer *geom.Rect, solidity float64) Panel {
	level, slope, sloping := outer.HalfU, outer.HalfV, outer.V
	if math.Abs(outer.V.Z) < math.Abs(outer.U.Z) {
		level, slope, sloping = slope, level, outer.U
	}
	rise := slope * math.Abs(sloping.Z)
	return Panel{
		WidthM: 2 * level, HeightM: 2 * slope, TiltDeg: math.Asin(math.Min(1, math.Abs(sloping.Z))) * 180 / math.Pi,
		MiddleM: outer.Center.Z, LowestM: math.Max(0, outer.Center.Z-rise), Solidity: solidity,
	}
}

// Push is the wind from one side in m², newtons per pascal of velocity pressure; all are magnitudes. Normal is square to
// the panel; Level and Vertical are its parts along and across the ground, the drag along the panel included in Level.
type Push struct{ Normal, Level, Vertical float64 }

// Wind is what the worst wind of any direction does to a panel.
type Wind struct {
	// Down presses on the face that looks up (on either face of an upright panel), Up lifts it.
	Down, Up Push
	// OffWidthM and OffSlopeM are how far off the middle the force may act, to either side, along the level side and
	// along the slope.
	OffWidthM, OffSlopeM float64
	// RaiseM is how far above the middle it acts, because low down the wind is slower.
	RaiseM float64
}

// signboard is c_f of EN 1991-1-4, 7.4.3. Its rule wants the lower edge at least a quarter of the height up, or no more
// width than height; other panels are free-standing walls (7.4.1, Table 7.9). Over a whole panel the zones of that table
// never add up to more than 1.8 with the same eccentricity (a test adds them up), so that 1.8 stands for both.
const signboard = 1.8

// canopy is the overall force coefficient of monopitch canopies, EN 1991-1-4, Table 7.6, at 0°, 5°, … 30°: down at any
// blockage, up with nothing under it and up with the space under it blocked. What stands under a frame changes as people
// move, so that the larger of the last two is taken (between them the standard interpolates).
var canopy = [...]struct{ down, upClear, upBlocked float64 }{
	{0.2, 0.5, 1.3}, {0.4, 0.7, 1.4}, {0.5, 0.9, 1.4}, {0.7, 1.1, 1.4}, {0.8, 1.3, 1.4}, {1.0, 1.6, 1.4}, {1.2, 1.8, 1.4},
}

const (
	canopyStepDeg = 5
	canopyTopDeg  = 30
)

// Coefficients returns the force coefficients of a closed panel square to it, down and up, both positive, by its tilt from
// level: Table 7.6 up to 30°, the signboard upright, and a straight line between them (no standard covers that range; up
// is 1.8 all the way, so that the line matters for down alone).
func Coefficients(tiltDeg float64) (down, up float64) {
	tilt := fromLevel(tiltDeg)
	if tilt >= canopyTopDeg {
		top := &canopy[len(canopy)-1]
		part := (tilt - canopyTopDeg) / (90 - canopyTopDeg)
		return mix(top.down, signboard, part), mix(math.Max(top.upClear, top.upBlocked), signboard, part)
	}
	i := int(tilt / canopyStepDeg)
	a, b, part := &canopy[i], &canopy[i+1], tilt/canopyStepDeg-float64(i)
	return mix(a.down, b.down, part), math.Max(mix(a.upClear, b.upClear, part), mix(a.upBlocked, b.upBlocked, part))
}

func mix(a, b, part float64) float64 { return a + (b-a)*part }

// fromLevel folds a tilt into 0 to 90; what is no number counts as upright.
func fromLevel(deg float64) float64 {
	deg = math.Mod(math.Abs(deg), 180)
	switch {
	case deg <= 90:
		return deg
	case deg < 180:
		return 180 - deg
	}
	return 90
}

// Relief returns the share of a closed panel's force that an open net of a solidity takes, 1 − (1 − ε)^1.5 (ASCE 7, solid signs
// with openings). ASCE allows it down to ε 0.7 and has lattices below; there the formula gives more than the lattice's
// coefficient of at most 2.0 on the closed part (a test compares), so that it is kept. 1 for woven cloth and for anything that is
// no share.
func Relief(solidity float64) float64 {
	if !(solidity > 0 && solidity < 1) {
		return 1
	}
	open := 1 - solidity
	return 1 - open*math.Sqrt(open)
}

const (
	// alongPanel is the drag along a panel over its area: friction on two sides at 0.04 each (EN 1991-1-4, Table 7.10,
	// ripples and folds, from memory) and 0.02 for its tubes (common practice, no source).
	alongPanel = 0.10
	// offCentre is how far off the middle the force may act, as a share of the side: a quarter (EN 1991-1-4, 7.4.3 for
	// signboards; 7.3 (6) for monopitch canopies, a quarter from the windward edge, from memory).
	offCentre = 0.25
	// raiseNear is how much of its height above its middle the force on a board that stands on the ground acts, none where
	// the gap below is raiseGap of the height or more (ASCE 7, note to its figure for solid signs, for the first; the way
	// down is a straight line, no source).
	raiseNear = 0.05
	raiseGap  = 0.25
)

// AreaM2 returns the outer area.
func (p *Panel) AreaM2() float64 { return p.WidthM * p.HeightM }

// Wind returns the worst wind on the panel. The eccentricities along width and slope are both reported; a
// [Structure] takes one at a time, as either standard does.
func (p *Panel) Wind() Wind {
	tilt := fromLevel(p.TiltDeg)
	sin, cos := math.Sincos(tilt * math.Pi / 180)
	if tilt == 90 {
		cos = 0
	}
	down, up := Coefficients(tilt)
	area := p.AreaM2() * Relief(p.Solidity)
	push := func(c float64) Push {
		return Push{c * area, (c*sin + alongPanel*cos) * area, c * cos * area}
	}
	w := Wind{Down: push(down), Up: push(up), OffWidthM: offCentre * p.WidthM, OffSlopeM: offCentre * p.HeightM}
	if tilt > canopyTopDeg {
		// Upright the standard has no eccentricity up and down; the way there is a straight line (no source: a plate in a
		// stream has its centre of pressure nearer the middle than this at every tilt).
		w.OffSlopeM *= (90 - tilt) / (90 - canopyTopDeg)
	}
	if tall := p.HeightM * sin; tall > 0 {
		w.RaiseM = raiseNear * tall * math.Min(1, math.Max(0, 1-p.LowestM/(raiseGap*tall)))
	}
	return w
}

// ForceN returns the larger force square to the panel at a gust, in newtons.
func (p *Panel) ForceN(gustMS float64) float64 {
	w := p.Wind()
	return VelocityPressure(gustMS) * math.Max(w.Down.Normal, w.Up.Normal)
}

// At returns the push in newtons at a gust.
func (u Push) At(gustMS float64) Push {
	q := VelocityPressure(gustMS)
	return Push{u.Normal * q, u.Level * q, u.Vertical * q}
}
