package shot

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/bojanz/currency"
	"github.com/google/go-cmp/cmp"

	"kitspan/internal/fault"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
)

func ptr[T any](v T) *T { return &v }

// bare is a draft of what is required and no more.
func bare() Draft {
	return Draft{
		Site:    DraftSite{LatitudeDeg: ptr(38.6935), LongitudeDeg: ptr(-9.2057), TimeZone: ptr("Europe/Lisbon")},
		Window:  DraftWindow{Date: ptr("2027-06-18"), Start: ptr("16:30"), End: ptr("17:30")},
		Camera:  DraftCamera{BearingDeg: ptr(262.0)},
		Framing: DraftFraming{WidthM: ptr(3.0), DistanceM: ptr(5.0)},
	}
}

func mustResolve(t *testing.T, d Draft) Shot {
	t.Helper()
	s, faults := d.Resolve()
	if len(faults) > 0 {
		t.Fatalf("faults: %v", faults)
	}
	return s
}

func TestEveryDefaultIsThatOfTheContract(t *testing.T) {
	s := mustResolve(t, bare())
	s.Window.From, s.Window.To = s.Window.From.UTC(), s.Window.To.UTC()
	want := Shot{ // contract.md, table of the request
		Site: Site{LatitudeDeg: 38.6935, LongitudeDeg: -9.2057, PressureHPa: 1013.25, TemperatureC: 15,
			TimeZone: "Europe/Lisbon", Ground: "concrete", GroundReflectance: s.Site.GroundReflectance},
		Window:     s.Window,
		Sky:        Sky{Condition: "clear"},
		Camera:     Camera{BearingDeg: 262, HeightM: 1.5, AimHeightM: 1.5},
		Framing:    Framing{WidthM: 3, DistanceM: 5, AspectRatio: 1.7778},
		Zone:       Zone{WidthM: 3, DepthM: 1, BaseM: 1.5 - 3/(2*1.7778), TopM: 1.85},
		Look:       Look{Soften: "required", KeySide: s.Look.KeySide, KeyStops: 1, ContrastStops: 1.5, BackStops: ptr(0.5), Back: "preferred", SoftDeg: 5, Colour: "neutral"},
		Background: Background{Faces: "upright", Reflectance: 0.18},
		Exposure:   Exposure{800, 25, 180, 2.8},
		Allowance:  Allowance{0.15, 0.10, 2.1, 15, 30},
		GustMS:     8, GroundAnchor: "ballast", SafetyFactor: 1.5, Prefer: "smallest",
		Supply: Supply{At: geom.Vec{X: 5 * math.Sin(82*math.Pi/180), Y: 5 * math.Cos(82*math.Pi/180)}, Volts: 230, CircuitA: 16}, // at the lens
	}
	if diff := cmp.Diff(want, s, closely); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if g := s.Site.GroundReflectance; g < 0.20 || g > 0.30 { // raw concrete 20 to 30 %, DIAL knowledge base
		t.Errorf("concrete reflects %v", g)
	}
}

// closely compares numbers to a relative 1e-12: the same formula written differently.
var closely = cmp.Comparer(func(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b))
})

