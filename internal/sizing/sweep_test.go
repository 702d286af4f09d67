package sizing_test

import (
	"reflect"
	"runtime"
	"testing"

	"github.com/bojanz/currency"

	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// swept is a draft's day in steps, from a demo house.
func swept(t *testing.T, d shot.Draft, s shot.DraftSteps) sizing.SweepResult {
	t.Helper()
	shot, faults := d.Resolve()
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	day, faults := s.Resolve(shot)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	stock := demoHouse(t, "quayside")
	res, err := sizing.Sweep(t.Context(), shot, day, stock, price.NewDesk(stock, shot.Window.Date), 2)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

func euros(t *testing.T, amount string) currency.Amount {
	t.Helper()
	a, err := currency.NewAmount(amount, "EUR")
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestSweepIsTheSameOnOneCoreAndOnMany(t *testing.T) {
	steps, times := shot.DraftSteps{}, 2
	if raceOn { // which sees two goroutines at one place in any few steps that both take
		steps, times = shot.DraftSteps{From: some("15:00"), To: some("17:00")}, 1
	}
	serial := func() sizing.SweepResult {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
		return swept(t, jetty(), steps)
	}()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	for range times {
		if parallel := swept(t, jetty(), steps); !reflect.DeepEqual(serial, parallel) {
			t.Fatal("a sweep on four threads differs from that on one")
		}
	}
}

func TestSweepSaysWhyThereIsNoOverhead(t *testing.T) {
	t.Parallel()
	change := func(f func(*shot.Draft)) shot.Draft { d := jetty(); f(&d); return d }
	for name, tc := range map[string]struct {
		draft    shot.Draft
		from, to string
		want     finding.Without // the nearest frame apart
		nearest  bool
	}{
		"night":    {jetty(), "01:00", "01:10", finding.NothingToSoften{Because: finding.SoftSunDown}, false},
		"overcast": {change(func(d *shot.Draft) { d.Sky.Condition = some("overcast") }), "12:00", "12:10", finding.NothingToSoften{Because: finding.SoftNoBeam}, false},
		"roofed":   {change(func(d *shot.Draft) { d.Site.Roofed = some(true) }), "12:00", "12:10", finding.NothingToSoften{Because: finding.SoftRoof}, false},
		"off":      {change(func(d *shot.Draft) { d.Look.Soften = some("off") }), "12:00", "12:10", finding.SofteningOff{}, false},
		"too wide": {change(func(d *shot.Draft) {
			d.Zone.WidthM, d.Framing.WidthM, d.Framing.DistanceM = some(38.0), some(40.0), some(60.0)
		}), "12:00", "12:10", finding.NoFrame{}, true},
		"in the picture": {change(func(d *shot.Draft) { d.Camera.BearingDeg, d.Framing.WidthM = some(299.0), some(5.0) }), "20:30", "20:40",
			finding.SunInPicture{}, true},
		"two suns": {change(func(d *shot.Draft) {
			d.Lamps = []shot.DraftLamp{{Label: some("tower"), AzimuthDeg: some(82.0), ElevationDeg: some(5.0), IlluminanceLx: some(60000.0)}}
		}), "16:30", "16:40", finding.NoneTogether{Sources: []finding.Source{finding.Sun, "tower"}}, true},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			res := swept(t, tc.draft, shot.DraftSteps{From: &tc.from, To: &tc.to})
			if len(res.Rows) != 1 || res.Rows[0].Overhead != nil {
				t.Fatalf("%+v", res.Rows)
			}
			if dark := name == "night" || name == "roofed"; dark != (res.Rows[0].KeyUnliftedStops == nil) {
				t.Errorf("key %v", res.Rows[0].KeyUnliftedStops)
			}
			got, nearest := res.Rows[0].Without, text.Nearest(res.Rows[0].Without)
			switch w := got.(type) {
			case finding.NoFrame:
				got = finding.NoFrame{}
			case finding.SunInPicture:
				got = finding.SunInPicture{}
			case finding.NoneTogether:
				got = finding.NoneTogether{Sources: w.Sources}
			default:
			}
			if !reflect.DeepEqual(got, tc.want) || (nearest != nil) != tc.nearest {
				t.Errorf("%T %+v, nearest %+v, want %T %+v", got, got, nearest, tc.want, tc.want)
			}
		})
	}
}

func TestRoofedSweepSeesNoSun(t *testing.T) {
	t.Parallel()
	d := jetty()
	d.Site.Roofed = some(true)
	d.Lamps = []shot.DraftLamp{{Label: some("tower"), AzimuthDeg: some(262.0), ElevationDeg: some(50.0), IlluminanceLx: some(60000.0)}}
	res := swept(t, d, shot.DraftSteps{StepMin: some(120)})
	if len(res.Rows) != 12 {
		t.Fatalf("%d steps of two hours under a roof, want those of the whole day", len(res.Rows))
	}
	for _, row := range res.Rows {
		if row.Sun.IlluminanceLx != 0 || row.Sun.InView {
			t.Errorf("%+v", row.Sun)
		}
		if row.Overhead == nil || *row.Overhead != *res.Rows[0].Overhead {
			t.Errorf("%s: %v, though the lamp stays the same", row.Sun.At, row.Overhead)
		}
	}
}
