package sizing_test

import (
	"fmt"
	"math"
	"testing"

	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// mostLamps is how many lamps a request may have.
const mostLamps = 12

// sunAndLamps is the anglers' afternoon with distant lamps all around as strong as the sun: no frame stops two that are not
// neighbours.
func sunAndLamps(n int) shot.Draft {
	d := anglers()
	for i := range n {
		d.Lamps = append(d.Lamps, shot.DraftLamp{
			Label: is(fmt.Sprintf("lamp %d", i)), AzimuthDeg: is(math.Mod(7+360*float64(i)/float64(n), 360)), ElevationDeg: is(22.0), IlluminanceLx: is(90000.0),
		})
	}
	return d
}

// hallOfLamps is a roofed hall with floodlights all around under its roof.
func hallOfLamps(n int) shot.Draft {
	d := anglers()
	d.Site.Roofed = is(true)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.4) / float64(n))
		d.Lamps = append(d.Lamps, shot.DraftLamp{
			Label: is(fmt.Sprintf("lamp %d", i)), PositionM: []float64{14 * sin, 14 * cos, 9}, IntensityCd: is(90000.0), AngularRadiusDeg: is(0.8),
		})
	}
	return d
}

// otherZones is the anglers' afternoon with further people in a row beside the picture.
func otherZones(n int) shot.Draft {
	d := anglers()
	for i := range n {
		d.OtherZones = append(d.OtherZones, shot.DraftOtherZone{
			Label: is(fmt.Sprintf("zone %d", i)), CenterM: []float64{6 + 2.2*float64(i), 1.5 + float64(i)},
			WidthM: is(2.0), DepthM: is(1.0), BaseM: is(0.0), TopM: is(1.85), KeyStops: is(-1.25),
		})
	}
	return d
}

// BenchmarkManySources sizes what has many sources, and many people.
func BenchmarkManySources(b *testing.B) {
	stock := demoHouse(b, "quayside")
	for _, n := range []int{4, 8, mostLamps} {
		b.Run(fmt.Sprintf("sun-and-lamps/%d", n), func(b *testing.B) { benchPlan(b, sunAndLamps(n), stock, anything) })
		b.Run(fmt.Sprintf("hall/%d", n), func(b *testing.B) { benchPlan(b, hallOfLamps(n), stock, anything) })
		b.Run(fmt.Sprintf("other-zones/%d", n), func(b *testing.B) { benchPlan(b, otherZones(n), stock, anything) })
	}
}

// TestLampsAreSearchedOnceInASweep counts how often a sweep under a roof looks at its context, which it does as it searches:
// the lamps are the same at every step.
func TestLampsAreSearchedOnceInASweep(t *testing.T) {
	stock := demoHouse(t, "quayside")
	asked, faults := hallOfLamps(1).Resolve()
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	polls := func(to string) (looks int64, steps int) {
		day, faults := shot.DraftSteps{From: is("10:00"), To: is(to), StepMin: is(5)}.Resolve(asked)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		ctx := &polled{end: never}
		res, err := sizing.Sweep(ctx, asked, day, stock, price.NewDesk(stock, asked.Window.Date), 2)
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range res.Rows {
			if row.Overhead == nil {
				t.Fatalf("no overhead at %s: %+v", row.Sun.At, row.Without)
			}
		}
		return ctx.polls.Load(), len(res.Rows)
	}
	few, n := polls("10:10")
	many, m := polls("15:00")
	if n >= m {
		t.Fatalf("%d steps and %d", n, m)
	}
	if more := many - few; more > int64(3*(m-n)) {
		t.Errorf("%d polls for %d steps, %d for %d: each step is searched", few, n, many, m)
	}
}
