package light

import (
	"math"
	"testing"

	"kitspan/internal/geom"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %v, want %v within %v", what, got, want, tolerance)
	}
}

// TestEV100AgainstPrintedLevels uses E = 2.5 · 2^EV, printed for C = 250 (the Wikipedia article on exposure value, in the copy
// at liquisearch), and sunny-16 computed from N²/t = E·S/C.
func TestEV100AgainstPrintedLevels(t *testing.T) {
	for ev, lux := range map[float64]float64{-1: 1.25, 0: 2.5, 5: 80, 8: 640, 10: 2560, 12: 10240, 13: 20480,
		14: 40960, 15: 81920, 16: 163840, 14.643856: 64000, 14.965784: 80000} {
		near(t, "EV100", EV100(lux), ev, 5e-7)
		near(t, "lux", LuxOfEV100(ev)/lux, 1, 5e-7)
	}
	if !math.IsInf(EV100(0), -1) {
		t.Errorf("darkness is EV %v", EV100(0))
	}
}

// TestSettings uses the shutter times of the trade (180° at 24 is 1/48 s; 172.8° at 24 and 150° at 25 exactly 1/50 and
// 1/60 s) and sunny-16: ISO 100, f/16, 1/100 s is EV 14.643856.
func TestSettings(t *testing.T) {
	for _, test := range []struct{ fps, angle, perSecond float64 }{
		{24, 180, 48}, {24, 172.8, 50}, {24, 144, 60}, {25, 150, 60}, {24, 90, 96}, {48, 180, 96}, {24000.0 / 1001, 180, 47.95205},
	} {
		near(t, "1/shutter", 1/Exposure{FrameRateFPS: test.fps, ShutterAngleDeg: test.angle}.ShutterS(), test.perSecond, 5e-6)
	}
	sunny16 := Exposure{ISO: 100, FrameRateFPS: 50, ShutterAngleDeg: 180, TStop: 16}
	near(t, "sunny 16", sunny16.EV100(), 14.643856, 5e-7)
	near(t, "sunny 16 under 64 000 lx", sunny16.NDStops(64000, 0), 0, 1e-9)
	// An f/2.0 lens that passes 0.80 is T2.23607, a third of a stop (0.32193) darker.
	f2, t2 := sunny16, sunny16
	f2.TStop, t2.TStop = 2, 2.23607
	near(t, "T-stop", t2.EV100()-f2.EV100(), 0.32193, 5e-6)
}

func TestNDStopsSigns(t *testing.T) {
	e := Exposure{ISO: 800, FrameRateFPS: 25, ShutterAngleDeg: 180, TStop: 2.8}
	// By hand: 2.8² / (1/50) · 100/800 = 49, log2 49 = 5.6147; 81 920 lx is EV 15.
	near(t, "sun", e.NDStops(81920, 0), 15-5.6147098, 1e-6)
	near(t, "a background one stop over mid grey takes a stop less", e.NDStops(81920, 1), 14-5.6147098, 1e-6)
	near(t, "a background one stop under takes a stop more", e.NDStops(81920, -1), 16-5.6147098, 1e-6)
	if dark := e.NDStops(80, 0); dark >= 0 { // EV 5 is darker than the setting's 5.61
		t.Errorf("a room of 80 lx takes %v stops of density", dark)
	}
	twice := e
	twice.ISO *= 2
	near(t, "twice the ISO takes a stop more", twice.NDStops(5000, 0)-e.NDStops(5000, 0), 1, 1e-12)
}

// TestDensity uses D = −log10 T: the engraved 0.3 is 0.996578 of a stop, 0.9 is 2.989735, 3.0 is 9.965784, and one stop
// exactly is 0.301030.
func TestDensity(t *testing.T) {
	for density, stops := range map[float64]float64{0.1: 0.332193, 0.3: 0.996578, 0.6: 1.993157, 0.9: 2.989735, 1.8: 5.979471,
		3: 9.965784, 0.301030: 1} {
		near(t, "density", NDDensity(stops), density, 5e-7)
	}
	if got := NDDensity(-2); got != 0 {
		t.Errorf("missing light has density %v", got)
	}
}

