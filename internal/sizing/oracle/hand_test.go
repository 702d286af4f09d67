package oracle_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// flat lays the 3 by 3 m frame level with its middle at a point, on two stands under the middles of its east and west sides.
func flat(at geom.Vec) sizing.Piece {
	p := tilted(at, 0)
	for _, side := range []float64{-1, 1} {
		p.Supports = append(p.Supports, sizing.Support{
			SKU: "STAND", Base: geom.Vec{X: at.X + side*1.55, Y: at.Y}, HeightM: at.Z, FootprintM: 0.5,
		})
	}
	return p
}

// tilted puts the 3 by 3 m frame with its south side raised by an angle, without stands.
func tilted(at geom.Vec, deg float64) sizing.Piece {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	p := sizing.Piece{
		Role: finding.RoleOverhead, Face: "white", Serves: "main", Covers: []string{"lamp"},
		Items:       []catalog.Count{{SKU: "FRAME-33", Quantity: 1}, {SKU: "CLOTH-33", Quantity: 1}},
		OuterAreaM2: 3.1 * 3.1,
	}
	for i, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		p.Corners[i] = geom.Vec{X: at.X + 1.5*s[0], Y: at.Y + 1.5*s[1]*cos, Z: at.Z - 1.5*s[1]*sin}
	}
	return p
}

// byRule checks a piece and keeps the greatest violation of each rule.
func byRule(t *testing.T, d shot.Draft, p sizing.Piece) map[oracle.Rule]oracle.Violation {
	t.Helper()
	worst := map[oracle.Rule]oracle.Violation{}
	for _, v := range oracle.CheckPiece(sceneOf(t, d), p, benchHouse(t), rand.New(rand.NewPCG(1, 1))) {
		if w, ok := worst[v.Rule]; !ok || v.By > w.By {
			worst[v.Rule] = v
		}
	}
	return worst
}

func wantBroken(t *testing.T, got map[oracle.Rule]oracle.Violation, rule oracle.Rule, by float64) {
	t.Helper()
	v, ok := got[rule]
	switch {
	case math.IsNaN(by) && ok:
		t.Errorf("%s is broken: %s", rule, v)
	case math.IsNaN(by):
	case !ok:
		t.Errorf("%s is not broken, wanted by %.4f", rule, by)
	case math.Abs(v.By-by) > 1e-4 && !(math.IsInf(by, 1) && math.IsInf(v.By, 1)):
		t.Errorf("%s is broken by %.5f, by hand it is %.5f: %s", rule, v.By, by, v)
	}
}

// kept stands for a rule that is not broken.
var kept = math.NaN()

func TestLevelFrameUnderALampOverhead(t *testing.T) {
	t.Parallel()
	d := benchDraft(overheadLamp())
	p := flat(geom.Vec{Z: 2.5})
	// East and west the zone reaches 1 of 1.5 m: 0.5 m inside. The frame's outer edge reaches 1.55 m north, where the
	// depth is 6.55 m and the picture's top 1.5 + 0.655 = 2.155 m: 0.345 m clear. The masts are 1.55 - 1 m clear.
	p.MarginM, p.ViewClearanceM = 0.5, 0.345
	if got := byRule(t, d, p); len(got) > 0 {
		t.Errorf("a sound placement is refused: %v", got)
	}
	p.MarginM, p.ViewClearanceM = 0.51, 0.355
	got := byRule(t, d, p)
	wantBroken(t, got, oracle.RuleMargin, 0.008) // beyond 2 mm of tolerance
	wantBroken(t, got, oracle.RuleClearance, 0.01)

	p = flat(geom.Vec{X: 0.48, Z: 2.5})
	wantBroken(t, byRule(t, d, p), oracle.RuleCovered, 0.03) // 0.02 m inside, 0.05 asked

	p = flat(geom.Vec{Z: 2.04})
	got = byRule(t, d, p)
	wantBroken(t, got, oracle.RuleHead, 0.06)
	wantBroken(t, got, oracle.RuleInView, 0.1-(2.04-2.155)) // 0.115 m inside the picture

	p = flat(geom.Vec{Z: 2.5})
	p.Supports[1].Base.X = 1.05 // a mast at the depth where the picture reaches 1 m
	got = byRule(t, d, p)
	wantBroken(t, got, oracle.RuleInView, 0.05)
	wantBroken(t, got, oracle.RuleSupport, 0.45) // feet of 0.5 m stand 0.05 m from the zone; the hold is only 0.35 m off
}

func TestSlantingRaysAndTheirPenumbra(t *testing.T) {
	t.Parallel()
	d := benchDraft(shot.DraftLamp{AzimuthDeg: ptr(0.0), ElevationDeg: ptr(45.0), IlluminanceLx: ptr(1000.0), AngularRadiusDeg: ptr(0.5)})
	// At 45° a ray moves north as far as it rises. Into the plane at 2.5 m the zone throws from -0.5 + 0.7 to 0.5 + 2.5:
	// 1.4 m about 1.6, so 0.1 m inside. The far ray is 2.5·√2 long, its penumbra 2.5·√2·tan 0.5° = 0.03085 m.
	p := flat(geom.Vec{Y: 1.6, Z: 2.5})
	p.MarginM = 0.1
	got := byRule(t, d, p)
	wantBroken(t, got, oracle.RuleCovered, kept)
	wantBroken(t, got, oracle.RuleMargin, kept)

	d.Allowance.CoverM = ptr(0.09)
	wantBroken(t, byRule(t, d, p), oracle.RuleCovered, 0.09+2.5*math.Sqrt2*math.Tan(0.5*math.Pi/180)-0.1)
}

