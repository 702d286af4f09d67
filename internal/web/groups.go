package web

import (
	"github.com/bojanz/currency"

	"kitspan/internal/shot"
)

// The names of fields that others speak of.
const (
	latField, lonField, zoneField, bearingField   = "lat", "lon", "zone", "bearing"
	dateField, fromField, toField, endDateField   = "date", "from", "to", "end_date"
	pastedField, towardField, sunBehindField      = "at", "toward", "sun_behind"
	crewName, ladderName, vehicleField, backField = "crew", "ladder", "vehicle", "back"
)

// groups are the form, in its order. The names are short because they are the address of the plan.
var groups = []*groupDef{
	{Name: "shot", Label: "The shot", Fields: []*fieldDef{
		length("width", "Picture width", "/shot/framing/width_m", func(d *shot.Draft) **float64 { return &d.Framing.WidthM },
			func(s *shot.Shot) float64 { return s.Framing.WidthM }).follow().hint("where the people are"),
		length("distance", "Lens to people", "/shot/framing/distance_m", func(d *shot.Draft) **float64 { return &d.Framing.DistanceM }, nil),
		said(dateField, "Date", asDate, "/shot/window/date", func(d *shot.Draft) **string { return &d.Window.Date }),
		said(fromField, "From", asTime, "/shot/window/start", func(d *shot.Draft) **string { return &d.Window.Start }),
		said(toField, "To", asTime, "/shot/window/end", func(d *shot.Draft) **string { return &d.Window.End }).
			hint("earlier than From: on the next day, where that is no more than 12 hours"),
		said(endDateField, "To, on another date", asDate, "/shot/window/end_date", func(d *shot.Draft) **string { return &d.Window.EndDate }),
	}},
	{Name: "place", Label: "The place", Fields: []*fieldDef{
		{Name: pastedField, Label: "Place, as copied from a map", Kind: asQuick, Hint: "such as 38.6935, -9.2057 or 38°41′36.6″N 9°12′20.5″W: fills in the next two"},
		num(latField, "Latitude", "°", "/shot/site/latitude_deg", func(d *shot.Draft) **float64 { return &d.Site.LatitudeDeg }, nil).hint("north is positive"),
		num(lonField, "Longitude", "°", "/shot/site/longitude_deg", func(d *shot.Draft) **float64 { return &d.Site.LongitudeDeg }, nil).hint("east is positive"),
		said(zoneField, "Time zone", asText, "/shot/site/time_zone", func(d *shot.Draft) **string { return &d.Site.TimeZone }).hint("such as Europe/Lisbon"),
		chosen("ground", "Ground", "/shot/site/ground", func(d *shot.Draft) **string { return &d.Site.Ground },
			word{"concrete", "concrete"}, word{"grass", "grass"}, word{"soil", "soil"}, word{"sand", "sand"},
			word{"asphalt", "asphalt"}, word{"snow", "snow"}, word{"water", "water's edge"}),
		chosen("sky", "Sky", "/shot/sky/condition", func(d *shot.Draft) **string { return &d.Sky.Condition },
			word{"clear", "clear"}, word{"partly_cloudy", "partly cloudy"}, word{"overcast", "overcast"}),
		check("roofed", "Under a roof", "/shot/site/roofed", func(d *shot.Draft) **bool { return &d.Site.Roofed }),
	}},
	{Name: "lens", Label: "Where the lens looks", Fields: []*fieldDef{
		said(bearingField, "The lens looks toward", asBearing, "/shot/camera/bearing_deg", nil).hint("degrees from true north, or N, SSW, south-west"),
		{Name: sunBehindField, Label: "Sun behind the people at", Kind: asQuick, Hint: "such as 17:00: turns the lens to where the sun is then"},
		{Name: towardField, Label: "Toward what is at", Kind: asQuick, Hint: "a point copied from a map: turns the lens from the place to it"},
	}},
	{Name: "look", Label: "The look", Fields: []*fieldDef{
		chosen("soften", "Soften the sun", "/shot/look/soften", func(d *shot.Draft) **string { return &d.Look.Soften },
			word{shot.SoftenRequired, "it must be"}, word{shot.SoftenPreferred, "if it can be"}, word{shot.SoftenOff, "no"}),
		chosen("side", "Key from the", "/shot/look/key_side", func(d *shot.Draft) **string { return &d.Look.KeySide },
			word{shot.SideAuto, "side off the sun"}, word{shot.SideLeft, "left"}, word{shot.SideRight, "right"}),
		num("background", "Background by a meter", "EV", "/shot/background/ev100", func(d *shot.Draft) **float64 { return &d.Background.EV100 }, nil).
			hint("at ISO 100: read from the lens what is behind the people"),
		chosen("faces", "Not read: it is", "/shot/background/faces", func(d *shot.Draft) **string { return &d.Background.Faces },
			word{shot.FacesUpright, "upright: walls, trees, people"}, word{shot.FacesLevel, "level: ground, sand, snow"}, word{shot.FacesSky, "sky, or water that mirrors it"}),
		num("key", "Key level", "stops", "/shot/look/key_stops", func(d *shot.Draft) **float64 { return &d.Look.KeyStops },
			func(s *shot.Shot) float64 { return s.Look.KeyStops }).follow().hint("against the background"),
		num("contrast", "Contrast", "stops", "/shot/look/contrast_stops", func(d *shot.Draft) **float64 { return &d.Look.ContrastStops },
			func(s *shot.Shot) float64 { return s.Look.ContrastStops }).hint("key over fill"),
	}},
	{Name: "wind", Label: "Wind, money and hands", Fields: []*fieldDef{
		num("gust", "Gust to hold", "m/s", "/shot/gust_ms", func(d *shot.Draft) **float64 { return &d.GustMS }, func(s *shot.Shot) float64 { return s.GustMS }).
			hint("3-second gust at the piece"),
		chosen("anchor", "Ropes to", "/shot/ground_anchor", func(d *shot.Draft) **string { return &d.GroundAnchor },
			word{shot.AnchorBallast, "dead weights"}, word{shot.AnchorStakes, "stakes"}),
		amount("price", "Hire at most, per day", "/limits/price_per_day", func(d *shot.Draft) **currency.Amount { return &d.Limits.PricePerDay }),
		amount("total", "All of it at most, per day", "/limits/total_per_day", func(d *shot.Draft) **currency.Amount { return &d.Limits.TotalPerDay }).
			hint("with people and transport"),
		crewField(),
		chosen("prefer", "Prefer", "/prefer", func(d *shot.Draft) **string { return &d.Prefer },
			word{shot.PreferSmallest, "the smallest"}, word{shot.PreferCheapest, "the cheapest"}, word{shot.PreferLightest, "the lightest"},
			word{shot.PreferFewestHands, "the fewest hands"}),
	}},
	{Name: "people", Label: "Where the people are", Folded: true, Fields: peopleFields()},
	{Name: "fine", Label: "More of the look", Folded: true, Fields: []*fieldDef{
		num(backField, "Hair and shoulders", "stops", "/shot/look/back_stops", func(d *shot.Draft) **float64 { return &d.Look.BackStops }, nil).
			hint("against the background; any: it does not matter; blank: a little over it, as far as the sun gives it"),
		chosen("back_need", "And that level", "/shot/look/back", func(d *shot.Draft) **string { return &d.Look.Back },
			word{"", "must be where it is said"}, word{shot.BackRequired, "must be: a lamp behind makes it up"}, word{shot.BackPreferred, "as near as the diffusion brings it"}),
		num("soft", "Key at least so large", "°", "/shot/look/soft_deg", func(d *shot.Draft) **float64 { return &d.Look.SoftDeg },
			func(s *shot.Shot) float64 { return s.Look.SoftDeg }).follow().hint("as it looks from the face"),
		chosen("colour", "Colour of the key", "/shot/look/colour", func(d *shot.Draft) **string { return &d.Look.Colour },
			word{shot.ColourNeutral, "as the sun is"}, word{shot.ColourWarm, "warm: gold"}),
		num("net", "Background net", "stops", "/shot/look/net_stops", func(d *shot.Draft) **float64 { return &d.Look.NetStops },
			func(s *shot.Shot) float64 { return s.Look.NetStops }),
		num("placed", "Background against mid grey", "stops", "/shot/background/placement_stops", func(d *shot.Draft) **float64 { return &d.Background.PlacementStops },
			func(s *shot.Shot) float64 { return s.Background.PlacementStops }).hint("where the exposure puts it"),
		num("reflects", "Background reflects", "", "/shot/background/reflectance", func(d *shot.Draft) **float64 { return &d.Background.Reflectance },
			func(s *shot.Shot) float64 { return s.Background.Reflectance }).hint("of the light on it, 0 to 1; not of a sky"),
	}},
	{Name: "camera", Label: "The camera", Folded: true, Fields: cameraFields()},
	{Name: "margins", Label: "Margins, ballast and limits", Folded: true, Fields: marginFields()},
	{Name: "light", Label: "Meter readings, air and ground", Folded: true, Fields: []*fieldDef{
		num("sun_lx", "Sun by a meter", "lx", "/shot/sky/sun_lx", func(d *shot.Draft) **float64 { return &d.Sky.SunLx }, nil).hint("facing the sun, in the middle of the shot"),
		num("sky_lx", "Sky by a meter", "lx", "/shot/sky/sky_lx", func(d *shot.Draft) **float64 { return &d.Sky.SkyLx }, nil).hint("level, the sun blocked"),
		num("ground_reflects", "Ground reflects", "", "/shot/site/ground_reflectance", func(d *shot.Draft) **float64 { return &d.Site.GroundReflectance },
			func(s *shot.Shot) float64 { return s.Site.GroundReflectance }).follow().hint("of the light on it, 0 to 1, in place of the ground's own"),
		num("elevation", "Height above the sea", "m", "/shot/site/elevation_m", func(d *shot.Draft) **float64 { return &d.Site.ElevationM },
			func(s *shot.Shot) float64 { return s.Site.ElevationM }).hint("in metres"),
		num("pressure", "Air pressure", "hPa", "/shot/site/pressure_hpa", func(d *shot.Draft) **float64 { return &d.Site.PressureHPa },
			func(s *shot.Shot) float64 { return s.Site.PressureHPa }).follow().hint("at the place"),
		num("temperature", "Air temperature", "°C", "/shot/site/temperature_c", func(d *shot.Draft) **float64 { return &d.Site.TemperatureC },
			func(s *shot.Shot) float64 { return s.Site.TemperatureC }),
	}},
	{Name: "lamps", Label: "Other lights and power", Folded: true, Fields: lampFields()},
	{Name: "forecast", Label: "Fixed points, mean wind and forecast", Folded: true, Fields: []*fieldDef{
		num("mean", "Mean wind", "m/s", "/shot/mean_wind_ms", func(d *shot.Draft) **float64 { return &d.MeanWindMS }, nil).
			hint("a forecast's 10-minute mean at 10 m, in place of the gust to hold"),
		lines("anchors", "Fixed points for ropes", "/shot/site/anchors",
			"one a line: name; east; north; height; newtons it may bear (in metres) – nobody ties to what they have not checked"),
		{Name: "forecast", Label: "Wind forecast", Kind: asTable, pointer: "/shot/forecast",
			Hint: "CSV: at,gust_ms,cloud in the first line, then such as 2027-06-18 16:00,6.5,0.2 (time at the place, m/s, cloud 0 to 1 or left out)",
			text: func(d *shot.Draft) **string { return &d.ForecastCSV }},
	}},
}

