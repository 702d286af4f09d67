package sizing

import (
	"testing"

	"kitspan/internal/shot"
)

func ptr[T any](v T) *T { return &v }

// bare is a draft of what is required and no more.
func bare() shot.Draft {
	return shot.Draft{
		Site:    shot.DraftSite{LatitudeDeg: ptr(38.6935), LongitudeDeg: ptr(-9.2057), TimeZone: ptr("Europe/Lisbon")},
		Window:  shot.DraftWindow{Date: ptr("2027-06-18"), Start: ptr("16:30"), End: ptr("17:30")},
		Camera:  shot.DraftCamera{BearingDeg: ptr(262.0)},
		Framing: shot.DraftFraming{WidthM: ptr(3.0), DistanceM: ptr(5.0)},
	}
}

func mustResolve(t *testing.T, d shot.Draft) shot.Shot {
	t.Helper()
	s, faults := d.Resolve()
	if len(faults) > 0 {
		t.Fatalf("faults: %v", faults)
	}
	return s
}
