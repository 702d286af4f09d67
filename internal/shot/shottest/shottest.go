// Package shottest has shots for tests.
package shottest

import (
	"testing"

	"kitspan/internal/shot"
)

// Bare returns a draft of what is required and no more.
func Bare() shot.Draft {
	return shot.Draft{
		Site:    shot.DraftSite{LatitudeDeg: new(38.6935), LongitudeDeg: new(-9.2057), TimeZone: new("Europe/Lisbon")},
		Window:  shot.DraftWindow{Date: new("2027-06-18"), Start: new("16:30"), End: new("17:30")},
		Camera:  shot.DraftCamera{BearingDeg: new(262.0)},
		Framing: shot.DraftFraming{WidthM: new(3.0), DistanceM: new(5.0)},
	}
}

// Resolve resolves a draft that must have no faults.
func Resolve(tb testing.TB, d shot.Draft) shot.Shot {
	tb.Helper()
	s, faults := d.Resolve()
	if len(faults) > 0 {
		tb.Fatalf("faults: %v", faults)
	}
	return s
}