func peopleFields() []*fieldDef {
	eastSet, eastGet := walkBy(0)
	northSet, northGet := walkBy(1)
	return []*fieldDef{
		length("zone_width", "Lit width", "/shot/zone/width_m", func(d *shot.Draft) **float64 { return &d.Zone.WidthM }, func(s *shot.Shot) float64 { return s.Zone.WidthM }).follow().
			hint("blank: as wide as the picture"),
		length("zone_depth", "Lit depth", "/shot/zone/depth_m", func(d *shot.Draft) **float64 { return &d.Zone.DepthM }, func(s *shot.Shot) float64 { return s.Zone.DepthM }),
		length("zone_base", "Lit from", "/shot/zone/base_m", func(d *shot.Draft) **float64 { return &d.Zone.BaseM }, func(s *shot.Shot) float64 { return s.Zone.BaseM }).follow(),
		length("zone_top", "Lit up to", "/shot/zone/top_m", func(d *shot.Draft) **float64 { return &d.Zone.TopM }, func(s *shot.Shot) float64 { return s.Zone.TopM }).follow(),
		lengthBy("walk_east", "They walk to the east by", "/shot/walk/to_m/0", eastSet, eastGet).hint("straight, from where they are first; under 0 to the west"),
		lengthBy("walk_north", "They walk to the north by", "/shot/walk/to_m", northSet, northGet).hint("under 0 to the south"),
		lines("others", "Other people in the picture", "/shot/other_zones",
			"one a line: name; east; north; width – then, if you like, key stops; depth 1; base 0; top 1.8 (in metres)"),
	}
}

