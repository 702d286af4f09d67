package shot

import "github.com/bojanz/currency"

// Draft is a sizing request as a user gave it: what is nil or empty was not said and gets its default from
// [Draft.Resolve]. Units are those of [Shot]. It is written as JSON by the names of the contract, what was not said left out.
type Draft struct {
	Name         string             `json:"name,omitzero"`
	Site         DraftSite          `json:"site,omitzero"`
	Window       DraftWindow        `json:"window,omitzero"`
	Sky          DraftSky           `json:"sky,omitzero"`
	Camera       DraftCamera        `json:"camera,omitzero"`
	Framing      DraftFraming       `json:"framing,omitzero"`
	Zone         DraftZone          `json:"zone,omitzero"`
	Look         DraftLook          `json:"look,omitzero"`
	OtherZones   []DraftOtherZone   `json:"other_zones,omitzero"`
	Background   DraftBackground    `json:"background,omitzero"`
	Exposure     DraftExposure      `json:"exposure,omitzero"`
	Allowance    DraftAllowance     `json:"allowance,omitzero"`
	GroundAnchor *string            `json:"ground_anchor,omitzero"`
	GustMS       *float64           `json:"gust_ms,omitzero"`
	MeanWindMS   *float64           `json:"mean_wind_ms,omitzero"`
	SafetyFactor *float64           `json:"safety_factor,omitzero"`
	Supply       DraftSupply        `json:"supply,omitzero"`
	Lamps        []DraftLamp        `json:"lamps,omitzero"`
	Walk         *DraftWalk         `json:"walk,omitzero"`
	Forecast     []DraftForecastRow `json:"forecast,omitzero"`
	// ForecastCSV is the forecast as a table, in place of Forecast: [ForecastColumns] in the first line, times without an offset in
	// the site's zone.
	ForecastCSV *string     `json:"-"`
	Limits      DraftLimits `json:"limits,omitzero"`
	Prefer      *string     `json:"prefer,omitzero"`
	CrewLadder  []int       `json:"crew_ladder,omitzero"`
}

// DraftSupply is where mains power comes from.
type DraftSupply struct {
	PositionM []float64 `json:"position_m,omitzero"`
	Volts     *float64  `json:"volts,omitzero"`
	CircuitA  *float64  `json:"circuit_a,omitzero"`
	Generator *bool     `json:"generator,omitzero"`
}

// DraftWalk is where people who walk end; nil in a draft where nobody does.
type DraftWalk struct {
	ToM []float64 `json:"to_m,omitzero"`
}

// DraftSite is where. Latitude, longitude and zone are required.
type DraftSite struct {
	LatitudeDeg       *float64      `json:"latitude_deg,omitzero"`
	LongitudeDeg      *float64      `json:"longitude_deg,omitzero"`
	ElevationM        *float64      `json:"elevation_m,omitzero"`
	PressureHPa       *float64      `json:"pressure_hpa,omitzero"`
	TemperatureC      *float64      `json:"temperature_c,omitzero"`
	TimeZone          *string       `json:"time_zone,omitzero"`
	Roofed            *bool         `json:"roofed,omitzero"`
	Ground            *string       `json:"ground,omitzero"`
	GroundReflectance *float64      `json:"ground_reflectance,omitzero"`
	Anchors           []DraftAnchor `json:"anchors,omitzero"`
}

// DraftAnchor is a fixed point that ropes may be tied to. All of it is required.
type DraftAnchor struct {
	Label     *string   `json:"label,omitzero"`
	PositionM []float64 `json:"position_m,omitzero"`
	SafePullN *float64  `json:"safe_pull_n,omitzero"`
}

// DraftForecastRow is a forecast from an instant on: RFC 3339 with offset, the gust, and the share of the sky under cloud. Cloud may be
// left out.
type DraftForecastRow struct {
	At     *string  `json:"at,omitzero"`
	GustMS *float64 `json:"gust_ms,omitzero"`
	Cloud  *float64 `json:"cloud,omitzero"`
}

// DraftWindow is when: dates YYYY-MM-DD and times HH:MM in the site's zone. EndDate defaults to Date.
type DraftWindow struct {
	Date    *string `json:"date,omitzero"`
	Start   *string `json:"start,omitzero"`
	End     *string `json:"end,omitzero"`
	EndDate *string `json:"end_date,omitzero"`
}

// DraftSky is the weather, or meter readings of mid-window.
type DraftSky struct {
	Condition *string  `json:"condition,omitzero"`
	SunLx     *float64 `json:"sun_lx,omitzero"`
	SkyLx     *float64 `json:"sky_lx,omitzero"`
}