func TestResolvedValues(t *testing.T) {
	tests := []struct {
		name   string
		change func(*Draft)
		got    func(Shot) any
		want   any
	}{
		{"the aim is the middle of a zone of known base and top",
			func(d *Draft) { d.Zone.BaseM, d.Zone.TopM = ptr(0.6), ptr(1.8) },
			func(s Shot) any { return s.Camera.AimHeightM }, 1.2},
		{"a lens is level where the zone has a top alone",
			func(d *Draft) { d.Zone.TopM, d.Camera.HeightM = ptr(1.8), ptr(1.1) },
			func(s Shot) any { return s.Camera.AimHeightM }, 1.1},
		{"a given aim stands over the middle of the zone",
			func(d *Draft) { d.Zone.BaseM, d.Zone.TopM, d.Camera.AimHeightM = ptr(0.6), ptr(1.8), ptr(0.9) },
			func(s Shot) any { return s.Camera.AimHeightM }, 0.9},
		{"36 mm of sensor at 50 mm and 5 m are 3.6 m wide", // checks.md section 9
			func(d *Draft) {
				d.Framing = DraftFraming{DistanceM: ptr(5.0), FocalLengthMM: ptr(50.0), SensorWidthMM: ptr(36.0)}
			},
			func(s Shot) any { return s.Framing.WidthM }, 3.6},
		{"a lens that looks down measures along its axis", // 3-4-5 triangle: D = 5 at 4 m, 3 m up
			func(d *Draft) {
				d.Camera.HeightM, d.Camera.AimHeightM = ptr(4.0), ptr(1.0)
				d.Framing = DraftFraming{DistanceM: ptr(4.0), FocalLengthMM: ptr(50.0), SensorWidthMM: ptr(36.0)}
			},
			func(s Shot) any { return s.Framing.WidthM }, 3.6},
		{"the zone is as wide as what the lens sees",
			func(d *Draft) {
				d.Framing = DraftFraming{DistanceM: ptr(5.0), FocalLengthMM: ptr(50.0), SensorWidthMM: ptr(36.0)}
			},
			func(s Shot) any { return s.Zone.WidthM }, 3.6},
		{"the zone ends where the view does", // level: 1.5 ± 0.9/2
			func(d *Draft) { d.Framing.WidthM, d.Framing.AspectRatio = ptr(0.45), ptr(1.0) },
			func(s Shot) any { return [2]float64{s.Zone.BaseM, s.Zone.TopM} }, [2]float64{1.275, 1.725}},
		{"a tilted view ends on the vertical through the origin, not across the axis",
			// The lens 2 m up looks at the ground 2 m off: axis 45° down, half-angle atan(1/2) by W = 2·D/2 at aspect 1.
			// Edges at tan(45° ∓ 26.565°) = 1/3 and 3 down: from 2 − 6 to 2 − 2/3.
			func(d *Draft) {
				d.Camera.HeightM, d.Camera.AimHeightM = ptr(2.0), ptr(0.0)
				d.Framing = DraftFraming{WidthM: ptr(2 * math.Sqrt2), DistanceM: ptr(2.0), AspectRatio: ptr(1.0)}
			},
			func(s Shot) any { return [2]float64{s.Zone.BaseM, s.Zone.TopM} }, [2]float64{0, 2 - 2.0/3}},
		{"a view past the zenith ends nowhere",
			func(d *Draft) {
				d.Camera.HeightM, d.Camera.AimHeightM = ptr(0.1), ptr(3.0)
				d.Framing = DraftFraming{WidthM: ptr(8.0), DistanceM: ptr(1.0), AspectRatio: ptr(1.0)}
			},
			func(s Shot) any { return s.Zone.TopM }, 1.85},
		{"head room over a low zone follows its top",
			func(d *Draft) { d.Zone.BaseM, d.Zone.TopM = ptr(0.75), ptr(1.0) },
			func(s Shot) any { return s.Allowance.HeadM }, 1.3},
		{"head room over people is theirs",
			func(d *Draft) { d.Zone.BaseM, d.Zone.TopM = ptr(0.75), ptr(1.5) },
			func(s Shot) any { return s.Allowance.HeadM }, 2.1},
		{"a mean wind becomes a gust", // EN terrain II at 10 m: 1.52354, checks.md section 6.2
			func(d *Draft) { d.MeanWindMS = ptr(10.0) },
			func(s Shot) any { return math.Round(s.GustMS * 1e4) }, 152354.0},
		{"no wind is a wind",
			func(d *Draft) { d.GustMS = ptr(0.0) }, func(s Shot) any { return s.GustMS }, 0.0},
		{"a ground's number stands over its word, which stays",
			func(d *Draft) { d.Site.Ground, d.Site.GroundReflectance = ptr("snow"), ptr(0.5) },
			func(s Shot) any { return [2]any{s.Site.Ground, s.Site.GroundReflectance} }, [2]any{"snow", 0.5}},
		{"a ground's number alone has no word",
			func(d *Draft) { d.Site.GroundReflectance = ptr(0.0) },
			func(s Shot) any { return [2]any{s.Site.Ground, s.Site.GroundReflectance} }, [2]any{"", 0.0}},
		{"a bearing is brought into the circle",
			func(d *Draft) { d.Camera.BearingDeg = ptr(-98.0) }, func(s Shot) any { return s.Camera.BearingDeg }, 262.0},
		{"a full circle is north",
			func(d *Draft) { d.Camera.BearingDeg = ptr(360.0) }, func(s Shot) any { return s.Camera.BearingDeg }, 0.0},
		{"a hair under north is north",
			func(d *Draft) { d.Camera.BearingDeg = ptr(-1e-300) }, func(s Shot) any { return s.Camera.BearingDeg }, 0.0},
		{"the sun to the right puts the key to the left", // Lisbon's June afternoon sun stands near 265°, west
			func(d *Draft) { d.Camera.BearingDeg = ptr(200.0) }, func(s Shot) any { return s.Look.KeySide }, "left"},
		{"the sun to the left puts the key to the right",
			func(d *Draft) { d.Camera.BearingDeg = ptr(330.0) }, func(s Shot) any { return s.Look.KeySide }, "right"},
		{"the sun behind the camera's right shoulder is on the right",
			func(d *Draft) { d.Camera.BearingDeg = ptr(110.0) }, func(s Shot) any { return s.Look.KeySide }, "left"},
		{"north of the line the sun is on the left although the bearing is small",
			func(d *Draft) { d.Camera.BearingDeg = ptr(10.0) }, func(s Shot) any { return s.Look.KeySide }, "right"},
		{"under a roof the key is to the left",
			func(d *Draft) { d.Camera.BearingDeg, d.Site.Roofed = ptr(330.0), ptr(true) },
			func(s Shot) any { return s.Look.KeySide }, "left"},
		{"an asked side stays",
			func(d *Draft) { d.Camera.BearingDeg, d.Look.KeySide = ptr(330.0), ptr("left") },
			func(s Shot) any { return s.Look.KeySide }, "left"},
		{"a measured background keeps the reflectance beside it",
			func(d *Draft) { d.Background.EV100 = ptr(14.0) },
			func(s Shot) any { return [2]float64{s.Background.Reflectance, *s.Background.EV100} }, [2]float64{0.18, 14}},
		{"a further zone has the main zone's level where it has none",
			func(d *Draft) {
				d.Look.KeyStops = ptr(-1.0)
				d.OtherZones = []DraftOtherZone{{Label: ptr("band"), CenterM: []float64{-8, 0}, WidthM: ptr(2.0)}}
			},
			func(s Shot) any { return s.OtherZones[0] },
			OtherZone{Label: "band", CenterX: -8, WidthM: 2, DepthM: 1, TopM: 1.85, KeyStops: -1}},
		{"a lamp by direction and a lamp by position",
			func(d *Draft) {
				d.Lamps = []DraftLamp{
					{Label: ptr("mast"), AzimuthDeg: ptr(-90.0), ElevationDeg: ptr(30.0), IlluminanceLx: ptr(400.0)},
					{Label: ptr("wall"), PositionM: []float64{3, 4, 5}, IntensityCd: ptr(9e4), AngularRadiusDeg: ptr(0.5)},
				}
			},
			func(s Shot) any { return s.Lamps },
			[]Lamp{{Label: "mast", AzimuthDeg: 270, ElevationDeg: 30, IlluminanceLx: 400},
				{Label: "wall", Position: &geom.Vec{X: 3, Y: 4, Z: 5}, IntensityCd: 9e4, AngularRadiusDeg: 0.5}}},
		{"zones that touch do not overlap", // the lens looks west: the zone reaches 0.5 m along x
			func(d *Draft) {
				d.Camera.BearingDeg = ptr(270.0)
				d.OtherZones = []DraftOtherZone{{Label: ptr("next"), CenterM: []float64{-1, 0}, WidthM: ptr(1.0)}}
			},
			func(s Shot) any { return len(s.OtherZones) }, 1},
		{"a zone above another does not overlap it",
			func(d *Draft) {
				d.OtherZones = []DraftOtherZone{{Label: ptr("balcony"), CenterM: []float64{0, 0}, WidthM: ptr(2.0),
					BaseM: ptr(3.0), TopM: ptr(5.0)}}
			},
			func(s Shot) any { return len(s.OtherZones) }, 1},
		{"less sun than sky is taken, with a note",
			func(d *Draft) { d.Sky.SunLx, d.Sky.SkyLx = ptr(5000.0), ptr(12000.0) },
			func(s Shot) any {
				return [3]any{*s.Sky.SunLx, *s.Sky.SkyLx, len(s.Notes) == 1 && s.Notes[0] == finding.Note(finding.SunUnderSky{SunLx: 5000, SkyLx: 12000})}
			}, [3]any{5000.0, 12000.0, true}},
		{"readings under a roof are not used, with a note",
			func(d *Draft) { d.Site.Roofed, d.Sky.SunLx = ptr(true), ptr(5000.0) },
			func(s Shot) any { return len(s.Notes) == 1 && s.Notes[0] == finding.Note(finding.ReadingsUnderRoof{}) }, true},
		{"a supply of one's own", func(d *Draft) { d.Supply = DraftSupply{[]float64{1, 2}, ptr(110.0), ptr(20.0), ptr(true)} },
			func(s Shot) any { return s.Supply }, Supply{geom.Vec{X: 1, Y: 2}, 110, 20, true}},
		{"a number too near 0 to mean anything is 0", func(d *Draft) { d.Zone.BaseM, d.Site.ElevationM = ptr(1e-320), ptr(-1e-12) },
			func(s Shot) any { return [2]float64{s.Zone.BaseM, s.Site.ElevationM} }, [2]float64{0, 0}},
		{"limits pass through",
			func(d *Draft) { d.Limits = DraftLimits{Crew: ptr(6), PricePerDay: ptr(amount(t, "900.00", "EUR"))} },
			func(s Shot) any { return [2]any{*s.Limits.Crew, s.Limits.PricePerDay.String()} }, [2]any{6, "900.00 EUR"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d := bare()
			test.change(&d)
			if diff := cmp.Diff(test.want, test.got(mustResolve(t, d)), closely); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
}

func amount(t *testing.T, number, code string) currency.Amount {
	t.Helper()
	a, err := currency.NewAmount(number, code)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestStandardPressure(t *testing.T) {
	// US Standard Atmosphere 1976 / ISO 2533 table by geopotential height, hPa, from memory.
	for elevation, want := range map[float64]float64{0: 1013.25, 1000: 898.75, 2000: 794.95, 5000: 540.20} {
		if got := standardPressureHPa(elevation); math.Abs(got-want) > 0.05 {
			t.Errorf("%v m: %v hPa, want %v", elevation, got, want)
		}
	}
	for _, elevation := range []float64{elevationBound.lo, elevationBound.hi} {
		if p := standardPressureHPa(elevation); !pressureBound.holds(p) {
			t.Errorf("%v m: %v hPa could not be sent back", elevation, p)
		}
	}
}

func TestGustFactorAgainstThePublishedProfile(t *testing.T) {
	// EN 1991-1-4 terrain II, checks.md section 6.2: I_v(10 m) = 0.188739, ratio 1.52354.
	one := bare()
	one.MeanWindMS = ptr(1.0)
	gustPerMean := mustResolve(t, one).GustMS
	if got := math.Sqrt(1 + 7*0.188739); math.Abs(gustPerMean-got) > 1e-5 || math.Abs(gustPerMean-1.52354) > 1e-5 {
		t.Errorf("gust over mean %v", gustPerMean)
	}
	// Lower down the gust is a smaller multiple of the mean at 10 m: c_r and ratio of the same table at 2 and 4 m.
	for height, row := range map[int][2]float64{2: {0.700887, 1.70223}, 4: {0.832585, 1.61166}} {
		if over10 := row[0] / 1.006680 * row[1]; over10 >= gustPerMean {
			t.Errorf("at %d m the gust is %v times the mean at 10 m: the factor is not on the safe side", height, over10)
		}
	}
	if top := meanWindBound.hi * gustPerMean; !gustBound.holds(top) {
		t.Errorf("a mean of %v gives a gust of %v that could not be sent back", meanWindBound.hi, top)
	}
}

func TestExamplesResolve(t *testing.T) {
	for _, file := range exampleFiles(t) {
		s, faults := readExample(t, file).Resolve()
		if len(faults) > 0 || len(s.Notes) > 0 {
			t.Errorf("%s: faults %v, notes %v", file, faults, s.Notes)
			continue
		}
		if s.Window.From.Year() != 2027 || s.Window.From.Month() != 6 {
			t.Errorf("%s: on %s, the job is in June 2027", file, s.Window.From)
		}
		if s.Site.Roofed {
			continue
		}
		// The scheme: the sun behind the subject, above the picture's top edge all the window. In a long afternoon it goes round further.
		mostAside := 45.0
		if s.Window.To.Sub(s.Window.From) > 3*time.Hour {
			mostAside = 50
		}
		p, q := (s.Camera.AimHeightM-s.Camera.HeightM)/s.Framing.DistanceM,
			s.Framing.WidthM/(2*math.Hypot(s.Framing.DistanceM, s.Camera.AimHeightM-s.Camera.HeightM)*s.Framing.AspectRatio)
		edgeDeg := (math.Atan(p) + math.Atan(q)) * 180 / math.Pi
		for at := s.Window.From; !at.After(s.Window.To); at = at.Add(5 * 60e9) {
			sunAt := sunPosition(s.Site, at)
			if aside := math.Abs(math.Remainder(sunAt.AzimuthDeg-s.Camera.BearingDeg, 360)); aside > mostAside {
				t.Errorf("%s: at %s the sun is %.0f° aside", file, at, aside)
			}
			if sunAt.ElevationDeg < edgeDeg+5 {
				t.Errorf("%s: at %s the sun is at %.1f°, the picture's top at %.1f°", file, at, sunAt.ElevationDeg, edgeDeg)
			}
		}
	}
}

func pointers(faults []fault.Fault) []string {
	var list []string
	for _, f := range faults {
		list = append(list, f.Pointer)
	}
	return list
}

func TestAnEmptyDraftNamesAllThatIsMissing(t *testing.T) {
	s, faults := Draft{}.Resolve()
	want := []string{
		"/shot/site/latitude_deg", "/shot/site/longitude_deg", "/shot/site/time_zone",
		"/shot/window/date", "/shot/window/start", "/shot/window/end",
		"/shot/camera/bearing_deg", "/shot/framing/width_m", "/shot/framing/distance_m",
	}
	if diff := cmp.Diff(want, pointers(faults)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	for _, f := range faults {
		if !strings.Contains(Said(f), "is missing") || !strings.Contains(Said(f), "; give ") {
			t.Errorf("%s: %q does not say what is missing and what to give", f.Pointer, Said(f))
		}
	}
	if !cmp.Equal(s, Shot{}) {
		t.Errorf("a faulty draft made %+v", s)
	}
}

func TestFaultsStandInTheOrderOfTheRequest(t *testing.T) {
	nan := ptr(math.NaN())
	d := Draft{
		Site: DraftSite{LatitudeDeg: nan, LongitudeDeg: nan, ElevationM: nan, PressureHPa: nan, TemperatureC: nan,
			TimeZone: ptr("Mars/Olympus"), Ground: ptr("lava"), GroundReflectance: nan, Anchors: make([]DraftAnchor, 1)},
		Window:       DraftWindow{Date: ptr("2027-02-30"), Start: ptr("9:00"), End: ptr("24:00"), EndDate: ptr("soon")},
		Sky:          DraftSky{Condition: ptr("sunny"), SunLx: nan, SkyLx: nan},
		Camera:       DraftCamera{BearingDeg: nan, HeightM: nan, AimHeightM: nan},
		Framing:      DraftFraming{WidthM: nan, DistanceM: nan, AspectRatio: nan, FocalLengthMM: nan},
		Zone:         DraftZone{nan, nan, nan, nan},
		Look:         DraftLook{ptr("maybe"), ptr("top"), nan, nan, nan, nan, ptr("perhaps"), nan, ptr("pink"), false},
		OtherZones:   []DraftOtherZone{{WidthM: nan}},
		Background:   DraftBackground{nil, nan, nan, nan},
		Exposure:     DraftExposure{nan, nan, nan, nan},
		Allowance:    DraftAllowance{nan, nan, nan, nan, nan},
		GroundAnchor: ptr("hope"), GustMS: nan, MeanWindMS: nan, SafetyFactor: nan,
		Lamps: []DraftLamp{{}}, Forecast: make([]DraftForecastRow, 1),
		Limits: DraftLimits{Crew: ptr(0), PricePerDay: ptr(amount(t, "-1.00", "EUR"))},
		Prefer: ptr("best"),
	}
	_, faults := d.Resolve()
	var places []string
	for _, f := range faults {
		if !pointsAtField(f.Pointer) {
			t.Errorf("%s is no field of a request", f.Pointer)
		}
		if parts := strings.Split(f.Pointer, "/"); parts[1] == "shot" {
			places = append(places, parts[2])
		} else {
			places = append(places, parts[1])
		}
	}
	want := []string{"site", "window", "sky", "camera", "framing", "zone", "look", "other_zones", "background",
		"exposure", "allowance", "ground_anchor", "gust_ms", "mean_wind_ms", "safety_factor", "lamps", "forecast", "limits", "prefer"}
	if diff := cmp.Diff(want, slices.Compact(places)); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	// Every field above is wrong once, in the order of want; a further zone lacks its label and centre too, a lamp its
	// label and its place, a fixed point and a row of the forecast all they have.
	if want := (8 + 3) + 4 + 3 + 3 + 4 + 4 + 9 + 3 + 3 + 4 + 5 + 1 + 1 + 1 + 1 + 2 + 2 + 2 + 1; len(faults) != want {
		t.Errorf("%d faults, want %d:\n%s", len(faults), want, strings.Join(pointers(faults), "\n"))
	}
}