func cameraFields() []*fieldDef {
	return []*fieldDef{
		num("focal", "Focal length", "mm", "/shot/framing/focal_length_mm", func(d *shot.Draft) **float64 { return &d.Framing.FocalLengthMM }, nil).
			hint("with the sensor's width, in place of the picture's width"),
		num("sensor", "Sensor width", "mm", "/shot/framing/sensor_width_mm", func(d *shot.Draft) **float64 { return &d.Framing.SensorWidthMM }, nil),
		num("ratio", "Width over height", "", "/shot/framing/aspect_ratio", func(d *shot.Draft) **float64 { return &d.Framing.AspectRatio },
			func(s *shot.Shot) float64 { return s.Framing.AspectRatio }),
		length("lens_height", "Lens height", "/shot/camera/height_m", func(d *shot.Draft) **float64 { return &d.Camera.HeightM }, func(s *shot.Shot) float64 { return s.Camera.HeightM }),
		length("aim_height", "Aimed at a height of", "/shot/camera/aim_height_m", func(d *shot.Draft) **float64 { return &d.Camera.AimHeightM },
			func(s *shot.Shot) float64 { return s.Camera.AimHeightM }).follow(),
		num("iso", "ISO", "", "/shot/exposure/iso", func(d *shot.Draft) **float64 { return &d.Exposure.ISO }, func(s *shot.Shot) float64 { return s.Exposure.ISO }),
		num("fps", "Frames a second", "", "/shot/exposure/frame_rate_fps", func(d *shot.Draft) **float64 { return &d.Exposure.FrameRateFPS },
			func(s *shot.Shot) float64 { return s.Exposure.FrameRateFPS }),
		num("shutter", "Shutter angle", "°", "/shot/exposure/shutter_angle_deg", func(d *shot.Draft) **float64 { return &d.Exposure.ShutterAngleDeg },
			func(s *shot.Shot) float64 { return s.Exposure.ShutterAngleDeg }),
		num("stop", "T-stop", "", "/shot/exposure/t_stop", func(d *shot.Draft) **float64 { return &d.Exposure.TStop }, func(s *shot.Shot) float64 { return s.Exposure.TStop }),
	}
}

