//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"slices"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// without is a house without some of its items, and with gold that warms by so many mired.
func without(t *testing.T, goldMired float64, gone func(item *catalog.Item) bool) *catalog.Snapshot {
	t.Helper()
	all := house(t)
	var left []catalog.Item
	for _, item := range all.Items() {
		if gone != nil && gone(&item) {
			continue
		}
		if r, ok := item.Spec.(*catalog.Reflector); ok && r.FaceA == "gold" {
			own := *r
			own.ColourShiftAMired = goldMired
			item.Spec = &own
		}
		left = append(left, item)
	}
	return catalog.NewSnapshot(all.House, left)
}

func hasGold(item *catalog.Item) bool {
	r, ok := item.Spec.(*catalog.Reflector)
	return ok && r.FaceA == "gold"
}

// coloured is the jetty with a key of a colour.
func coloured(colour string) shot.Draft {
	d := jetty()
	d.Look.Colour = &colour
	return d
}

func shiftOf(o sizing.Option) float64 {
	if o.Levels.KeyShiftMired == nil {
		return 0
	}
	return *o.Levels.KeyShiftMired
}

func goldIn(o sizing.Option) bool {
	return slices.ContainsFunc(o.Pieces, func(p sizing.Piece) bool { return p.Face == "gold" })
}

func TestAWarmKeyComesOffGoldAndANeutralOneDoesNot(t *testing.T) {
	warm := option(t, plan(t, coloured(shot.ColourWarm)), sizing.LabelOverhead)
	if keys := withRole(warm, finding.RoleReflector); !warm.Serves() || len(keys) == 0 || keys[0].Face != "gold" {
		t.Errorf("warm: serves %v, %d reflectors, gold %v", warm.Serves(), len(keys), goldIn(warm))
	}
	if shift := shiftOf(warm); shift < shot.TintMired || shift > 85 { // the gold's 80 and the cloth's 5 together are the most
		t.Errorf("warm: %.1f mired", shift)
	}
	for _, o := range plan(t, coloured(shot.ColourNeutral)).Options {
		if goldIn(o) || shiftOf(o) > 5 { // the strongest cloth's
			t.Errorf("neutral, %s: gold %v, %.1f mired", o.Label, goldIn(o), shiftOf(o))
		}
	}
}

func TestNeutralIsTheDefault(t *testing.T) {
	d := jetty()
	s, faults := d.Resolve()
	if len(faults) > 0 || s.Look.Colour != shot.ColourNeutral {
		t.Errorf("%q, faults %v", s.Look.Colour, faults)
	}
}

func TestGoldThatWarmsMoreMakesAWarmerKeyOfTheSameLevel(t *testing.T) {
	last, lx := 0.0, math.NaN()
	for i, mired := range []float64{20, 40, 80, 160} {
		o := option(t, planOf(t, coloured(shot.ColourWarm), without(t, mired, nil)), sizing.LabelOverhead)
		shift := shiftOf(o)
		if !goldIn(o) || !(shift > last) || shift > mired+5 {
			t.Errorf("gold of %.0f mired: gold %v, key %.2f mired after %.2f", mired, goldIn(o), shift, last)
		}
		if i > 0 && math.Abs(o.Levels.KeyLx-lx) > 1e-9*lx {
			t.Errorf("gold of %.0f mired: %.1f lx, before %.1f", mired, o.Levels.KeyLx, lx)
		}
		last, lx = shift, o.Levels.KeyLx
	}
}

// What the catalogue says of a face counts, not what it is called.
func TestGoldThatDoesNotWarmIsNoGold(t *testing.T) {
	o := option(t, planOf(t, coloured(shot.ColourWarm), without(t, shot.TintMired-1, nil)), sizing.LabelOverhead)
	if !o.GivesUpOn(finding.Colour) || o.State != finding.DoesLess {
		t.Errorf("%s, gives up %v", o.State, o.GivesUp)
	}
}

func TestWhereNothingWarmsTheKeyIsNeutralAndItIsTold(t *testing.T) {
	stock := without(t, 80, hasGold)
	neutral := option(t, planOf(t, coloured(shot.ColourNeutral), stock), sizing.LabelOverhead)
	warm := option(t, planOf(t, coloured(shot.ColourWarm), stock), sizing.LabelOverhead)
	if !warm.GivesUpOn(finding.Colour) || len(warm.GivesUp) != 1 || warm.State != finding.DoesLess || !warm.Workable {
		t.Errorf("%s, gives up %v, workable %v", warm.State, warm.GivesUp, warm.Workable)
	}
	told, ok := noted[finding.ColourMissed](warm)
	if !ok || told.KeyShiftMired != shiftOf(warm) || told.AskedMired != shot.TintMired || told.Unlifted {
		t.Errorf("noted %+v, %v", told, ok)
	}
	if neutral.State != finding.DoesIt || neutral.Levels.KeyLx != warm.Levels.KeyLx || len(neutral.Pieces) != len(warm.Pieces) {
		t.Errorf("neutral %s with %.1f lx and %d pieces, warm that cannot be had %.1f lx and %d", neutral.State, neutral.Levels.KeyLx, len(neutral.Pieces),
			warm.Levels.KeyLx, len(warm.Pieces))
	}
}

// Where gold is all there is, a key that is to be neutral is not lifted by it.
func TestGoldAloneLiftsNoNeutralKey(t *testing.T) {
	stock := without(t, 80, func(item *catalog.Item) bool {
		switch spec := item.Spec.(type) {
		case *catalog.Reflector:
			return spec.FaceA != "gold" && spec.FaceA != "black"
		case *catalog.Fabric:
			return spec.Use == catalog.UseBounce
		case *catalog.Lamp:
			return true
		}
		return false
	})
	for _, o := range planOf(t, coloured(shot.ColourNeutral), stock).Options {
		if goldIn(o) {
			t.Errorf("%s: a key off gold", o.Label)
		}
	}
}
