package sizing_test

import (
	"slices"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

func some[T any](v T) *T { return &v }

// jetty is the worked example of the contract: two people on a jetty in Lisbon, sun behind them in the late afternoon.
func jetty() shot.Draft {
	var d shot.Draft
	d.Site.LatitudeDeg, d.Site.LongitudeDeg, d.Site.TimeZone = some(38.6935), some(-9.2057), some("Europe/Lisbon")
	d.Window.Date, d.Window.Start, d.Window.End = some("2027-06-18"), some("16:30"), some("17:30")
	d.Camera.BearingDeg, d.Camera.AimHeightM = some(262.0), some(1.25)
	d.Framing.WidthM, d.Framing.DistanceM = some(3.0), some(5.0)
	d.Zone.WidthM, d.Zone.DepthM, d.Zone.BaseM, d.Zone.TopM = some(2.6), some(0.8), some(0.6), some(1.85)
	d.Background.Faces = some("level") // sunlit ground: there is a key to lift
	return d
}

func house(t *testing.T) *catalog.Snapshot {
	t.Helper()
	stock, ok := catalog.DemoSnapshot("quayside")
	if !ok {
		t.Fatal("no demo house")
	}
	return stock
}

func plan(t *testing.T, d shot.Draft) sizing.Result {
	t.Helper()
	return planOf(t, d, house(t))
}

func planOf(t *testing.T, d shot.Draft, stock *catalog.Snapshot) sizing.Result {
	t.Helper()
	shot, faults := d.Resolve()
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	res, err := sizing.Plan(t.Context(), shot, stock, price.NewDesk(stock, shot.Window.Date))
	if err != nil {
		t.Fatal(err)
	}
	return res
}

func option(t *testing.T, r sizing.Result, label sizing.Label) sizing.Option {
	t.Helper()
	i := slices.IndexFunc(r.Options, func(o sizing.Option) bool { return o.Label == label })
	if i < 0 {
		t.Fatalf("no option %s", label)
	}
	return r.Options[i]
}

// then is the first option at the hour asked.
func then(r sizing.Result) sizing.Option {
	return r.Options[slices.IndexFunc(r.Options, func(o sizing.Option) bool { return o.Label != sizing.LabelOtherHour })]
}

// noted is the first note of a kind in an option.
func noted[N finding.Note](o sizing.Option) (note N, ok bool) {
	for _, n := range o.Notes {
		if note, ok = n.(N); ok {
			return note, true
		}
	}
	return note, false
}

// has reports whether an option has a note of a kind.
func has[N finding.Note](o sizing.Option) bool {
	_, ok := noted[N](o)
	return ok
}
