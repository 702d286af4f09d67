//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"slices"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// stroll is a close shot of somebody with the low sun from the side, in ten minutes of a light wind.
func stroll() shot.Draft {
	d := jetty()
	d.Window.Start, d.Window.End = some("18:40"), some("18:50")
	d.Camera = shot.DraftCamera{BearingDeg: some(195.0), HeightM: some(1.5), AimHeightM: some(1.5)}
	d.Framing = shot.DraftFraming{WidthM: some(1.2), DistanceM: some(7.0)}
	d.Zone = shot.DraftZone{WidthM: some(1.0), DepthM: some(0.5), BaseM: some(1.1), TopM: some(1.8)}
	d.GustMS = some(4.0)
	d.Look.ContrastStops = some(1.0) // what both have with nothing on the fill side: a black weighs more than the stands that hands save
	return d
}

// toward is a walk of so many metres toward the lens of a draft.
func toward(d *shot.Draft, m float64) *shot.DraftWalk {
	by := geom.Toward(*d.Camera.BearingDeg+180, 0).Scale(m)
	return &shot.DraftWalk{ToM: []float64{by.X, by.Y}}
}

func handHeld(r sizing.Result) *sizing.Option {
	i := slices.IndexFunc(r.Options, func(o sizing.Option) bool { return o.Label == sizing.LabelHandHeld })
	if i < 0 {
		return nil
	}
	return &r.Options[i]
}

func TestAFrameIsHeldByHandInShortTakesAndLightWindAlone(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change func(d *shot.Draft)
		held   bool
	}{
		"ten minutes at 4 m/s": {func(*shot.Draft) {}, true},
		"eleven minutes":       {func(d *shot.Draft) { d.Window.End = some("18:51") }, false},
		"a gust of 5.1 m/s":    {func(d *shot.Draft) { d.GustMS = some(5.1) }, false},
		"nothing to soften":    {func(d *shot.Draft) { d.Sky.Condition = some("overcast") }, false},
		"softening off":        {func(d *shot.Draft) { d.Look.Soften = some(shot.SoftenOff) }, false},
		"a zone of 3 m":        {func(d *shot.Draft) { d.Zone.WidthM, d.Framing.WidthM = some(3.0), some(3.5) }, false},
		"walking":              {func(d *shot.Draft) { d.Walk = toward(d, 2) }, true},
		"walking in a breeze":  {func(d *shot.Draft) { d.Walk, d.GustMS = toward(d, 2), some(8.0) }, false},
	} {
		d := stroll()
		c.change(&d)
		r := plan(t, d)
		o := handHeld(r)
		if n, ok := noted[finding.Walks](r.Options[0]); ok != (d.Walk != nil) || ok && n.MayCarry != c.held {
			t.Errorf("%s: of the walk it says %+v (%v)", name, n, ok)
		}
		if (o != nil) != c.held {
			t.Errorf("%s: held by hand %v, want %v", name, o != nil, c.held)
		}
		if o == nil {
			continue
		}
		p := o.Pieces[0]
		if len(p.HeldBy) != 2 || len(p.Supports)+len(p.Lines) > 0 || p.Hold.LowerAtMS > 5 || o.Crew.Hold < 2 || o.Crew.LeadLifts {
			t.Errorf("%s: held by %d people and %d supports up to %.2f m/s, crew %+v", name, len(p.HeldBy), len(p.Supports), p.Hold.LowerAtMS, o.Crew)
		}
		if n, ok := noted[finding.HandHeld](*o); !ok || n.Carried != (d.Walk != nil) || n.UpToMS != p.Hold.LowerAtMS {
			t.Errorf("%s: the note says %+v (%v)", name, n, ok)
		}
	}
}

// TestAWalkTowardTheLensIsADeeperZoneNearerToIt: by a level lens, people who walk 2 m toward it are to all that stands a zone that is 2 m
// deeper, its middle 1 m nearer, in the same picture, which is narrower there. What is found has to be the same but for where the origin is.
func TestAWalkTowardTheLensIsADeeperZoneNearerToIt(t *testing.T) {
	t.Parallel()
	walks, deep := stroll(), stroll()
	walks.Walk = toward(&walks, 2)
	deep.Framing.DistanceM, deep.Framing.WidthM, deep.Zone.DepthM = some(6.0), some(1.2*6/7), some(2.5)
	for _, d := range []*shot.Draft{&walks, &deep} {
		d.Look.SoftDeg, d.GustMS = some(12.0), some(8.0)
	}
	a, b := plan(t, walks), plan(t, deep)
	if len(a.Options) != len(b.Options) || math.Abs(a.WidestZoneM-b.WidestZoneM) > 0.02 {
		t.Fatalf("%d options and a widest zone of %.3f m; of the deeper zone %d and %.3f m", len(a.Options), a.WidestZoneM, len(b.Options), b.WidestZoneM)
	}
	shift := geom.Toward(*walks.Camera.BearingDeg+180, 0)
	for i := range a.Options {
		p, q := &a.Options[i], &b.Options[i]
		if p.Name != q.Name || p.TotalPerDay.Number() != q.TotalPerDay.Number() || len(p.Pieces) != len(q.Pieces) || math.Abs(p.Levels.KeyLx-q.Levels.KeyLx) > 1e-6*q.Levels.KeyLx {
			t.Errorf("%s, %s a day, %d pieces, key %.1f lx; of the deeper zone %s, %s, %d, %.1f", p.Name, p.TotalPerDay, len(p.Pieces), p.Levels.KeyLx,
				q.Name, q.TotalPerDay, len(q.Pieces), q.Levels.KeyLx)
			continue
		}
		for k := range p.Pieces {
			if off := p.Pieces[k].Corners[0].Sub(q.Pieces[k].Corners[0].Add(shift)).Len(); p.Pieces[k].Lamp == nil && off > 1e-6 {
				t.Errorf("%s: the %s is %.6f m from where it is over the deeper zone", p.Name, p.Pieces[k].Role, off)
			}
		}
	}
}

// TestWhatIsCarriedNeedNotCoverTheWay: along a longer way the frame that stands grows, and the one that is carried does not.
func TestWhatIsCarriedNeedNotCoverTheWay(t *testing.T) {
	t.Parallel()
	frames := func(walkM float64) (stands, held string) {
		d := stroll()
		if walkM > 0 {
			d.Walk = toward(&d, walkM)
		}
		r := plan(t, d)
		o := handHeld(r)
		if o == nil {
			t.Fatalf("nothing is carried along %v m", walkM)
		}
		return option(t, r, sizing.LabelOverhead).Pieces[0].Items[0].SKU, o.Pieces[0].Items[0].SKU
	}
	standsStill, heldStill := frames(0)
	standsLong, heldLong := frames(2.5)
	stock := house(t)
	grows := stock.Item(standsLong).MassKg / stock.Item(standsStill).MassKg
	if !(grows > 1.2) || heldStill != heldLong {
		t.Errorf("from standing to walking the frame on stands goes from %s to %s, that by hand from %s to %s", standsStill, standsLong, heldStill, heldLong)
	}
}