func TestReferenceAndStops(t *testing.T) {
	near(t, "mid grey is its own reference", ReferenceLx(50000, MidGrey), 50000, 1e-9)
	near(t, "white ground", Stops(ReferenceLx(50000, 0.72), 50000), 2, 1e-12) // 0.72 is four times 0.18
	// Transmittances in stops: 0.7, 0.5, 0.25 and 0.1 are 0.51457, 1, 2 and 3.32193.
	for transmittance, stops := range map[float64]float64{0.7: 0.51457, 0.5: 1, 0.25: 2, 0.1: 3.32193} {
		near(t, "stops", Stops(transmittance, 1), -stops, 5e-6)
	}
}

// TestGroundsAreVisibleNotBroadband holds each word against what is known of it from outside: photometric or visible
// ranges where there are any, else a share of the solar (broadband) albedo of pvlib's table.
func TestGroundsAreVisibleNotBroadband(t *testing.T) {
	ranges := map[string][2]float64{
		"grass":    {0.05, 0.10}, // visible, from memory
		"soil":     {0.05, 0.17}, // below the broadband 0.17
		"sand":     {0.20, 0.40}, // below the broadband 0.40
		"concrete": {0.20, 0.30}, // photometric, DIAL knowledge base
		"asphalt":  {0.05, 0.12}, // at most the broadband 0.12
		"snow":     {0.75, 0.95}, // over the broadband 0.75 of fresh snow, 0.90 and more from memory
		"water":    {0.02, 0.10}, // the sea's broadband 0.06, nearly grey
	}
	if len(Grounds()) != len(ranges) {
		t.Errorf("grounds %v", Grounds())
	}
	for _, word := range Grounds() {
		got, ok := GroundReflectance(word)
		if want, known := ranges[word]; !ok || !known || got < want[0] || got > want[1] {
			t.Errorf("%s: %v, want within %v", word, got, want)
		}
	}
	if _, ok := GroundReflectance("lava"); ok {
		t.Error("lava has a reflectance")
	}
}

// TestUprightFaceSeesHalfTheSkyAndHalfTheGround: by the view factors of Liu & Jordan at 90°, and as the exact scene without panels has it.
func TestUprightFaceSeesHalfTheSkyAndHalfTheGround(t *testing.T) {
	const skyLx, levelLx, ground = 12000, 80000, 0.2
	near(t, "by hand", UprightLx(skyLx, levelLx, ground), 6000+8000, 1e-9)
	sun := Hard{Dir: geom.Toward(180, 40), NormalLx: (levelLx - skyLx) / math.Sin(40*math.Pi/180)}
	lit := Light(&Scene{SkyLx: skyLx, GroundReflectance: ground, Hard: []Hard{sun}})
	away := lit.Face(geom.Vec{Z: 1.5}, geom.Toward(0, 0))
	near(t, "turned from the sun", away.Total(), UprightLx(skyLx, levelLx, ground), 1e-6)
	toward := lit.Face(geom.Vec{Z: 1.5}, geom.Toward(180, 0))
	near(t, "turned to the sun", toward.Total()-away.Total(), sun.NormalLx*math.Cos(40*math.Pi/180), 1e-6)
}

// TestSkyReference: a sky of 0.18·10000/π cd/m² is as bright as mid grey under 10,000 lx; an isotropic sky of luminance L gives π·L.
func TestSkyReference(t *testing.T) {
	near(t, "sky", SkyReferenceLx(0.18*10000), 10000, 1e-9)
}

// TestTradeND: 0.3 a stop and thirds, as assistants ask for it (common practice, no source).
func TestTradeND(t *testing.T) {
	for _, tc := range []struct {
		stops, engraved float64
		thirds          int
	}{
		{9.3, 2.7, 1}, {9.32, 2.7, 1}, {1, 0.3, 0}, {2, 0.6, 0}, {0.3, 0, 1}, {0.6, 0, 2}, {0.9, 0.3, 0}, {7.12, 2.1, 0}, {5.66, 1.5, 2}, {0.1, 0, 0}, {-2, 0, 0},
	} {
		if engraved, thirds := TradeND(tc.stops); engraved != tc.engraved || thirds != tc.thirds {
			t.Errorf("%.2f stops: ND %v and %d thirds, want %v and %d", tc.stops, engraved, thirds, tc.engraved, tc.thirds)
		}
	}
}
