package shot

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/bojanz/currency"
	"github.com/google/go-cmp/cmp"

	"kitspan/internal/fault"
)

func TestFaults(t *testing.T) {
	lampAt := func(x, y, z float64) DraftLamp {
		return DraftLamp{Label: ptr("wall"), PositionM: []float64{x, y, z}, IntensityCd: ptr(1e5)}
	}
	zoneAt := func(label string, x, y float64) DraftOtherZone {
		return DraftOtherZone{Label: &label, CenterM: []float64{x, y}, WidthM: ptr(2.0)}
	}
	tests := []struct {
		name   string
		change func(*Draft)
		want   map[string]string // pointer → what the sentence must hold
	}{
		{"a latitude past the pole", func(d *Draft) { d.Site.LatitudeDeg = ptr(90.5) },
			map[string]string{"/shot/site/latitude_deg": "is 90.5, out of range; give a value from -90 to 90 degrees"}},
		{"a longitude past the date line", func(d *Draft) { d.Site.LongitudeDeg = ptr(-180.1) },
			map[string]string{"/shot/site/longitude_deg": "from -180 to 180"}},
		{"a number that is none", func(d *Draft) { d.Site.ElevationM = ptr(math.NaN()) },
			map[string]string{"/shot/site/elevation_m": "is NaN, not a finite number; give a value from -500 to 9000 m"}},
		{"a number without end", func(d *Draft) { d.Framing.DistanceM = ptr(math.Inf(1)) },
			map[string]string{"/shot/framing/distance_m": "is +Inf, not a finite number"}},
		{"a huge number", func(d *Draft) { d.Camera.HeightM = ptr(1e300) },
			map[string]string{"/shot/camera/height_m": "is 1e+300, out of range"}},
		{"a width too small to divide by", func(d *Draft) { d.Framing.WidthM = ptr(1e-320) },
			map[string]string{"/shot/framing/width_m": "is 1e-320, which counts as 0 and is out of range; give a value over 0"}},
		{"a lens height next to nothing", func(d *Draft) { d.Camera.HeightM = ptr(9e-10) },
			map[string]string{"/shot/camera/height_m": "is 9e-10, which counts as 0"}},
		{"thin air", func(d *Draft) { d.Site.PressureHPa = ptr(101.3) },
			map[string]string{"/shot/site/pressure_hpa": "from 300 to 1100 hPa"}},
		{"a frost beyond any", func(d *Draft) { d.Site.TemperatureC = ptr(-91.0) },
			map[string]string{"/shot/site/temperature_c": "from -90 to 60"}},
		{"an unknown zone", func(d *Draft) { d.Site.TimeZone = ptr("Europe/Lisboa") },
			map[string]string{"/shot/site/time_zone": `"Europe/Lisboa", which is no known zone; give an IANA zone name such as Europe/Lisbon`}},
		{"the machine's own zone", func(d *Draft) { d.Site.TimeZone = ptr("Local") },
			map[string]string{"/shot/site/time_zone": "another zone on every machine; give an IANA"}},
		{"an empty zone", func(d *Draft) { d.Site.TimeZone = ptr("") },
			map[string]string{"/shot/site/time_zone": "give an IANA"}},
		{"a zone that counts leap seconds", func(d *Draft) { d.Site.TimeZone = ptr("right/Europe/Lisbon") },
			map[string]string{"/shot/site/time_zone": "without that folder"}},
		{"a path for a zone", func(d *Draft) { d.Site.TimeZone = ptr("../../etc/passwd") },
			map[string]string{"/shot/site/time_zone": "no known zone"}},
		{"an unknown ground, listing the known", func(d *Draft) { d.Site.Ground = ptr("lawn") },
			map[string]string{"/shot/site/ground": `"lawn"; give one of grass, soil, sand, concrete, asphalt, snow, water`}},
		{"an unknown ground beside its number", func(d *Draft) { d.Site.Ground, d.Site.GroundReflectance = ptr("lawn"), ptr(0.1) },
			map[string]string{"/shot/site/ground": "give one of"}},
		{"a ground brighter than white", func(d *Draft) { d.Site.GroundReflectance = ptr(1.2) },
			map[string]string{"/shot/site/ground_reflectance": "from 0 to 1"}},
		{"an unknown sky", func(d *Draft) { d.Sky.Condition = ptr("sunny") },
			map[string]string{"/shot/sky/condition": `"sunny"; give one of clear, partly_cloudy, overcast`}},
		{"negative light", func(d *Draft) { d.Sky.SunLx = ptr(-1.0) },
			map[string]string{"/shot/sky/sun_lx": "from 0 to 200000 lx"}},
		{"a bearing twice around", func(d *Draft) { d.Camera.BearingDeg = ptr(720.0) },
			map[string]string{"/shot/camera/bearing_deg": "is 720, out of range; give a value from -360 to 360"}},
		{"a lens in the ground", func(d *Draft) { d.Camera.HeightM = ptr(0.0) },
			map[string]string{"/shot/camera/height_m": "over 0 and at most 60 m"}},
		{"an aim under ground", func(d *Draft) { d.Camera.AimHeightM = ptr(-0.1) },
			map[string]string{"/shot/camera/aim_height_m": "from 0 to 60 m"}},
		{"no width and no lens", func(d *Draft) { d.Framing.WidthM = nil },
			map[string]string{"/shot/framing/width_m": "is missing; give a value over 0 and at most 200 m, or focal_length_mm with sensor_width_mm"}},
		{"width and lens", func(d *Draft) { d.Framing.FocalLengthMM, d.Framing.SensorWidthMM = ptr(50.0), ptr(36.0) },
			map[string]string{"/shot/framing/focal_length_mm": "give width_m alone, or"}},
		{"width and sensor", func(d *Draft) { d.Framing.SensorWidthMM = ptr(36.0) },
			map[string]string{"/shot/framing/sensor_width_mm": "give width_m alone, or"}},
		{"a focal length without a sensor", func(d *Draft) { d.Framing.WidthM, d.Framing.FocalLengthMM = nil, ptr(50.0) },
			map[string]string{"/shot/framing/sensor_width_mm": "is missing; give"}},
		{"a sensor without a focal length", func(d *Draft) { d.Framing.WidthM, d.Framing.SensorWidthMM = nil, ptr(36.0) },
			map[string]string{"/shot/framing/focal_length_mm": "is missing; give"}},
		{"a lens too wide for its distance", // 400 m off, 36 mm at 10 mm see 1440 m; 200 m take 72 mm
			func(d *Draft) {
				d.Framing = DraftFraming{DistanceM: ptr(400.0), FocalLengthMM: ptr(10.0), SensorWidthMM: ptr(36.0)}
			},
			map[string]string{"/shot/framing/focal_length_mm": "shows 1440.0 m at the subject, wider than 200 m; give at least 72.0 mm"}},
		{"no width at all", func(d *Draft) { d.Framing.WidthM = ptr(0.0) },
			map[string]string{"/shot/framing/width_m": "is 0, out of range; give a value over 0 and at most 200 m"}},
		{"a negative width", func(d *Draft) { d.Framing.WidthM = ptr(-3.0) },
			map[string]string{"/shot/framing/width_m": "is -3, out of range"}},
		{"a lens on its subject", func(d *Draft) { d.Framing.DistanceM = ptr(0.0) },
			map[string]string{"/shot/framing/distance_m": "is 0, out of range; give a value from 0.01 to 500 m"}},
		{"a ribbon of a picture", func(d *Draft) { d.Framing.AspectRatio = ptr(5.1) },
			map[string]string{"/shot/framing/aspect_ratio": "from 0.2 to 5"}},
		{"a zone wider than a street", func(d *Draft) { d.Zone.WidthM = ptr(200.5) },
			map[string]string{"/shot/zone/width_m": "at most 200 m"}},
		{"a zone without depth", func(d *Draft) { d.Zone.DepthM = ptr(0.0) },
			map[string]string{"/shot/zone/depth_m": "over 0"}},
		{"a zone upside down", func(d *Draft) { d.Zone.BaseM, d.Zone.TopM = ptr(1.8), ptr(0.6) },
			map[string]string{"/shot/zone/top_m": "top_m is 0.6, not above base_m 1.8; give a top over that base"}},
		{"a zone in the sky", func(d *Draft) { d.Zone.TopM = ptr(61.0) },
			map[string]string{"/shot/zone/top_m": "at most 60 m"}},
		{"a view over everybody's head", func(d *Draft) { d.Camera.HeightM = ptr(9.0) },
			map[string]string{"/shot/zone/top_m": "from 8.16 to 9.84 m, shows nothing between the ground and a standing head of 1.85 m; give base_m and top_m"}},
		{"a top under the view", func(d *Draft) { d.Camera.HeightM, d.Zone.TopM = ptr(3.0), ptr(1.9) },
			map[string]string{"/shot/zone/top_m": "not above the base, which by default is the bottom of the view, 2.16 m; give a top over that, or a base_m"}},
		{"a base over a standing head", func(d *Draft) { d.Zone.BaseM = ptr(2.0) },
			map[string]string{"/shot/zone/top_m": "would be 1.85 m"}},
		{"an unknown wish", func(d *Draft) { d.Look.Soften = ptr("yes") },
			map[string]string{"/shot/look/soften": "give one of required, preferred, off"}},
		{"a colour that is none", func(d *Draft) { d.Look.Colour = ptr("gold") },
			map[string]string{"/shot/look/colour": `"gold"; give one of neutral, warm`}},
		{"an unknown side", func(d *Draft) { d.Look.KeySide = ptr("Left") },
			map[string]string{"/shot/look/key_side": `"Left"; give one of left, right, auto`}},
		{"levels out of reach", func(d *Draft) {
			d.Look.KeyStops, d.Look.ContrastStops, d.Look.NetStops, d.Look.BackStops = ptr(7.0), ptr(-1.0), ptr(4.5), ptr(-6.5)
		}, map[string]string{"/shot/look/key_stops": "from -6 to 6", "/shot/look/contrast_stops": "from 0 to 8",
			"/shot/look/net_stops": "from 0 to 4", "/shot/look/back_stops": "from -6 to 6"}},
		{"a black background", func(d *Draft) { d.Background.Reflectance = ptr(0.0) },
			map[string]string{"/shot/background/reflectance": "over 0 and at most 1"}},
		{"a background brighter than the sun", func(d *Draft) { d.Background.EV100 = ptr(26.0) },
			map[string]string{"/shot/background/ev100": "from -10 to 25"}},
		{"a camera that exposes nothing", func(d *Draft) { d.Exposure = DraftExposure{ptr(0.0), ptr(0.0), ptr(0.0), ptr(0.0)} },
			map[string]string{"/shot/exposure/iso": "from 1 to 1000000", "/shot/exposure/frame_rate_fps": "over 0",
				"/shot/exposure/shutter_angle_deg": "over 0 and at most 360", "/shot/exposure/t_stop": "from 0.5 to 128"}},
		{"negative margins", func(d *Draft) { d.Allowance = DraftAllowance{ptr(-0.1), ptr(5.1), ptr(-1.0), ptr(-1.0), ptr(200.5)} },
			map[string]string{"/shot/allowance/cover_m": "from 0 to 5 m", "/shot/allowance/view_m": "from 0 to 5 m",
				"/shot/allowance/head_m": "from 0 to 60 m", "/shot/allowance/ballast_kg": "from 0 to 100 kg", "/shot/allowance/ballast_high_kg": "from 0 to 100 kg"}},
		{"less ballast on high stands than by default on others", func(d *Draft) { d.Allowance.BallastHighKg = ptr(10.0) },
			map[string]string{"/shot/allowance/ballast_high_kg": "is 10, under ballast_kg, which is 15 by default; give at least 15 kg, or a lower ballast_kg"}},
		{"less ballast on high stands than on others", func(d *Draft) { d.Allowance.BallastKg, d.Allowance.BallastHighKg = ptr(40.0), ptr(35.0) },
			map[string]string{"/shot/allowance/ballast_high_kg": "is 35, under ballast_kg, which is 40; give at least 40 kg, or a lower ballast_kg"}},
		{"an unknown anchor", func(d *Draft) { d.GroundAnchor = ptr("screws") },
			map[string]string{"/shot/ground_anchor": "give one of ballast, stakes"}},
		{"a hurricane", func(d *Draft) { d.GustMS = ptr(41.0) },
			map[string]string{"/shot/gust_ms": "gust_ms is 41, out of range; give a value from 0 to 40 m/s"}},
		{"a mean beside a gust", func(d *Draft) { d.GustMS, d.MeanWindMS = ptr(8.0), ptr(5.0) },
			map[string]string{"/shot/mean_wind_ms": "beside gust_ms; give one of them"}},
		{"a mean that gusts too hard", func(d *Draft) { d.MeanWindMS = ptr(27.0) },
			map[string]string{"/shot/mean_wind_ms": "mean_wind_ms is 27, out of range; give a value from 0 to 26 m/s (a gust of 40 m/s)"}},
		{"no safety", func(d *Draft) { d.SafetyFactor = ptr(0.9) },
			map[string]string{"/shot/safety_factor": "from 1 to 5"}},
		{"a lamp without a name", func(d *Draft) { l := lampAt(5, 0, 5); l.Label = ptr(" "); d.Lamps = []DraftLamp{l} },
			map[string]string{"/shot/lamps/0/label": "give each of lamps a name of its own"}},
		{"a lamp called sun", func(d *Draft) { l := lampAt(5, 0, 5); l.Label = ptr("sun"); d.Lamps = []DraftLamp{l} },
			map[string]string{"/shot/lamps/0/label": `"sun", which is taken already`}},
		{"two lamps of one name", func(d *Draft) { d.Lamps = []DraftLamp{lampAt(5, 0, 5), lampAt(6, 0, 5)} },
			map[string]string{"/shot/lamps/1/label": `"wall", as at lamps[0]`}},
		{"a lamp by direction and position", func(d *Draft) { l := lampAt(5, 0, 5); l.AzimuthDeg = ptr(9.0); d.Lamps = []DraftLamp{l} },
			map[string]string{"/shot/lamps/0/position_m": "either azimuth_deg, elevation_deg and illuminance_lx, or position_m and intensity_cd"}},
		{"a lamp by direction with an intensity", func(d *Draft) {
			d.Lamps = []DraftLamp{{Label: ptr("a"), AzimuthDeg: ptr(9.0), ElevationDeg: ptr(9.0), IntensityCd: ptr(9.0)}}
		}, map[string]string{"/shot/lamps/0/intensity_cd": "beside a direction"}},
		{"a lamp by neither", func(d *Draft) { d.Lamps = []DraftLamp{{Label: ptr("a")}} },
			map[string]string{"/shot/lamps/0": "neither a direction nor a position; give either"}},
		{"half a direction", func(d *Draft) { d.Lamps = []DraftLamp{{Label: ptr("a"), AzimuthDeg: ptr(9.0)}} },
			map[string]string{"/shot/lamps/0/elevation_deg": "is missing", "/shot/lamps/0/illuminance_lx": "is missing"}},
		{"half a position", func(d *Draft) { d.Lamps = []DraftLamp{{Label: ptr("a"), IntensityCd: ptr(9.0)}} },
			map[string]string{"/shot/lamps/0/position_m": "has 0 numbers; give [x, y, z]"}},
		{"a position on the plan", func(d *Draft) { l := lampAt(0, 0, 0); l.PositionM = []float64{1, 2}; d.Lamps = []DraftLamp{l} },
			map[string]string{"/shot/lamps/0/position_m": "has 2 numbers; give [x, y, z]"}},
		{"a position under ground", func(d *Draft) { d.Lamps = []DraftLamp{lampAt(5, 0, -1)} },
			map[string]string{"/shot/lamps/0/position_m/2": "position_m[2] is -1, out of range; give a value from 0 to 200 m"}},
		{"a lamp that gives nothing", func(d *Draft) { l := lampAt(5, 0, 5); l.IntensityCd = ptr(0.0); d.Lamps = []DraftLamp{l} },
			map[string]string{"/shot/lamps/0/intensity_cd": "over 0"}},
		{"a lamp from past the zenith", func(d *Draft) {
			d.Lamps = []DraftLamp{{Label: ptr("a"), AzimuthDeg: ptr(9.0), ElevationDeg: ptr(91.0), IlluminanceLx: ptr(9.0)}}
		}, map[string]string{"/shot/lamps/0/elevation_deg": "from -90 to 90"}},
		{"a lamp as wide as the sky", func(d *Draft) { l := lampAt(5, 0, 5); l.AngularRadiusDeg = ptr(21.0); d.Lamps = []DraftLamp{l} },
			map[string]string{"/shot/lamps/0/angular_radius_deg": "from 0 to 20"}},
		{"a lamp among the people", // lens west, zone 3 m wide along y: 1.4 m north is inside, 0.6 m east is not
			func(d *Draft) { d.Camera.BearingDeg = ptr(270.0); d.Lamps = []DraftLamp{lampAt(0, 1.4, 1)} },
			map[string]string{"/shot/lamps/0/position_m": "[0, 1.4, 1], inside the main zone; give the lamp a place outside every zone"}},
		{"a lamp among the people further back", func(d *Draft) {
			d.OtherZones = []DraftOtherZone{zoneAt("band", -8, 0)}
			d.Lamps = []DraftLamp{lampAt(-8, 0, 1)}
		}, map[string]string{"/shot/lamps/0/position_m": "inside other_zones[0]"}},
		{"a walk to nowhere", func(d *Draft) { d.Walk = &DraftWalk{} }, map[string]string{"/shot/walk/to_m": "has 0 numbers; give [x, y]"}},
		{"a walk in three dimensions", func(d *Draft) { d.Walk = &DraftWalk{ToM: []float64{1, 2, 3}} },
			map[string]string{"/shot/walk/to_m": "has 3 numbers; give [x, y]"}},
		{"a walk of no length", func(d *Draft) { d.Walk = &DraftWalk{ToM: []float64{0, 0.05}} },
			map[string]string{"/shot/walk/to_m": "from 0.1 to 20 m long"}},
		{"a walk too long as it is at an angle", func(d *Draft) { d.Walk = &DraftWalk{ToM: []float64{15, -15}} },
			map[string]string{"/shot/walk/to_m": "from 0.1 to 20 m long"}},
		{"a walk too far east", func(d *Draft) { d.Walk = &DraftWalk{ToM: []float64{21, 0}} },
			map[string]string{"/shot/walk/to_m/0": "from -20 to 20 m"}},
		{"a lamp on the way", func(d *Draft) {
			d.Camera.BearingDeg, d.Walk, d.Lamps = ptr(270.0), &DraftWalk{ToM: []float64{4, 0}}, []DraftLamp{lampAt(4.4, 0, 1)}
		}, map[string]string{"/shot/lamps/0/position_m": "inside the main zone"}},
		{"other people on the way", func(d *Draft) {
			d.Camera.BearingDeg, d.Walk, d.OtherZones = ptr(270.0), &DraftWalk{ToM: []float64{-9, 0}}, []DraftOtherZone{zoneAt("band", -8, 0)}
		}, map[string]string{"/shot/other_zones/0/center_m": "overlaps the main zone"}},
		{"too many lamps", func(d *Draft) {
			for i := range 13 {
				l := lampAt(5, float64(i), 5)
				l.Label = ptr(fmt.Sprint(i))
				d.Lamps = append(d.Lamps, l)
			}
		}, map[string]string{"/shot/lamps": "has 13; give at most 12"}},
		{"too many zones", func(d *Draft) {
			for i := range 13 {
				d.OtherZones = append(d.OtherZones, zoneAt(fmt.Sprint(i), 20+3*float64(i), 20))
			}
		}, map[string]string{"/shot/other_zones": "has 13; give at most 12"}},
		{"a zone called main", func(d *Draft) { d.OtherZones = []DraftOtherZone{zoneAt("main", -8, 0)} },
			map[string]string{"/shot/other_zones/0/label": "taken already"}},
		{"two zones of one name", func(d *Draft) { d.OtherZones = []DraftOtherZone{zoneAt("a", -8, 0), zoneAt("a", -16, 0)} },
			map[string]string{"/shot/other_zones/1/label": "as at other_zones[0]"}},
		{"a zone within the main one", func(d *Draft) { d.OtherZones = []DraftOtherZone{zoneAt("band", 0.9, 0)} },
			map[string]string{"/shot/other_zones/0/center_m": "[0.9, 0], where this zone overlaps the main zone; move it away"}},
		{"a zone within another", func(d *Draft) { d.OtherZones = []DraftOtherZone{zoneAt("a", -8, 0), zoneAt("b", -8.9, 0)} },
			map[string]string{"/shot/other_zones/1/center_m": "overlaps other_zones[0]"}},
		{"a zone turned with the lens overlaps", // looking north-west, zones reach 1.06 m along both axes, not 1.5 and 0.5
			func(d *Draft) {
				d.Camera.BearingDeg = ptr(315.0)
				d.OtherZones = []DraftOtherZone{zoneAt("band", -0.6, -1.2)}
			},
			map[string]string{"/shot/other_zones/0/center_m": "overlaps the main zone"}},
		{"a zone upside down further back", func(d *Draft) { z := zoneAt("a", -8, 0); z.BaseM = ptr(2.0); d.OtherZones = []DraftOtherZone{z} },
			map[string]string{"/shot/other_zones/0/top_m": "top_m is 1.85, not above base_m 2"}},
		{"a zone without a width", func(d *Draft) { z := zoneAt("a", -8, 0); z.WidthM = nil; d.OtherZones = []DraftOtherZone{z} },
			map[string]string{"/shot/other_zones/0/width_m": "is missing"}},
		{"a zone off the map", func(d *Draft) { d.OtherZones = []DraftOtherZone{zoneAt("a", -8000, 0)} },
			map[string]string{"/shot/other_zones/0/center_m/0": "from -1000 to 1000 m"}},
		{"names as long as books", func(d *Draft) {
			z := zoneAt(strings.Repeat("é", 61), -8, 0)
			d.Name, d.OtherZones = strings.Repeat("é", 201), []DraftOtherZone{z}
		},
			map[string]string{"/shot/name": "has 201 characters; give at most 200", "/shot/other_zones/0/label": "longer than 60 characters"}},
		{"a fixed point of unknown strength", func(d *Draft) {
			d.Site.Anchors = []DraftAnchor{{Label: ptr("railing"), PositionM: []float64{3, 4, 1}}}
		}, map[string]string{"/shot/site/anchors/0/safe_pull_n": "safe_pull_n is missing; give a value over 0 and at most 50000 N, the pull in any direction that whoever answers for the point lets it bear"}},
		{"fixed points without anything", func(d *Draft) { d.Site.Anchors = make([]DraftAnchor, 1) },
			map[string]string{"/shot/site/anchors/0/label": "give each of anchors a name of its own", "/shot/site/anchors/0/position_m": "has 0 numbers; give [x, y, z]",
				"/shot/site/anchors/0/safe_pull_n": "is missing"}},
		{"a fixed point on the plan", func(d *Draft) { d.Site.Anchors = []DraftAnchor{{ptr("bollard"), []float64{3, 4}, ptr(9e3)}} },
			map[string]string{"/shot/site/anchors/0/position_m": "has 2 numbers; give [x, y, z]"}},
		{"a fixed point under ground, and one out of the world", func(d *Draft) {
			d.Site.Anchors = []DraftAnchor{{ptr("a"), []float64{3, 4, -1}, ptr(0.0)}, {ptr("a"), []float64{3, 1001, 1}, ptr(50001.0)}}
		}, map[string]string{"/shot/site/anchors/0/position_m/2": "from 0 to 60 m above the ground", "/shot/site/anchors/0/safe_pull_n": "over 0 and at most 50000 N",
			"/shot/site/anchors/1/label": `is "a", as at anchors[0]`, "/shot/site/anchors/1/position_m/1": "from -1000 to 1000 m", "/shot/site/anchors/1/safe_pull_n": "is 50001, out of range"}},
		{"too many fixed points", func(d *Draft) {
			for i := range 25 {
				d.Site.Anchors = append(d.Site.Anchors, DraftAnchor{ptr(fmt.Sprint(i)), []float64{3, 4, 1}, ptr(9e3)})
			}
		}, map[string]string{"/shot/site/anchors": "has 25; give at most 24"}},
		{"no hands", func(d *Draft) { d.Limits.Crew = ptr(0) },
			map[string]string{"/limits/crew": "from 1 to 1000 people"}},
		{"a limit under the ground", func(d *Draft) { d.Limits.RigHeightM = ptr(0.0) },
			map[string]string{"/limits/rig_height_m": "over 0 and at most 60 m"}},
		{"a kit of no mass", func(d *Draft) { d.Limits.MassKg = ptr(-1.0) },
			map[string]string{"/limits/mass_kg": "over 0 and at most 1000000 kg"}},
		{"a supply in the air", func(d *Draft) { d.Supply.PositionM = []float64{1, 2, 3} },
			map[string]string{"/shot/supply/position_m": "has 3 numbers; give two"}},
		{"a supply out of reach and without a breaker", func(d *Draft) {
			d.Supply = DraftSupply{PositionM: []float64{0, 900}, CircuitA: ptr(0.0), Volts: ptr(5.0)}
		},
			map[string]string{"/shot/supply/position_m/1": "from -500 to 500 m", "/shot/supply/circuit_a": "from 1 to 400 A", "/shot/supply/volts": "from 12 to 1000 V"}},
		{"a negative price", func(d *Draft) { d.Limits.PricePerDay = ptr(amount(t, "-5.00", "EUR")) },
			map[string]string{"/limits/price_per_day/amount": "must be 0 or more"}},
		{"a price to the cent of a currency without", func(d *Draft) { d.Limits.PricePerDay = ptr(amount(t, "5.00", "JPY")) },
			map[string]string{"/limits/price_per_day/amount": "JPY has 0"}},
		{"a price in no currency", func(d *Draft) { d.Limits.PricePerDay = new(currency.Amount) },
			map[string]string{"/limits/price_per_day/currency": "ISO 4217"}},
		{"an unknown order", func(d *Draft) { d.Prefer = ptr("best") },
			map[string]string{"/prefer": "give one of smallest, cheapest, lightest, fewest_hands"}},
		{"a page for a word", func(d *Draft) { d.Prefer = ptr(strings.Repeat("é", 5000)) },
			map[string]string{"/prefer": "éé…\"; give one of"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d := bare()
			test.change(&d)
			shot, faults := d.Resolve()
			for _, f := range faults {
				if !pointsAtField(f.Pointer) {
					t.Errorf("%s is no field of a request", f.Pointer)
				}
			}
			got := saidOf(faults, test.want)
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			if !cmp.Equal(shot, Shot{}) {
				t.Errorf("a faulty draft made %+v", shot)
			}
		})
	}
}

// saidOf are the faults' sentences by pointer; one that holds what is wanted there is taken for that.
func saidOf(faults []fault.Fault, want map[string]string) map[string]string {
	got := map[string]string{}
	for _, f := range faults {
		got[f.Pointer] = Said(f)
		if part, ok := want[f.Pointer]; ok && strings.Contains(Said(f), part) {
			got[f.Pointer] = part
		}
	}
	return got
}
