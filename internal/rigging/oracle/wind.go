package oracle

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/rigging"
)

const (
	airKgM3    = 1.25    // EN 1991-1-4, 4.5
	gravityMS2 = 9.80665 // standard gravity
	// dragAlong is along a sheet, as a share of the pressure on it: friction 2 × 0.04 (EN 1991-1-4, Table 7.10, from memory), the rest
	// common practice, no source.
	dragAlong = 0.10
	// offMiddle is how far off the middle the force may act, as a share of the side (EN 1991-1-4, 7.4.3 and 7.3).
	offMiddle = 0.25
	// riseShare is by how much of its upright height a sheet on the ground is pushed above its middle; noRiseShare the gap below, in the
	// same measure, from which it is not (ASCE 7).
	riseShare, noRiseShare = 0.05, 0.25
	// mastDrag and mastWidthM are the coefficient and the width of a mast (EN 1991-1-4, 7.9, from memory).
	mastDrag, mastWidthM = 1.2, 0.05
	uprightBy            = 1.8 // EN 1991-1-4, 7.4.3
	canopyDeg            = 30  // up to where the canopy's table goes
	mostGustMS           = 60  // no limit is stated above
	directions           = 12  // of the wind, and of the slope
	slopeDeg             = 10  // IEC 62368-1, quoted
)

// The coefficients of a closed sheet by its tilt from level: pressed down, and lifted with the space underneath free and blocked
// (EN 1991-1-4, Table 7.6 up to 30°, the signboard of 7.4.3 upright).
var (
	tiltsDeg    = []float64{0, 5, 10, 15, 20, 25, 30, 90}
	downBy      = []float64{0.2, 0.4, 0.5, 0.7, 0.8, 1.0, 1.2, uprightBy}
	upFreeBy    = []float64{0.5, 0.7, 0.9, 1.1, 1.3, 1.6, 1.8, uprightBy}
	upBlockedBy = []float64{1.3, 1.4, 1.4, 1.4, 1.4, 1.4, 1.4, uprightBy}
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
func gustOf(pressurePa float64) float64 { return math.Sqrt(2 * pressurePa / airKgM3) }

// turned is the level unit vector at an angle from another, against the hands of a clock as seen from above.
func turned(v geom.Vec, deg float64) geom.Vec {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return geom.Vec{X: v.X*cos - v.Y*sin, Y: v.X*sin + v.Y*cos}
}

func level(v geom.Vec) geom.Vec { return geom.Vec{X: v.X, Y: v.Y} }

// sheet is a frame as the wind sees it.
type sheet struct {
	up             geom.Vec // square to it, to the side that looks up
	width, slope   geom.Vec // unit vectors along its sides, the level one first
	widthM, slopeM float64
	tiltDeg        float64
	closedM2       float64
	offSlopeM      float64
	raiseM         float64
	first          geom.Vec // the first direction of the wind
}

func sheetOf(s *rigging.Structure) sheet {
	r := s.Frame
	w := sheet{up: r.U.Cross(r.V), width: r.U, slope: r.V, widthM: 2 * r.HalfU, slopeM: 2 * r.HalfV}
	if w.up.Z < 0 {
		w.up = w.up.Scale(-1)
	}
	if math.Abs(r.V.Z) < math.Abs(r.U.Z) {
		w.width, w.slope, w.widthM, w.slopeM = r.V, r.U, w.slopeM, w.widthM
	}
	w.tiltDeg = math.Acos(math.Min(1, w.up.Z)) * 180 / math.Pi
	if s.Round {
		w.tiltDeg = 90
	}
	w.closedM2 = w.widthM * w.slopeM
	if s.Solidity > 0 && s.Solidity < 1 {
		w.closedM2 *= 1 - math.Pow(1-s.Solidity, 1.5)
	}
	w.offSlopeM = offMiddle * w.slopeM
	if w.tiltDeg > canopyDeg {
		w.offSlopeM *= (90 - w.tiltDeg) / (90 - canopyDeg)
	}
	tallM, lowM := w.slopeM*math.Sin(w.tiltDeg*math.Pi/180), math.Inf(1)
	for _, c := range r.Corners() {
		lowM = math.Min(lowM, c.Z)
	}
	if tallM > 1e-9 {
		w.raiseM = riseShare * tallM * math.Max(0, 1-math.Max(0, lowM)/(noRiseShare*tallM))
	}
	switch flat := level(w.up); {
	case s.Round: // it looks no way
		w.first = geom.Vec{Y: 1}
	case flat.Len() > 1e-9:
		w.first = flat.Unit()
	default:
		w.first = level(r.U).Unit()
	}
	return w
}

// blow is the wind on a structure at a velocity pressure of 1 Pa.
type blow struct {
	push   geom.Vec // on the frame, m²
	pushAt geom.Vec
	drag   geom.Vec // on the frame, along it, m²
	dragAt geom.Vec
	along  geom.Vec // the way the wind blows
}

// blows are all the ways in which the wind is looked at.
func blows(s *rigging.Structure) (list []blow) {
	w := sheetOf(s)
	middle := s.Frame.Center.Add(geom.Vec{Z: w.raiseM})
	for k := range directions {
		along := turned(w.first, 360*float64(k)/directions)
		if s.Round {
			// How far off the middle is said of flat sheets; a box draws less than one, without that.
			list = append(list, blow{push: along.Scale(uprightBy * w.closedM2), pushAt: middle, along: along})
			continue
		}
		drag := along.Sub(w.up.Scale(along.Dot(w.up))).Scale(dragAlong * w.closedM2)
		pressed := w.up.Scale(-between(downBy, w.tiltDeg) * w.closedM2)
		lifted := w.up.Scale(math.Max(between(upFreeBy, w.tiltDeg), between(upBlockedBy, w.tiltDeg)) * w.closedM2)
		for _, push := range []geom.Vec{pressed, lifted} {
			if w.tiltDeg > canopyDeg+1e-9 && along.Dot(push) < -1e-9*push.Len() {
				continue
			}
			across, up := w.width.Scale(offMiddle*w.widthM), w.slope.Scale(w.offSlopeM)
			for _, off := range []geom.Vec{across, across.Scale(-1), up, up.Scale(-1)} {
				list = append(list, blow{push, middle.Add(off), drag, middle, along})
			}
		}
	}
	return list
}
