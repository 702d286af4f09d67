package oracle

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/sizing"
)

// Wind and balance, done over again from the rules in words: every condition is evaluated at a gust as it is written, and
// the gust up to which it holds is found by halving. Nothing is solved for.
const (
	airKgM3    = 1.25    // EN 1991-1-4, 4.5
	gravityMS2 = 9.80665 // standard gravity
	// dragAlong is along the sheet, as a share of the pressure on it: friction 2 × 0.04 (EN 1991-1-4, Table 7.10, from
	// memory), the rest common practice, no source.
	dragAlong = 0.10
	// offMiddle is how far off the middle the force may act, as a share of the side (EN 1991-1-4, 7.4.3 and 7.3).
	offMiddle = 0.25
	// riseShare is by how much of its upright height a sheet on the ground is pushed above its middle; noRiseShare the
	// gap below, in the same measure, from which it is not (ASCE 7).
	riseShare, noRiseShare = 0.05, 0.25
	// mastDrag and mastWidthM are the coefficient and the width of a mast (EN 1991-1-4, 7.9, from memory).
	mastDrag, mastWidthM = 1.2, 0.05
	canopyDeg            = 30   // up to where the canopy's table goes
	mostGustMS           = 60   // no limit is stated above
	machineGustMS        = 12.5 // EN 280, as the trade quotes it
)

// The coefficients of a closed sheet by its tilt from level: pressed down, and lifted with the space underneath free and
// blocked (EN 1991-1-4, Table 7.6 up to 30°, the signboard of 7.4.3 upright).
var (
	tiltsDeg    = []float64{0, 5, 10, 15, 20, 25, 30, 90}
	downBy      = []float64{0.2, 0.4, 0.5, 0.7, 0.8, 1.0, 1.2, 1.8}
	upFreeBy    = []float64{0.5, 0.7, 0.9, 1.1, 1.3, 1.6, 1.8, 1.8}
	upBlockedBy = []float64{1.3, 1.4, 1.4, 1.4, 1.4, 1.4, 1.4, 1.8}
)

// pressedBy and liftedBy are the coefficient at a tilt; of the two that lift the larger is taken at every tilt.
func pressedBy(tiltDeg float64) float64 { return between(downBy, tiltDeg) }

func liftedBy(tiltDeg float64) float64 {
	return math.Max(between(upFreeBy, tiltDeg), between(upBlockedBy, tiltDeg))
}

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

// underFoot is the friction of the ground under whatever rests on it, wet; the sources stand in the documentation.
var underFoot = map[string]float64{
	"grass": 0.20, "soil": 0.20, "sand": 0.20, "concrete": 0.30, "asphalt": 0.30, "snow": 0.10, "water": 0.20, "": 0.20,
}

// mast is one support as the balance sees it.
type mast struct {
	sp        sizing.Support
	spec      *catalog.Support
	bagKg     float64 // of one bag or block
	ownN      float64
	leverM    float64 // to the tipping edge
	armM      float64
	isMachine bool
}

func (m mast) ballastN() float64 { return float64(m.sp.Ballast.Quantity) * m.bagKg * gravityMS2 }

// rigged is one piece as the wind sees it.
type rigged struct {
	piece            sizing.Piece
	found            parts
	sheet            plate // nothing for a lamp
	areaM2           float64
	reliefShare      float64 // of a closed sheet's force
	tiltDeg          float64
	acrossM, slopeM  float64 // outer sides: the level one and the other
	level            vec     // along the level side, level
	middleM, lowM    float64 // heights over the ground
	weightN          float64
	meanHeldM        float64
	masts            []mast
	guys             []guy
	turnedBy         float64 // how much more their pull is for not pointing straight against the wind
	friction, safety float64
	houseLimitMS     float64
}

// rig reads a piece; ok is false where what it is made of or stands on is not to be read, which other rules tell.
func rig(s *Scene, p sizing.Piece, stock *catalog.Snapshot) (r rigged, ok bool) {
	found, _ := partsOf(p, stock)
	if !found.fit(p.Role) || len(p.Supports) == 0 {
		return r, false
	}
	r = rigged{piece: p, found: found, reliefShare: 1, safety: s.Shot.SafetyFactor, weightN: found.massKg * gravityMS2}
	var known bool
	if r.friction, known = underFoot[s.Shot.Site.Ground]; !known {
		return r, false
	}
	for _, sp := range p.Supports {
		m, known := readMast(sp, stock)
		if !known {
			return r, false
		}
		r.masts = append(r.masts, m)
		r.meanHeldM += sp.HeightM / float64(len(p.Supports))
	}
	if found.lamp != nil {
		if p.Lamp == nil {
			return r, false
		}
		side := math.Cbrt(stock.Item(p.Items[0].SKU).PackedM3)
		r.areaM2, r.tiltDeg, r.acrossM, r.slopeM = side*side, 90, side, side
		r.level = s.View.right
		r.middleM, r.lowM = p.Lamp.Position.Z, p.Lamp.Position.Z-side/2
	} else {
		r.readSheet()
	}
	if f := found.frame; f != nil {
		r.houseLimitMS = f.GustLimitMS
		if c := found.fabric; c.Use == catalog.UseNet {
			r.reliefShare = 1 - math.Pow(1-c.Solidity, 1.5)
		}
	}
	if r.guys, ok = readGuys(p, r.masts, stock); ok {
		r.turnedBy = r.turned()
	}
	return r, ok
}