// DraftCamera is where the lens looks. The bearing is required.
type DraftCamera struct {
	BearingDeg *float64 `json:"bearing_deg,omitzero"`
	HeightM    *float64 `json:"height_m,omitzero"`
	AimHeightM *float64 `json:"aim_height_m,omitzero"`
}

// DraftFraming is how wide and from how far: the width at the subject, or focal length and sensor width.
type DraftFraming struct {
	WidthM        *float64 `json:"width_m,omitzero"`
	DistanceM     *float64 `json:"distance_m,omitzero"`
	AspectRatio   *float64 `json:"aspect_ratio,omitzero"`
	FocalLengthMM *float64 `json:"focal_length_mm,omitzero"`
	SensorWidthMM *float64 `json:"sensor_width_mm,omitzero"`
}

// DraftZone is the box to be lit well.
type DraftZone struct {
	WidthM *float64 `json:"width_m,omitzero"`
	DepthM *float64 `json:"depth_m,omitzero"`
	BaseM  *float64 `json:"base_m,omitzero"`
	TopM   *float64 `json:"top_m,omitzero"`
}

// DraftLook is what the picture should look like.
type DraftLook struct {
	Soften        *string  `json:"soften,omitzero"`
	KeySide       *string  `json:"key_side,omitzero"`
	KeyStops      *float64 `json:"key_stops,omitzero"`
	ContrastStops *float64 `json:"contrast_stops,omitzero"`
	NetStops      *float64 `json:"net_stops,omitzero"`
	BackStops     *float64 `json:"back_stops,omitzero"`
	Back          *string  `json:"back,omitzero"`
	SoftDeg       *float64 `json:"soft_deg,omitzero"`
	Colour        *string  `json:"colour,omitzero"`
	// AnyBack says that the back's level does not matter; then BackStops is nil.
	AnyBack bool `json:"-"`
}

// DraftOtherZone is a further place in the picture that needs level.
type DraftOtherZone struct {
	Label    *string   `json:"label,omitzero"`
	CenterM  []float64 `json:"center_m,omitzero"`
	WidthM   *float64  `json:"width_m,omitzero"`
	DepthM   *float64  `json:"depth_m,omitzero"`
	BaseM    *float64  `json:"base_m,omitzero"`
	TopM     *float64  `json:"top_m,omitzero"`
	KeyStops *float64  `json:"key_stops,omitzero"`
}

// DraftBackground is what the camera is set for.
type DraftBackground struct {
	Faces          *string  `json:"faces,omitzero"`
	Reflectance    *float64 `json:"reflectance,omitzero"`
	EV100          *float64 `json:"ev100,omitzero"`
	PlacementStops *float64 `json:"placement_stops,omitzero"`
}

// DraftExposure is the camera's setting.
type DraftExposure struct {
	ISO             *float64 `json:"iso,omitzero"`
	FrameRateFPS    *float64 `json:"frame_rate_fps,omitzero"`
	ShutterAngleDeg *float64 `json:"shutter_angle_deg,omitzero"`
	TStop           *float64 `json:"t_stop,omitzero"`
}

// DraftAllowance is the margins, and the least ballast of a stand.
type DraftAllowance struct {
	CoverM        *float64 `json:"cover_m,omitzero"`
	ViewM         *float64 `json:"view_m,omitzero"`
	HeadM         *float64 `json:"head_m,omitzero"`
	BallastKg     *float64 `json:"ballast_kg,omitzero"`
	BallastHighKg *float64 `json:"ballast_high_kg,omitzero"`
}

// DraftLamp is a hard source other than the sun: a direction with its illuminance, or a position with its intensity.
type DraftLamp struct {
	Label            *string   `json:"label,omitzero"`
	AzimuthDeg       *float64  `json:"azimuth_deg,omitzero"`
	ElevationDeg     *float64  `json:"elevation_deg,omitzero"`
	IlluminanceLx    *float64  `json:"illuminance_lx,omitzero"`
	PositionM        []float64 `json:"position_m,omitzero"`
	IntensityCd      *float64  `json:"intensity_cd,omitzero"`
	AngularRadiusDeg *float64  `json:"angular_radius_deg,omitzero"`
	CanBeOff         *bool     `json:"can_be_off,omitzero"`
}

// DraftLimits bounds what an option may take.
type DraftLimits struct {
	Crew        *int             `json:"crew,omitzero"`
	PricePerDay *currency.Amount `json:"price_per_day,omitzero"`
	TotalPerDay *currency.Amount `json:"total_per_day,omitzero"`
	RigHeightM  *float64         `json:"rig_height_m,omitzero"`
	MassKg      *float64         `json:"mass_kg,omitzero"`
	VehicleSKU  *string          `json:"vehicle_sku,omitzero"`
}
