package sun

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestArcAgreesWithAt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		site := drawSite(t)
		from := drawTime(t, 1850, 2250)
		span := time.Duration(rapid.Int64Range(0, int64(80*time.Hour)).Draw(t, "span"))
		a := NewArc(from, from.Add(span), site)
		if rapid.Bool().Draw(t, "reversed") {
			a = NewArc(from.Add(span), from, site)
		}
		// Within the span, and up to a tenth beyond it at either end.
		for _, f := range []float64{0, 1, rapid.Float64Range(-0.1, 1.1).Draw(t, "f")} {
			at := from.Add(time.Duration(f * float64(span)))
			got, want := a.At(at), At(at, site)
			if d := separationDeg(got, want); !(d <= 1e-6) {
				t.Fatalf("at %v: %.9f° apart\narc %+v\nAt  %+v", at, d, got, want)
			}
			if !(math.Abs(got.DistanceAU-want.DistanceAU) <= 1e-8) {
				t.Fatalf("distance %v, At %v", got.DistanceAU, want.DistanceAU)
			}
			lift := (got.ElevationDeg - got.TrueElevationDeg) - (want.ElevationDeg - want.TrueElevationDeg)
			atHorizon := math.Abs(want.TrueElevationDeg+discRadiusDeg+horizonRefractionDeg) < 1e-6
			if !atHorizon && !(math.Abs(lift) <= 1e-6) {
				t.Fatalf("refraction differs by %g", lift)
			}
		}
	})
}

// The sun's right ascension passes ±180° at the September equinox.
func TestArcAcrossTheWrapOfRightAscension(t *testing.T) {
	from := utc(t, "2027-09-21T00:00:00Z")
	a := NewArc(from, from.Add(72*time.Hour), nrelSite)
	for h := range 73 {
		at := from.Add(time.Duration(h) * time.Hour)
		if d := separationDeg(a.At(at), At(at, nrelSite)); !(d <= 1e-6) {
			t.Fatalf("%v: %g° apart", at, d)
		}
	}
}

var sink Position

func BenchmarkAt(b *testing.B) {
	at := utc(b, "2027-06-18T15:30:00Z")
	for b.Loop() {
		sink = At(at, nrelSite)
	}
}

func BenchmarkNewArcHour(b *testing.B) {
	at := utc(b, "2027-06-18T15:30:00Z")
	for b.Loop() {
		sink = NewArc(at, at.Add(time.Hour), nrelSite).At(at)
	}
}

func BenchmarkNewArcDay(b *testing.B) {
	at := utc(b, "2027-06-18T15:30:00Z")
	for b.Loop() {
		sink = NewArc(at, at.Add(24*time.Hour), nrelSite).At(at)
	}
}

func BenchmarkArcAt(b *testing.B) {
	at := utc(b, "2027-06-18T15:30:00Z")
	a := NewArc(at, at.Add(24*time.Hour), nrelSite)
	step := 0
	for b.Loop() {
		step = (step + 1) % 1440
		sink = a.At(at.Add(time.Duration(step) * time.Minute))
	}
}

func BenchmarkDayOf(b *testing.B) {
	for b.Loop() {
		DayOf(2027, time.June, 18, time.UTC, nrelSite)
	}
}
