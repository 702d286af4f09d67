//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// rowers are six people in a boat in the morning, the lens toward the low sun.
func rowers() shot.Draft {
	d := jetty()
	d.Window.Start, d.Window.End = some("09:00"), some("09:45")
	d.Camera.BearingDeg = some(92.0)
	d.Framing.WidthM, d.Framing.DistanceM = some(5.0), some(7.0)
	d.Zone.WidthM, d.Zone.DepthM = some(4.2), some(1.2)
	return d
}

func TestOtherHourIsLookedForBothWays(t *testing.T) {
	t.Parallel()
	for name, tc := range map[string]struct {
		draft shot.Draft
		later bool
	}{
		"earlier than a late afternoon": {jetty(), false},
		"later than a morning":          {rowers(), true},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			res := plan(t, tc.draft)
			o, asked := option(t, res, sizing.LabelOtherHour), res.Shot.Window
			if o.Window.From.After(asked.From) != tc.later {
				t.Errorf("%s in place of %s", o.Window.Start, asked.Start)
			}
			if o.Window.To.Sub(o.Window.From) != asked.To.Sub(asked.From) || o.Window.Date != asked.Date {
				t.Errorf("window %+v in place of %+v", o.Window, asked)
			}
			if by := o.Window.From.Sub(asked.From); by%(15*time.Minute) != 0 || by == 0 {
				t.Errorf("%s from the hour asked", by)
			}
			if n, ok := noted[finding.OtherHour](o); !ok || n.Start != o.Window.Start || n.End != o.Window.End {
				t.Errorf("note %+v, window %s to %s", n, o.Window.Start, o.Window.End)
			}
		})
	}
}

// TestOtherHourCostsWhatThatHourCosts asks for the hour itself, which has to have the same frame for about as much, and holds the total
// against those at the hour asked.
func TestOtherHourCostsWhatThatHourCosts(t *testing.T) {
	t.Parallel()
	res := plan(t, jetty())
	o := option(t, res, sizing.LabelOtherHour)
	total := func(o *sizing.Option) int64 {
		n, err := o.TotalPerDay.Int64()
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	for i := range res.Options {
		p := &res.Options[i]
		if p.Label != sizing.LabelOtherHour && p.State == finding.DoesIt && total(p) <= total(&o) {
			t.Errorf("%s does it at the hour asked for %s, at another for %s", p.Name, p.TotalPerDay, o.TotalPerDay)
		}
	}
	d := atWindow(jetty(), o.Window)
	d.Look.KeySide = some(res.Shot.Look.KeySide)
	then := option(t, plan(t, d), sizing.LabelOverhead)
	const searchesApart = 0.1 // each search takes the first place that it comes to, and there may be others
	if a, b := float64(total(&then)), float64(total(&o)); math.Abs(a-b) > searchesApart*a || !slices.Equal(then.Pieces[0].Items, o.Pieces[0].Items) {
		t.Errorf("from %s to %s: %s with %v, asked for itself %s with %v", o.Window.Start, o.Window.End, o.TotalPerDay, o.Pieces[0].Items, then.TotalPerDay, then.Pieces[0].Items)
	}
}

// TestOtherHourKeepsTheSunOffTheFaces: under a roof every hour is alike, and where the sun is not in front of the people at the hour asked, it
// is not at another.
func TestOtherHourKeepsTheSunOffTheFaces(t *testing.T) {
	t.Parallel()
	d := jetty()
	d.Site.Roofed = some(true)
	for _, o := range plan(t, d).Options {
		if o.Label == sizing.LabelOtherHour {
			t.Error("another hour under a roof")
		}
	}
	offered := 0
	for bearing := 0.0; bearing < 360; bearing += 60 {
		d := jetty()
		d.Camera.BearingDeg = some(bearing)
		res := plan(t, d)
		turned := func(w shot.Window) float64 { // of the sun in mid-window from straight in front of the people
			track := plan(t, atWindow(d, shot.WindowBetween(w.Mid(), w.Mid().Add(5*time.Minute)))).Sources[0].Track
			return math.Abs(math.Remainder(track[0].AzimuthDeg-bearing-180, 360))
		}
		for _, o := range res.Options {
			if o.Label != sizing.LabelOtherHour {
				continue
			}
			offered++
			if now, then := turned(res.Shot.Window), turned(o.Window); now > 60 && then <= 60 {
				t.Errorf("the lens toward %.0f°: the sun is %.0f° from straight in front at %s, %.0f° at %s", bearing, now, res.Shot.Window.Start, then, o.Window.Start)
			}
		}
	}
	if offered < 2 {
		t.Errorf("%d other hours to look at", offered)
	}
}

func atWindow(d shot.Draft, w shot.Window) shot.Draft {
	d.Window.Start, d.Window.End = &w.Start, &w.End
	return d
}
