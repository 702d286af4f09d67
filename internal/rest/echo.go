package rest

import (
	"time"

	"kitspan/internal/shot"
)

// echoOf is the request's shot in canonical form. Its numbers keep their full precision: sent again, they mean the same
// to the last bit.
func echoOf(s shot.Shot) Shot {
	var out Shot
	out.Name = s.Name
	out.Site = siteJSON(&s.Site)
	out.Window = windowOf(s.Window)
	out.Sky.Condition, out.Sky.SunLx, out.Sky.SkyLx = s.Sky.Condition, s.Sky.SunLx, s.Sky.SkyLx
	out.Camera.BearingDeg, out.Camera.HeightM, out.Camera.AimHeightM = s.Camera.BearingDeg, s.Camera.HeightM, s.Camera.AimHeightM
	out.Framing.WidthM, out.Framing.DistanceM, out.Framing.AspectRatio = s.Framing.WidthM, s.Framing.DistanceM, s.Framing.AspectRatio
	out.Zone.WidthM, out.Zone.DepthM, out.Zone.BaseM, out.Zone.TopM = s.Zone.WidthM, s.Zone.DepthM, s.Zone.BaseM, s.Zone.TopM
	out.Look.Soften, out.Look.KeySide = s.Look.Soften, s.Look.KeySide
	out.Look.KeyStops, out.Look.ContrastStops, out.Look.NetStops = s.Look.KeyStops, s.Look.ContrastStops, s.Look.NetStops
	out.Look.BackStops, out.Look.Back, out.Look.SoftDeg, out.Look.Colour = s.Look.BackStops, s.Look.Back, s.Look.SoftDeg, s.Look.Colour
	out.Background.Faces, out.Background.PlacementStops = s.Background.Faces, s.Background.PlacementStops
	out.Background.Reflectance, out.Background.Ev100 = s.Background.Reflectance, s.Background.EV100
	out.Exposure.Iso, out.Exposure.FrameRateFps = s.Exposure.ISO, s.Exposure.FrameRateFPS
	out.Exposure.ShutterAngleDeg, out.Exposure.TStop = s.Exposure.ShutterAngleDeg, s.Exposure.TStop
	out.Allowance.CoverM, out.Allowance.ViewM, out.Allowance.HeadM = s.Allowance.CoverM, s.Allowance.ViewM, s.Allowance.HeadM
	out.Allowance.BallastKg, out.Allowance.BallastHighKg = s.Allowance.BallastKg, s.Allowance.BallastHighKg
	out.GroundAnchor, out.GustMs, out.SafetyFactor = s.GroundAnchor, s.GustMS, s.SafetyFactor
	out.Supply.PositionM = GroundPoint{s.Supply.At.X, s.Supply.At.Y}
	out.Supply.Volts, out.Supply.CircuitA, out.Supply.Generator = s.Supply.Volts, s.Supply.CircuitA, s.Supply.Generator
	out.OtherZones = make([]OtherZone, len(s.OtherZones))
	for i, z := range s.OtherZones {
		out.OtherZones[i] = OtherZone{
			Label: z.Label, CenterM: GroundPoint{z.CenterX, z.CenterY}, WidthM: z.WidthM, DepthM: z.DepthM,
			BaseM: z.BaseM, TopM: z.TopM, KeyStops: z.KeyStops,
		}
	}
	out.Lamps = make([]HardLamp, len(s.Lamps))
	for i, l := range s.Lamps {
		out.Lamps[i] = lampOf(l)
	}
	if s.Walks() {
		out.Walk = &Walk{ToM: GroundPoint{s.Walk.X, s.Walk.Y}}
	}
	out.Forecast = make([]ForecastRow, len(s.Forecast))
	for i, row := range s.Forecast {
		out.Forecast[i] = ForecastRow{At: printable(row.At), GustMs: row.GustMS, Cloud: row.Cloud}
	}
	return out
}

// printable is an instant as RFC 3339 can write it: in UTC where the zone is off it by parts of a minute, as some were until 1972.
func printable(t time.Time) time.Time {
	if _, offset := t.Zone(); offset%60 != 0 {
		return t.UTC()
	}
	return t
}

// lampOf names the members of the form in which the lamp was given: a direction or a place.
func lampOf(l shot.Lamp) HardLamp {
	out := HardLamp{Label: l.Label, AngularRadiusDeg: l.AngularRadiusDeg, CanBeOff: l.CanBeOff}
	if l.Position != nil {
		out.PositionM = &Point{l.Position.X, l.Position.Y, l.Position.Z}
		out.IntensityCd = &l.IntensityCd
	} else {
		out.AzimuthDeg, out.ElevationDeg, out.IlluminanceLx = &l.AzimuthDeg, &l.ElevationDeg, &l.IlluminanceLx
	}
	return out
}

func windowOf(w shot.Window) Window {
	return Window{Date: w.Date.String(), Start: w.Start, End: w.End, EndDate: w.EndDate.String()}
}

func siteJSON(s *shot.Site) ShotSite {
	out := ShotSite{
		LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, ElevationM: s.ElevationM, PressureHpa: s.PressureHPa, TemperatureC: s.TemperatureC,
		TimeZone: s.TimeZone, Roofed: s.Roofed, GroundReflectance: s.GroundReflectance, Anchors: make([]FixedPoint, len(s.Anchors)),
	}
	if s.Ground != "" {
		out.Ground = &s.Ground
	}
	for i, a := range s.Anchors {
		out.Anchors[i] = FixedPoint{Label: a.Label, PositionM: Point{a.Position.X, a.Position.Y, a.Position.Z}, SafePullN: a.SafePullN}
	}
	return out
}
