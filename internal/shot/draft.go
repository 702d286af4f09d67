package shot

import "github.com/bojanz/currency"

// Draft is a sizing request as a user gave it: what is nil or empty was not said and gets its default from
// [Draft.Resolve]. Units are those of [Shot].
type Draft struct {
	Name         string
	Site         DraftSite
	Window       DraftWindow
	Sky          DraftSky
	Camera       DraftCamera
	Framing      DraftFraming
	Zone         DraftZone
	Look         DraftLook
	OtherZones   []DraftOtherZone
	Background   DraftBackground
	Exposure     DraftExposure
	Allowance    DraftAllowance
	GroundAnchor *string
	GustMS       *float64
	MeanWindMS   *float64
	SafetyFactor *float64
	Supply       DraftSupply
	Lamps        []DraftLamp
	Walk         *DraftWalk
	Forecast     []DraftForecastRow
	// ForecastCSV is the forecast as a table, in place of Forecast: [ForecastColumns] in the first line, times without an offset in
	// the site's zone.
	ForecastCSV *string
	Limits      DraftLimits
	Prefer      *string
	CrewLadder  []int
}

// DraftSupply is where mains power comes from.
type DraftSupply struct {
	PositionM       []float64
	Volts, CircuitA *float64
	Generator       *bool
}

// DraftWalk is where people who walk end; nil in a draft where nobody does.
type DraftWalk struct{ ToM []float64 }

// DraftSite is where. Latitude, longitude and zone are required.
type DraftSite struct {
	LatitudeDeg, LongitudeDeg, ElevationM *float64
	PressureHPa, TemperatureC             *float64
	TimeZone                              *string
	Roofed                                *bool
	Ground                                *string
	GroundReflectance                     *float64
	Anchors                               []DraftAnchor
}

// DraftAnchor is a fixed point that ropes may be tied to. All of it is required.
type DraftAnchor struct {
	Label     *string
	PositionM []float64
	SafePullN *float64
}

// DraftForecastRow is a forecast from an instant on: RFC 3339 with offset, the gust, and the share of the sky under cloud. Cloud may be
// left out.
type DraftForecastRow struct {
	At            *string
	GustMS, Cloud *float64
}

// DraftWindow is when: dates YYYY-MM-DD and times HH:MM in the site's zone. EndDate defaults to Date.
type DraftWindow struct{ Date, Start, End, EndDate *string }

// DraftSky is the weather, or meter readings of mid-window.
type DraftSky struct {
	Condition    *string
	SunLx, SkyLx *float64
}

// DraftCamera is where the lens looks. The bearing is required.
type DraftCamera struct{ BearingDeg, HeightM, AimHeightM *float64 }

// DraftFraming is how wide and from how far: the width at the subject, or focal length and sensor width.
type DraftFraming struct{ WidthM, DistanceM, AspectRatio, FocalLengthMM, SensorWidthMM *float64 }

// DraftZone is the box to be lit well.
type DraftZone struct{ WidthM, DepthM, BaseM, TopM *float64 }

// DraftLook is what the picture should look like.
type DraftLook struct {
	Soften, KeySide                              *string
	KeyStops, ContrastStops, NetStops, BackStops *float64
	Back                                         *string
	SoftDeg                                      *float64
	Colour                                       *string
	// AnyBack says that the back's level does not matter; then BackStops is nil.
	AnyBack bool
}

// DraftOtherZone is a further place in the picture that needs level.
type DraftOtherZone struct {
	Label                 *string
	CenterM               []float64
	WidthM, DepthM        *float64
	BaseM, TopM, KeyStops *float64
}

// DraftBackground is what the camera is set for.
type DraftBackground struct {
	Faces                              *string
	Reflectance, EV100, PlacementStops *float64
}

// DraftExposure is the camera's setting.
type DraftExposure struct{ ISO, FrameRateFPS, ShutterAngleDeg, TStop *float64 }

// DraftAllowance is the margins, and the least ballast of a stand.
type DraftAllowance struct{ CoverM, ViewM, HeadM, BallastKg, BallastHighKg *float64 }

// DraftLamp is a hard source other than the sun: a direction with its illuminance, or a position with its intensity.
type DraftLamp struct {
	Label                                   *string
	AzimuthDeg, ElevationDeg, IlluminanceLx *float64
	PositionM                               []float64
	IntensityCd                             *float64
	AngularRadiusDeg                        *float64
	CanBeOff                                *bool
}

// DraftLimits bounds what an option may take.
type DraftLimits struct {
	Crew               *int
	PricePerDay        *currency.Amount
	TotalPerDay        *currency.Amount
	RigHeightM, MassKg *float64
	VehicleSKU         *string
}
