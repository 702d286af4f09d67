package shot

import (
	"math"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/sun"
)

// Shot is a request with every default filled in and every "auto" resolved. Lengths are metres, bearings and
// azimuths degrees clockwise from true north, levels lux or stops.
type Shot struct {
	Name         string
	Site         Site
	Window       Window
	Sky          Sky
	Camera       Camera
	Framing      Framing
	Zone         Zone
	Look         Look
	OtherZones   []OtherZone
	Background   Background
	Exposure     Exposure
	Allowance    Allowance
	GroundAnchor string
	GustMS       float64
	SafetyFactor float64
	Supply       Supply
	Lamps        []Lamp
	// Walk is from where to where the middle of the zone moves over the ground, as a vector in metres east and north; zero where it
	// stays.
	Walk geom.Vec
	// Forecast is rows in order of time, each time once; empty where none is known.
	Forecast []ForecastRow
	Limits   Limits
	Prefer   string
	// CrewLadder are numbers of people for each of which the best plan is asked.
	CrewLadder []int
	// Notes are remarks from resolving, such as a time that occurs twice; every option repeats them.
	Notes []finding.Note
}

// Site is where the shot is.
type Site struct {
	LatitudeDeg, LongitudeDeg, ElevationM float64
	PressureHPa, TemperatureC             float64
	TimeZone                              string
	Roofed                                bool
	Ground                                string // empty where only a reflectance was given
	GroundReflectance                     float64
	// Anchors are fixed points that the user names, each under a label of its own.
	Anchors []Anchor
}

// Anchor is a fixed point that ropes may be tied to, such as a railing, a bollard, a vehicle or a ring in a wall. Position is in metres
// east and north of the origin and above the ground; SafePullN is what whoever answers for it lets it bear, in newtons.
type Anchor struct {
	Label     string
	Position  geom.Vec
	SafePullN float64
}

// Window is when the plan must hold, both as said and as instants.
type Window struct {
	Date, EndDate catalog.Date
	Start, End    string // HH:MM
	From, To      time.Time
}

// Mid is the middle of the window.
func (w Window) Mid() time.Time { return w.From.Add(w.To.Sub(w.From) / 2) }

// Days returns when the dates that the window touches begin and end on the clocks of the place. One that ends at midnight does not touch
// the next.
func (w Window) Days() (from, to time.Time) {
	loc := w.From.Location()
	y, m, d := w.From.Date()
	from, _ = sun.Bounds(y, m, d, loc)
	y, m, d = w.To.Add(-1).Date()
	_, to = sun.Bounds(y, m, d, loc)
	return from, to
}

// Sky is the weather and, where a meter was read, its readings.
type Sky struct {
	Condition    string
	SunLx, SkyLx *float64
	// ReadAt is the instant that the readings are of, also where the window is moved; zero without a reading.
	ReadAt time.Time
}

// Camera is the lens: the bearing that it looks along, its height, and the height of the aim point above the origin.
type Camera struct{ BearingDeg, HeightM, AimHeightM float64 }

// Framing is the view at the aim point.
type Framing struct{ WidthM, DistanceM, AspectRatio float64 }

// Zone is the box that must be lit well, centred over the origin, its width across the lens axis.
type Zone struct{ WidthM, DepthM, BaseM, TopM float64 }

// Look is what the picture should look like.
type Look struct {
	Soften, KeySide                   string
	KeyStops, ContrastStops, NetStops float64
	// BackStops is the level wanted on hair and shoulders, nil where it does not matter, and Back how much it does.
	BackStops *float64
	Back      string
	// SoftDeg is how large what lights the key is to look from the face.
	SoftDeg float64
	// Colour is that of the key against the sun.
	Colour string
}

// OtherZone is a further place in the picture that needs level; Center is on the ground.
type OtherZone struct {
	Label                                 string
	CenterX, CenterY                      float64
	WidthM, DepthM, BaseM, TopM, KeyStops float64
}

// Background is what the camera is set for: what faces the lens there, as a word of the request, and its reflectance, or a reading of
// it.
type Background struct {
	Faces          string
	Reflectance    float64
	EV100          *float64
	PlacementStops float64
}

// Exposure is the camera's setting.
type Exposure struct{ ISO, FrameRateFPS, ShutterAngleDeg, TStop float64 }

// Allowance is the margins (inside an opening's edge, outside the view, and overhead), and the least ballast of each stand whatever
// the gust: BallastHighKg, never under BallastKg, where the stand has an arm or is over 3 m high.
type Allowance struct{ CoverM, ViewM, HeadM, BallastKg, BallastHighKg float64 }

// ForecastRow is what is forecast for an instant, in the site's zone: the gust, and the share of the sky under cloud, nil where it is not
// said.
type ForecastRow struct {
	At     time.Time
	GustMS float64
	Cloud  *float64
}

// Supply is where mains power comes from: a place on the ground, the voltage, and the rating of one circuit's breaker.
type Supply struct {
	At              geom.Vec
	Volts, CircuitA float64
	// Generator: there is none yet, a generator is to be hired.
	Generator bool
}

// Lamp is a hard source other than the sun. Position is nil for a directional one.
type Lamp struct {
	Label                                   string
	AzimuthDeg, ElevationDeg, IlluminanceLx float64
	Position                                *geom.Vec
	IntensityCd                             float64
	AngularRadiusDeg                        float64
	// CanBeOff: it may be switched off for the shot.
	CanBeOff bool
}

// Limits bounds what an option may take; nil is no limit.
type Limits struct {
	Crew *int
	// PricePerDay bounds the hire, TotalPerDay the day with labour and transport.
	PricePerDay, TotalPerDay *currency.Amount
	// RigHeightM bounds the highest part of every piece, MassKg the whole kit's mass.
	RigHeightM, MassKg *float64
	// VehicleSKU is the kind of vehicle of which one brings everything at once; empty for no such limit.
	VehicleSKU string
}

// TopM is the limit on the highest part of every piece, in metres; +Inf where there is none.
func (l *Limits) TopM() float64 {
	if l.RigHeightM == nil {
		return math.Inf(1)
	}
	return *l.RigHeightM
}

// TintMired is the least shift, in mired, that counts as a colour: an eighth of that from daylight, 5500 K, to tungsten light, 3200 K,
// (10⁶/3200 − 10⁶/5500) / 8. The eighth is common practice, no source.
const TintMired = 1e6 / 8 * (1.0/3200 - 1.0/5500)

// MaxWidthM is the widest picture, and the widest zone, that a request may ask for, in metres.
const MaxWidthM = 200

// The words of a request.
const (
	SoftenRequired  = "required"
	SoftenPreferred = "preferred"
	SoftenOff       = "off"

	BackRequired  = "required"
	BackPreferred = "preferred"

	ColourNeutral = "neutral"
	ColourWarm    = "warm"

	SideLeft  = "left"
	SideRight = "right"
	SideAuto  = "auto"

	FacesUpright = "upright"
	FacesLevel   = "level"
	FacesSky     = "sky"

	PreferSmallest    = "smallest"
	PreferCheapest    = "cheapest"
	PreferLightest    = "lightest"
	PreferFewestHands = "fewest_hands"

	AnchorBallast = "ballast"
	AnchorStakes  = "stakes"
)
