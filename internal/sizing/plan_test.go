//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"reflect"
	"slices"
	"testing"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

func TestPlanIsTheSameEveryTime(t *testing.T) {
	a, b := plan(t, jetty()), plan(t, jetty())
	if !reflect.DeepEqual(a, b) {
		t.Error("two plans of one shot differ")
	}
}

func TestPlanPutsOneOverheadOnStands(t *testing.T) {
	o := plan(t, jetty()).Options[0]
	overheads := 0
	for _, p := range o.Pieces {
		if p.Role == finding.RoleOverhead || p.Role == finding.RoleSide {
			overheads++
		}
	}
	if o.Label != sizing.LabelOverhead || !o.Workable || overheads != 1 || o.Pieces[0].Role != finding.RoleOverhead {
		t.Fatalf("first option %s, workable %v, pieces %+v", o.Label, o.Workable, o.Pieces)
	}
	if got := o.Pieces[0].Covers; !slices.Equal(got, []string{"sun"}) {
		t.Errorf("covers %v", got)
	}
}

func TestPreferCheapestMayTakeALargerFrameNeverADearerRig(t *testing.T) {
	small := option(t, plan(t, jetty()), sizing.LabelOverhead)
	d := jetty()
	d.Prefer = some(shot.PreferCheapest)
	cheap := option(t, plan(t, d), sizing.LabelOverhead)
	if c, err := cheap.Kit.PerDay.Cmp(small.Kit.PerDay); err != nil || c > 0 {
		t.Errorf("cheapest costs %s, smallest %s", cheap.Kit.PerDay, small.Kit.PerDay)
	}
	if cheap.Pieces[0].OuterAreaM2 < small.Pieces[0].OuterAreaM2 {
		t.Errorf("cheapest is smaller (%.2f m²) than smallest (%.2f m²)", cheap.Pieces[0].OuterAreaM2, small.Pieces[0].OuterAreaM2)
	}
}

// overheadKg is what the overhead weighs with its supports and all that holds them.
func overheadKg(t *testing.T, o sizing.Option) float64 {
	t.Helper()
	stock, p, kg := house(t), o.Pieces[0], 0.0
	if p.Role != finding.RoleOverhead {
		t.Fatalf("first piece is a %s", p.Role)
	}
	add := func(sku string, quantity int) {
		if quantity > 0 {
			kg += float64(quantity) * stock.Item(sku).MassKg
		}
	}
	for _, c := range p.Items {
		add(c.SKU, c.Quantity)
	}
	for _, s := range p.Supports {
		add(s.SKU, 1)
		add(s.Ballast.SKU, s.Ballast.Quantity)
	}
	for _, l := range p.Lines {
		add(l.SKU, 1)
		add(l.Anchor.SKU, l.Anchor.Quantity)
	}
	return kg
}

// TestPreferLightestTakesNoHeavierRig: overheads are compared by what they weigh with all that holds them, so that a larger frame on
// lighter stands may come first. What shapes the light under them comes after, and a lighter overhead may leave more for that to do.
func TestPreferLightestTakesNoHeavierRig(t *testing.T) {
	small := option(t, plan(t, jetty()), sizing.LabelOverhead)
	d := jetty()
	d.Prefer = some(shot.PreferLightest)
	light := option(t, plan(t, d), sizing.LabelOverhead)
	if a, b := overheadKg(t, light), overheadKg(t, small); a > b+1e-9 {
		t.Errorf("lightest takes an overhead of %.2f kg, smallest one of %.2f kg", a, b)
	}
}

func TestPriceLimitLeavesTheOptionInTheListUnworkable(t *testing.T) {
	d := jetty()
	limit, err := currency.NewAmount("10.00", "EUR")
	if err != nil {
		t.Fatal(err)
	}
	d.Limits.PricePerDay = &limit
	r := plan(t, d)
	o := option(t, r, sizing.LabelOverhead)
	over, ok := noted[finding.OverPrice](o)
	if o.Workable || !ok || !over.Limit.Equal(limit) || len(o.Pieces) == 0 {
		t.Errorf("workable %v, %d pieces, notes %+v", o.Workable, len(o.Pieces), o.Notes)
	}
	if sum, err := over.Limit.Add(over.Over); err != nil || !sum.Equal(o.Kit.PerDay) {
		t.Errorf("%s over %s, the kit costs %s", over.Over, over.Limit, o.Kit.PerDay)
	}
}