func (r *rigged) readSheet() {
	pl := plateIn(r.piece, r.found)
	r.sheet = pl
	r.areaM2 = 4 * pl.outer1 * pl.outer2
	r.tiltDeg = math.Acos(math.Min(1, math.Abs(pl.normal.z))) * 180 / math.Pi
	r.middleM, r.lowM = pl.centre.z, lowest(pl.outline())
	level, across, along := pl.e1, pl.outer1, pl.outer2
	swap := math.Abs(pl.e2.z) < math.Abs(pl.e1.z)
	if len(r.masts) == 2 && math.Max(math.Abs(pl.e1.z), math.Abs(pl.e2.z)) < levelTolM {
		// Both sides are level: the two supports hold the ends of the one that counts.
		span := hold(r.masts[1].sp).minus(hold(r.masts[0].sp))
		swap = math.Abs(span.dot(pl.e2)) > math.Abs(span.dot(pl.e1))
	}
	if swap {
		level, across, along = pl.e2, along, across
	}
	r.acrossM, r.slopeM = 2*across, 2*along
	r.level = vec{level.x, level.y, 0}.unit()
}

func readMast(sp sizing.Support, stock *catalog.Snapshot) (m mast, ok bool) {
	item := stock.Item(sp.SKU)
	if item == nil {
		return m, false
	}
	spec, ok := item.Spec.(*catalog.Support)
	if !ok {
		return m, false
	}
	m = mast{sp: sp, spec: spec, ownN: item.MassKg * gravityMS2, isMachine: spec.Class == catalog.ClassMachine}
	m.leverM = spec.FootprintM * math.Cos(math.Pi/float64(spec.Legs))
	if sp.Arm != nil {
		from, to := fromGeom(sp.Arm[0]), fromGeom(sp.Arm[1])
		m.armM = math.Hypot(to.x-from.x, to.y-from.y)
	}
	if sp.Ballast.Quantity > 0 {
		bag := stock.Item(sp.Ballast.SKU)
		if bag == nil {
			return m, false
		}
		m.bagKg = bag.MassKg
	}
	return m, true
}

// blow is what a gust does to the whole piece by one row of the table: the force square to the sheet, and its level and
// upright parts.
type blow struct{ square, level, upright, mastPa float64 }

func pressurePa(gustMS float64) float64 { return airKgM3 * gustMS * gustMS / 2 }

func (r *rigged) blown(coefficient func(tiltDeg float64) float64, gustMS float64) blow {
	q, sin, cos := pressurePa(gustMS), math.Sin(r.tiltDeg*math.Pi/180), math.Cos(r.tiltDeg*math.Pi/180)
	c := coefficient(r.tiltDeg)
	onSheet := q * r.areaM2 * r.reliefShare
	return blow{square: c * onSheet, level: (c*sin + dragAlong*cos) * onSheet, upright: c * cos * onSheet, mastPa: q}
}

// offAlongM is how far along the slope the force may act off the middle.
func (r *rigged) offAlongM() float64 {
	fade := 1.0
	if r.tiltDeg > canopyDeg {
		fade = (90 - r.tiltDeg) / (90 - canopyDeg)
	}
	return offMiddle * r.slopeM * fade
}

// aboveM is how far over the point held the force acts.
func (r *rigged) aboveM() float64 {
	tallM := r.slopeM * math.Sin(r.tiltDeg*math.Pi/180)
	rise := 0.0
	if tallM > 0 {
		rise = riseShare * tallM * math.Max(0, 1-math.Max(0, r.lowM)/(noRiseShare*tallM))
	}
	return math.Max(0, r.middleM-r.meanHeldM) + rise
}

// mastN is the wind on a mast.
func (m mast) mastN(b blow) float64 { return mastDrag * mastWidthM * m.sp.HeightM * b.mastPa }

// windShare, deadLeast and deadMost are the shares of one of n supports: of the wind on the whole piece, and of its dead
// weight where that helps and where it does not (four are never level, EN 818-4).
func windShare(n int) float64 { return map[int]float64{1: 1, 2: 0.75, 4: 0.5}[n] }

func deadLeast(n int) float64 { return map[int]float64{1: 1, 2: 1. / 2, 4: 1. / 6}[n] }

func deadMost(n int) float64 { return map[int]float64{1: 1, 2: 1. / 2, 4: 1. / 3}[n] }