func TestRaysToALampNearBy(t *testing.T) {
	t.Parallel()
	d := benchDraft(shot.DraftLamp{PositionM: []float64{0, 0, 5}, IntensityCd: ptr(10000.0)})
	// From a corner 1 m east at 1.8 m a ray to (0, 0, 5) is 0.7/3.2 of the way at 2.5 m: 0.78125 m east, 0.71875 m inside.
	p := flat(geom.Vec{Z: 2.5})
	p.MarginM = 1.5 - 0.78125
	got := byRule(t, d, p)
	wantBroken(t, got, oracle.RuleCovered, kept)
	wantBroken(t, got, oracle.RuleMargin, kept)

	d.Lamps[0].PositionM = []float64{0, 0, 2.4} // under the frame: no ray crosses on its way to it
	wantBroken(t, byRule(t, d, p), oracle.RuleCovered, math.Inf(1))
}

func TestHeadRoomUnderASlope(t *testing.T) {
	t.Parallel()
	d := benchDraft(overheadLamp())
	// Raised by 30° to the south about a middle 2 m north, the frame is (2 - 1)·tan 30° over its middle at the edge of
	// the zone's depth grown by half a metre, 1 m north.
	over := math.Tan(30 * math.Pi / 180)
	wantBroken(t, byRule(t, d, tilted(geom.Vec{Y: 2, Z: 2.12 - over}, 30)), oracle.RuleHead, kept)
	wantBroken(t, byRule(t, d, tilted(geom.Vec{Y: 2, Z: 2.08 - over}, 30)), oracle.RuleHead, 0.02)
	// Far from people only the lowest edge counts: 1.55·sin 60° under the middle.
	low := 1.55 * math.Sin(60*math.Pi/180)
	wantBroken(t, byRule(t, d, tilted(geom.Vec{Y: 5, Z: 0.31 + low}, 60)), oracle.RuleHead, kept)
	wantBroken(t, byRule(t, d, tilted(geom.Vec{Y: 5, Z: 0.25 + low}, 60)), oracle.RuleHead, 0.05)
}

func TestWhatAStandCanDo(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change func(d *shot.Draft, p *sizing.Piece)
		by     float64
	}{
		"sound":             {func(*shot.Draft, *sizing.Piece) {}, kept},
		"an arm in reach":   {func(_ *shot.Draft, p *sizing.Piece) { onArm(p, 0.9) }, kept},
		"an arm too long":   {func(_ *shot.Draft, p *sizing.Piece) { onArm(p, 1.2) }, 0.2},
		"a sloping arm":     {func(_ *shot.Draft, p *sizing.Piece) { onArm(p, 0.9); p.Supports[0].Arm[1].Z += 0.05 }, 0.05},
		"an arm off a mast": {func(_ *shot.Draft, p *sizing.Piece) { onArm(p, 0.9); p.Supports[0].Base.Y = 0.1 }, 0.1},
		"too high a mast":   {func(_ *shot.Draft, p *sizing.Piece) { *p = flat(geom.Vec{Z: 4.2}) }, 0.2},
		"off the side's middle": {func(_ *shot.Draft, p *sizing.Piece) {
			p.Supports[0].Base.Y, p.Supports[1].Base.Y = 0.4, 0.4
		}, 0.25},
		"too few": {func(_ *shot.Draft, p *sizing.Piece) { p.Supports = p.Supports[:1] }, math.Inf(1)},
		// Both under the west side: as holds of the north and the south side each is √2·1.55 m off.
		"one side alone":     {func(_ *shot.Draft, p *sizing.Piece) { p.Supports[1] = p.Supports[0] }, math.Sqrt2*1.55 - 0.15},
		"a load over safety": {func(d *shot.Draft, _ *sizing.Piece) { d.SafetyFactor = ptr(4.0) }, 5.5 - 20.0/4},
		"a made-up footprint": {func(_ *shot.Draft, p *sizing.Piece) {
			p.Supports[0].FootprintM = 0.3
		}, 0.2},
		"a base in the air": {func(_ *shot.Draft, p *sizing.Piece) { p.Supports[0].Base.Z = 0.2 }, 0.2},
		"not a stand":       {func(_ *shot.Draft, p *sizing.Piece) { p.Supports[0].SKU = "CLOTH-33" }, 1},
		"from nowhere":      {func(_ *shot.Draft, p *sizing.Piece) { p.Supports[0].SKU = "STAND-9" }, 1},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d, p := benchDraft(overheadLamp()), flat(geom.Vec{Z: 2.5})
			c.change(&d, &p)
			wantBroken(t, byRule(t, d, p), oracle.RuleSupport, c.by)
		})
	}
}

// onArm moves the first stand west by an arm's length.
func onArm(p *sizing.Piece, long float64) {
	sp := &p.Supports[0]
	held := geom.Vec{X: sp.Base.X, Y: sp.Base.Y, Z: sp.HeightM}
	sp.SKU = "STAND-ARM"
	sp.Base.X -= long
	sp.Arm = &[2]geom.Vec{{X: sp.Base.X, Y: sp.Base.Y, Z: sp.HeightM}, held}
}