func TestNothingToSoftenIsANoteNotAFault(t *testing.T) {
	night, overcast, roofed, off := jetty(), jetty(), jetty(), jetty()
	night.Window.Start, night.Window.End = some("02:00"), some("03:00")
	overcast.Sky.Condition = some("overcast")
	roofed.Site.Roofed = some(true)
	off.Look.Soften = some(shot.SoftenOff)
	for name, c := range map[string]struct {
		draft shot.Draft
		want  finding.Note
	}{
		"night":    {night, finding.SunDown{}},
		"overcast": {overcast, finding.NoDirectSun{}},
		"roofed":   {roofed, finding.NothingToSoften{Because: finding.SoftRoof}},
		"off":      {off, finding.SofteningOff{}},
	} {
		r := plan(t, c.draft)
		for _, o := range r.Options {
			if !o.Workable || !slices.ContainsFunc(o.Notes, func(n finding.Note) bool { return reflect.DeepEqual(n, c.want) }) {
				t.Errorf("%s: %s workable %v, notes %+v lack %T", name, o.Label, o.Workable, o.Notes, c.want)
			}
			if slices.ContainsFunc(o.Pieces, func(p sizing.Piece) bool { return p.Role == finding.RoleOverhead || p.Role == finding.RoleSide }) {
				t.Errorf("%s: %s has an overhead: %+v", name, o.Label, o.Pieces)
			}
		}
	}
}

func TestSunInThePictureBringsATurnThatTakesItOut(t *testing.T) {
	d := jetty()
	d.Window.Start, d.Window.End = some("20:30"), some("20:45") // 5° high, north of west
	d.Camera.BearingDeg = some(299.0)
	d.Framing.WidthM = some(5.0)
	r := plan(t, d)
	if !slices.ContainsFunc(r.Sources[0].Track, func(p scene.TrackPoint) bool { return p.InView }) {
		t.Fatalf("the sun is not in the picture: %+v", r.Sources[0].Track)
	}
	told, ok := noted[finding.SunInView](then(r))
	if !ok || told.TurnDeg == 0 {
		t.Fatalf("notes %+v", then(r).Notes)
	}
	deg := told.TurnDeg
	if told.Side == finding.Left {
		deg = -deg
	}
	d.Camera.BearingDeg = some(math.Mod(299+deg+360, 360))
	if slices.ContainsFunc(plan(t, d).Sources[0].Track, func(p scene.TrackPoint) bool { return p.InView }) {
		t.Errorf("turned by %g° the sun is still in the picture", deg)
	}
}

func TestSunInFrontIsSaid(t *testing.T) {
	d := jetty()
	d.Camera.BearingDeg = some(82.0)
	if o := plan(t, d).Options[0]; !has[finding.SunInFront](o) {
		t.Errorf("notes %+v", o.Notes)
	}
}

func TestWeakLampsAreNotSoftened(t *testing.T) {
	d := jetty()
	for label, lux := range map[string]float64{"weak": 5000, "strong": 40000} {
		d.Lamps = append(d.Lamps, shot.DraftLamp{
			Label: some(label), AzimuthDeg: some(250.0), ElevationDeg: some(45.0), IlluminanceLx: some(lux),
		})
	}
	for _, s := range plan(t, d).Sources {
		if want := s.Label != "weak"; s.Softened != want {
			t.Errorf("%s: softened %v, want %v (an eighth of the sun's %.0f lx counts)", s.Label, s.Softened, want, 94000.0)
		}
	}
}

func TestMeterReadingScalesTheWholeTrack(t *testing.T) {
	model := plan(t, jetty()).Sources[0].Track
	d := jetty()
	d.Sky.SunLx = some(40000.0)
	read := plan(t, d).Sources[0].Track
	mid := len(read) / 2
	if got := read[mid].IlluminanceLx; math.Abs(got-40000) > 1 {
		t.Errorf("mid-window %.1f lx, read 40000", got)
	}
	for i := range read {
		if k := read[i].IlluminanceLx / model[i].IlluminanceLx / (40000 / model[mid].IlluminanceLx); math.Abs(k-1) > 1e-9 {
			t.Errorf("%s: scaled by another ratio (%.9f)", read[i].At, k)
		}
	}
}

// A shot of a day before the house's first rates is priced at those of today: frames are as much on offer as boards are.
func TestAShotOfADayGoneByHasItsFrames(t *testing.T) {
	d := jetty()
	d.Window.Date = some("2024-06-18")
	asked, faults := d.Resolve()
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	stock := house(t)
	res, err := sizing.Plan(t.Context(), asked, stock, price.NewDesk(stock, catalog.Date{Year: 2027, Month: time.March, Day: 1}))
	if err != nil {
		t.Fatal(err)
	}
	option(t, res, sizing.LabelOverhead)
	for _, r := range res.RuledOut {
		if r.Because == finding.NoStock {
			t.Errorf("%s is ruled out: %T", r.SKU, r.Obstacle)
		}
	}
}