func marginFields() []*fieldDef {
	return []*fieldDef{
		length("cover", "Inside the frame's edge", "/shot/allowance/cover_m", func(d *shot.Draft) **float64 { return &d.Allowance.CoverM }, func(s *shot.Shot) float64 { return s.Allowance.CoverM }),
		length("clear", "Out of the picture by", "/shot/allowance/view_m", func(d *shot.Draft) **float64 { return &d.Allowance.ViewM }, func(s *shot.Shot) float64 { return s.Allowance.ViewM }),
		length("head", "Head room", "/shot/allowance/head_m", func(d *shot.Draft) **float64 { return &d.Allowance.HeadM }, func(s *shot.Shot) float64 { return s.Allowance.HeadM }).follow(),
		num("ballast", "Ballast on every stand", "kg", "/shot/allowance/ballast_kg", func(d *shot.Draft) **float64 { return &d.Allowance.BallastKg },
			func(s *shot.Shot) float64 { return s.Allowance.BallastKg }).hint("at least, whatever the gust"),
		num("ballast_high", "The same with an arm or over 3 m", "kg", "/shot/allowance/ballast_high_kg", func(d *shot.Draft) **float64 { return &d.Allowance.BallastHighKg },
			func(s *shot.Shot) float64 { return s.Allowance.BallastHighKg }).follow(),
		num("safety", "Safety factor", "", "/shot/safety_factor", func(d *shot.Draft) **float64 { return &d.SafetyFactor }, func(s *shot.Shot) float64 { return s.SafetyFactor }),
		num("mass", "Kit at most", "kg", "/limits/mass_kg", func(d *shot.Draft) **float64 { return &d.Limits.MassKg }, nil),
		length("high", "Nothing higher than", "/limits/rig_height_m", func(d *shot.Draft) **float64 { return &d.Limits.RigHeightM }, nil),
		said(vehicleField, "All of it in one", asText, "/limits/vehicle_sku", func(d *shot.Draft) **string { return &d.Limits.VehicleSKU }).
			hint("a vehicle of the house, of which one brings everything at once"),
		ladderField(),
	}
}

func lampFields() []*fieldDef {
	supply := func(d *shot.Draft) *[]float64 { return &d.Supply.PositionM }
	eastSet, eastGet := coordinate(supply, 0)
	northSet, northGet := coordinate(supply, 1)
	return []*fieldDef{
		lines("lamps", "Hard lights beside the sun", "/shot/lamps",
			"one a line: name; azimuth; elevation; lux – or name; east; north; height; candela (in metres) – then radius 0.8, how large it looks in degrees, and off, if you can switch it off"),
		lengthBy("supply_east", "Mains east of the people by", "/shot/supply/position_m/0", eastSet, eastGet).hint("blank: it is at the lens"),
		lengthBy("supply_north", "Mains north of the people by", "/shot/supply/position_m", northSet, northGet),
		num("volts", "Mains voltage", "V", "/shot/supply/volts", func(d *shot.Draft) **float64 { return &d.Supply.Volts }, func(s *shot.Shot) float64 { return s.Supply.Volts }),
		num("circuit", "One circuit's breaker", "A", "/shot/supply/circuit_a", func(d *shot.Draft) **float64 { return &d.Supply.CircuitA },
			func(s *shot.Shot) float64 { return s.Supply.CircuitA }),
		check("generator", "No mains: a generator", "/shot/supply/generator", func(d *shot.Draft) **bool { return &d.Supply.Generator }),
	}
}
