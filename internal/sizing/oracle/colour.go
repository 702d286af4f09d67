package oracle

import (
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

const (
	// tintMired is the least shift that counts as a colour: an eighth of the −130.682 mired by which tungsten light of 3200 K is turned into
	// daylight of 5500 K.
	tintMired = 130.682 / 8
	// shiftTolShare and shiftTolMired are what a shift may be off by: the ways by which light comes count by what they bring, which may be off
	// by a few hundredths; and rounding.
	shiftTolShare = 0.04
	shiftTolMired = 0.2
)

// shiftTol is how far the shift of the key may be off the estimate, in mired.
func (l *lights) shiftTol() float64 {
	tol := shiftTolShare*math.Abs(l.key.mired) + levelErrors*l.key.miredErr + shiftTolMired
	if l.unevenly() {
		tol += unevenShare * math.Abs(l.key.mired)
	}
	return tol
}

// checkColour holds the shift told of the key to what rays find that add up what each cloth and face on their way shifts them by; and
// where the key is to be neutral, nothing that lights it tints what it throws.
func (l *lights) checkColour() []Violation {
	var bad []Violation
	told := 0.0
	if shift := l.o.Levels.KeyShiftMired; shift != nil {
		told = *shift
	}
	if off := math.Abs(told - l.key.mired); l.key.lx > levelTolLx && !(off <= l.shiftTol()) {
		bad = append(bad, broken(RuleColour, off, "%s: the key is told %.2f mired warmer than the sun, by rays %.2f ± %.2f", l.o.Label, told, l.key.mired, l.key.miredErr))
	}
	if l.s.Shot.Look.Colour == shot.ColourWarm {
		return bad
	}
	for i := range l.o.Pieces {
		if p := &l.o.Pieces[i]; p.Role == finding.RoleReflector && math.Abs(l.faceShift(p)) >= tintMired {
			bad = append(bad, broken(RuleColour, 1, "%s: %s of %s tints a key that is to be neutral", l.o.Label, p.Face, p.Items[0].SKU))
		}
	}
	return bad
}

// faceShift is by how many mired the working face of a board or a framed cloth shifts what it gives back.
func (l *lights) faceShift(p *sizing.Piece) float64 {
	found, _ := partsOf(*p, l.stock)
	switch {
	case found.board != nil && p.Face == found.board.FaceA:
		return found.board.ColourShiftAMired
	case found.board != nil:
		return found.board.ColourShiftBMired
	case found.fabric != nil:
		return found.fabric.ColourShiftMired
	}
	return 0
}

// notWarm holds the key to the warmth asked.
func (l *lights) notWarm() miss {
	m := miss{what: finding.Colour, told: has[finding.ColourMissed](&l.o)}
	switch tol := l.shiftTol(); {
	case l.key.mired < tintMired-tol:
		m.by = tintMired - l.key.mired
	case l.key.mired > tintMired+tol:
		m.by = -1
	}
	return m
}
