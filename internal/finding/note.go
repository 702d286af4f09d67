package finding

import (
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/rigging"
)

// Note is one finding about a shot or an option. The set is closed; a switch over it must have every kind. The JSON names
// of the fields are those of the answer, beside the code.
//
//sumtype:decl
type Note interface {
	// Code is the kind in the words of the contract.
	Code() string
	note()
}

// On the shot as it was given.
type (
	// ReadingsUnderRoof means that readings of sun and sky are not used, because the site is roofed.
	ReadingsUnderRoof struct{}
	// SunUnderSky means that less was read of the sun than of the sky, as under cloud.
	SunUnderSky struct {
		SunLx float64 `json:"sun_lx"`
		SkyLx float64 `json:"sky_lx"`
	}
	// ReadingInTheDark means that a reading is not used: at its hour there is no such light.
	ReadingInTheDark struct {
		Reading   string    `json:"reading"` // the member of the request
		ReadingLx float64   `json:"reading_lx"`
		Of        Daylight  `json:"of"`
		At        time.Time `json:"at"`
	}
	// ReadingTooBright means that a reading is far over what any sky gives at its hour.
	ReadingTooBright struct {
		Reading   string    `json:"reading"` // the member of the request
		ReadingLx float64   `json:"reading_lx"`
		Of        Daylight  `json:"of"`
		At        time.Time `json:"at"`
		MostLx    float64   `json:"most_lx"`
	}
	// TimeTwice means that the clocks show a time twice on the day, and that the first is taken.
	TimeTwice struct {
		Field    string    `json:"field"` // the member of the request
		Clock    string    `json:"clock"` // YYYY-MM-DD HH:MM
		TimeZone string    `json:"time_zone"`
		Taken    time.Time `json:"taken"`
	}
	// SoftGround means that the ground gives way under a foot or a wheel: boards go under every foot, and nothing is rolled (common
	// practice, no source).
	SoftGround struct {
		Ground string `json:"ground"` // the word of the request
	}
)

// Daylight is a part of it.
type Daylight string

// The parts.
const (
	OfSun Daylight = "sun"
	OfSky Daylight = "sky"
)

// The hard sources and the lens.
type (
	// LampInView means that a lamp given with the shot is in the picture.
	LampInView struct {
		Lamp string `json:"lamp"`
	}
	// SunDown means that the sun is below the horizon, or gives no direct light, all through the window.
	SunDown struct{}
	// NoDirectSun means that the sky lets no direct sun through.
	NoDirectSun struct{}
	// SunInView means that the sun is in the picture, and what takes it out.
	SunInView struct {
		PartOfWindow bool `json:"part_of_window"`
		// TurnDeg is the least turn of the lens, to Side, after which the sun stays out all through the window; 0 where no
		// turn does.
		TurnDeg float64 `json:"turn_deg,omitempty"`
		Side    Side    `json:"side,omitempty"`
		// Until is when it leaves the picture for as long as the window is long; nil where it does not while it is up.
		Until *time.Time `json:"until,omitempty"`
	}
	// SunInFront means that the sun stands in front of the subject, and which turn of the lens has it straight behind.
	SunInFront struct {
		TurnDeg float64 `json:"turn_deg"`
		Side    Side    `json:"side"`
	}
	// LensUnshaded means that a source falls on the lens and no panel of the house keeps it off.
	LensUnshaded struct {
		Source Source `json:"source"`
	}
	// ZoneUnseen means that no part of a further zone is in the picture.
	ZoneUnseen struct {
		Zone string `json:"zone"`
	}
)

// The softening.
type (
	// SofteningOff means that no overhead is planned because none is asked for.
	SofteningOff struct{}
	// NothingToSoften means that no source is hard in the window.
	NothingToSoften struct {
		Because Soft `json:"because"`
	}
	// EveryFrameDoes means that the reach of a frame has no bound, because nothing is to be softened.
	EveryFrameDoes struct {
		Because Soft `json:"because"`
	}
	// SofteningLeftOut means that the light stays hard: in this option, or because no frame of the house does it.
	SofteningLeftOut struct {
		NoFrame bool `json:"no_frame"`
		// Nearest is the frame that comes nearest, of those that geometry rules out; nil for none.
		Nearest *RuledOut `json:"nearest,omitempty"`
	}
	// LightThroughPicture means that the light of a source is still in the picture as far away as a frame is put.
	LightThroughPicture struct {
		Source    Source  `json:"source"`
		DistanceM float64 `json:"distance_m"`
	}
	// OtherHour means that the kit does in another window of the day, the cheapest of those that were looked at.
	OtherHour struct{ Hours }
	// Moved means that the pieces are brought to other places so many times in the course of the window, and nothing is shot meanwhile:
	// Minutes in all.
	Moved struct {
		Moves   int `json:"moves"`
		Minutes int `json:"minutes"`
	}
	// SwitchedOff means that the plan has lamps that are there anyway switched off, and what that saves.
	SwitchedOff struct {
		Lamps []string `json:"lamps"`
		// OnlySo: no plan with every lamp on does as much.
		OnlySo bool `json:"only_so"`
		// Saves is against the best plan with every lamp on that is in as good a state; nil where there is none.
		Saves *Saving `json:"saves,omitempty"`
		// BackgroundRead: the background was read by a meter, with the lamps on.
		BackgroundRead bool `json:"background_was_read"`
	}
	// HandHeld means that people hold the frame, one at each side, and within what: how long and up to which gust. Carried: they walk
	// along with the people.
	HandHeld struct {
		People  int     `json:"people"`
		Minutes int     `json:"minutes"`
		UpToMS  float64 `json:"up_to_ms"`
		Carried bool    `json:"carried"`
	}
	// Walks means that the people walk, and how large the zone around their way is, for which all that stands is planned.
	Walks struct {
		LengthM float64 `json:"length_m"`
		WidthM  float64 `json:"width_m"`
		DepthM  float64 `json:"depth_m"`
		// MayCarry: the window is short enough, and the gust light enough, for a frame to be carried along.
		MayCarry bool `json:"may_carry"`
	}
	// PracticalsLeft means that lamps that are there anyway are left as they are, because the key is far stronger.
	PracticalsLeft struct {
		Lamps []string `json:"lamps"`
		// UnderLx is what a lamp must give to be worth softening.
		UnderLx float64 `json:"under_lx"`
	}
)

// Saving is what a plan takes less than another, more where a number is under 0.
type Saving struct {
	FrameM2 float64         `json:"frame_m2"` // opening area of overheads and sides
	Total   currency.Amount `json:"total_per_day"`
	People  int             `json:"people"`
}

// Soft is why there is nothing to soften.
type Soft string

// The reasons.
const (
	SoftRoof        Soft = "roof"          // and no lamps
	SoftRoofAndLamp Soft = "roof_and_lamp" // no lamp counts as hard
	SoftNoSource    Soft = "no_hard_source"
	SoftSunDown     Soft = "sun_down"
	SoftNoBeam      Soft = "no_direct_sun"
	SoftSwitchedOff Soft = "switched_off"
	SoftPractical   Soft = "small_practical"
)

// The light on the subject.
type (
	// BackgroundApart means that sides turned to the lens and the ground are over a stop apart in the background, so that a reading of
	// what is really there decides.
	BackgroundApart struct {
		Faces        string  `json:"faces"` // which of them was taken, in the word of the request
		UprightLx    float64 `json:"upright_lx"`
		UprightEV100 float64 `json:"upright_ev100"`
		LevelLx      float64 `json:"level_lx"`
		LevelEV100   float64 `json:"level_ev100"`
		ApartStops   float64 `json:"apart_stops"` // the ground over the sides
	}
	// DarkBackground means that no light is planned, because there is none on the background to set the camera by.
	DarkBackground struct{}
	// KeyUnlifted means that the key face is as asked without any lift.
	KeyUnlifted struct {
		KeyStops float64 `json:"key_stops"`
	}
	// KeyTooBright means that the key face has more than is asked without any lift.
	KeyTooBright struct {
		KeyStops   float64 `json:"key_stops"`
		AskedStops float64 `json:"asked_stops"`
	}
	// KeyTooDark means that the key face has less than is asked, and that nothing of the house lifts it.
	KeyTooDark struct {
		KeyStops   float64 `json:"key_stops"`
		AskedStops float64 `json:"asked_stops"`
		By         Means   `json:"by"`
	}
	// KeyPlaced is what lifts the key face.
	KeyPlaced struct {
		By        Array   `json:"by"`
		DistanceM float64 `json:"distance_m"` // on the ground, to the middle of the zone
		Side      Side    `json:"side"`
		// LosesStops is what each metre further back costs; 0 where it is not worth mentioning.
		LosesStopsPerM float64 `json:"loses_stops_per_m,omitempty"`
		// FlatMirror means that it loses nothing by distance.
		FlatMirror bool `json:"flat_mirror,omitempty"`
	}
	// KeyMissed means that the key face is not as asked with what lifts it.
	KeyMissed struct {
		KeyStops   float64 `json:"key_stops"`
		AskedStops float64 `json:"asked_stops"`
		By         Means   `json:"by"`
	}
	// ContrastMissed means that the contrast is not as asked.
	ContrastMissed struct {
		ContrastStops float64 `json:"contrast_stops"`
		AskedStops    float64 `json:"asked_stops"`
	}
	// FillLeft means that the side away from the key is left as it is.
	FillLeft struct {
		Side          Side    `json:"side"`
		ContrastStops float64 `json:"contrast_stops"`
	}
	// FillPlaced is what lifts or darkens the side away from the key.
	FillPlaced struct {
		By            Array   `json:"by"`
		DistanceM     float64 `json:"distance_m"` // on the ground, to the middle of the zone
		Side          Side    `json:"side"`
		Darkens       bool    `json:"darkens"`
		ContrastStops float64 `json:"contrast_stops"`
	}
	// KeyBare means that a bare beam lights the face in a picture that wants it softer, because nothing softer of the house brings its
	// level.
	KeyBare struct {
		Face string `json:"face"`
	}
	// KeyHard means that what lights the key face looks smaller than is asked, because nothing softer of the house brings its level.
	KeyHard struct {
		KeySoftnessDeg float64 `json:"key_softness_deg"`
		AskedDeg       float64 `json:"asked_deg"`
	}
	// ColourMissed means that the key is not as warm as is asked, because nothing of the house that warms brings its level. The shift against
	// the sun is 0 where no cloth and no face on the way of the key's light shifts it.
	ColourMissed struct {
		KeyShiftMired float64 `json:"key_shift_mired"`
		AskedMired    float64 `json:"asked_mired"` // at the least
		Unlifted      bool    `json:"unlifted"`    // the key has its level with nothing put up for it
	}
	// BackMissed means that hair and shoulders are not as asked.
	BackMissed struct {
		BackStops  float64 `json:"back_stops"`
		AskedStops float64 `json:"asked_stops"`
	}
	// ZoneMissed means that a further zone is not as asked.
	ZoneMissed struct {
		Zone       string  `json:"zone"`
		KeyStops   float64 `json:"key_stops"`
		AskedStops float64 `json:"asked_stops"`
	}
	// ReAim means that the sun carries the beam of boards off, and how often they are aimed anew.
	ReAim struct {
		EveryMin float64 `json:"every_min"` // whole, 1 at least
	}
	// AimHolds means that a beam aimed for the middle of the window stays on the zone.
	AimHolds struct{}
	// SunForPart means that reflectors have the sun that they work with in part of the window.
	SunForPart struct {
		From      time.Time `json:"from"`
		To        time.Time `json:"to"`
		LowestDeg float64   `json:"lowest_deg"` // of the sun
	}
	// BackLampTowardLens means that the lamp behind the subject shines toward the lens.
	BackLampTowardLens struct{}
	// LampsDraw is what the lamps draw together.
	LampsDraw struct {
		PowerW float64 `json:"power_w"`
	}
	// GustKeepsOff means that what would come nearer to what is asked does not hold the gust.
	GustKeepsOff struct {
		Role    Role    `json:"role"`
		AskedMS float64 `json:"asked_ms"`
	}
)

// The net on the background, where it is left out.
type (
	// NetNotOwned means that the house has no net of the strength.
	NetNotOwned struct {
		AskedStops float64 `json:"asked_stops"`
	}
	// NetUnseen means that the picture ends on the ground before the place where a net could stand.
	NetUnseen struct{}
	// NetNoRoom means that nets that fill the view find no room to stand.
	NetNoRoom struct{ ViewBehind }
	// NetTooSmall means that no net fills the view.
	NetTooSmall struct {
		ViewBehind
		LargestM float64 `json:"largest_m"` // its width
	}
)

// ViewBehind is the view in the nearest plane behind the zone in which a net may stand.
type ViewBehind struct {
	BehindM float64 `json:"behind_m"` // the middle of the zone
	WidthM  float64 `json:"width_m"`
	TopM    float64 `json:"top_m"` // above the ground
}

// The wind.
type (
	// NotHeld means that a piece does not hold the gust that is asked, and what would.
	NotHeld struct {
		Role      Role            `json:"role"`
		LowerAtMS float64         `json:"lower_at_ms"`
		AskedMS   float64         `json:"asked_ms"`
		Governs   rigging.Governs `json:"governs"`
		Remedies  []Remedy        `json:"remedies"`
	}
)

// The forecast.
type (
	// MustBeDown means that by the forecast pieces must be down at times of the window.
	MustBeDown struct {
		Roles []Role `json:"roles"` // once each
		// Times are in order, apart from each other and within the window; GustMS is the most that is forecast for them.
		Times     []Span  `json:"times"`
		GustMS    float64 `json:"gust_ms"`
		LowerAtMS float64 `json:"lower_at_ms"` // the least of the pieces
	}
	// ForecastShort means that the forecast does not cover all of the window; nothing is said of the rest.
	ForecastShort struct {
		From time.Time `json:"from"` // of its first row
		To   time.Time `json:"to"`   // of its last
	}
)

// Remedy is one thing that would make a piece hold the gust.
type Remedy struct {
	What RemedyKind `json:"what"`
	// Ballast would be Each on a support, where Most is all that a support's legs take, or all that there are.
	Ballast *Item `json:"ballast,omitempty"`
	Each    int   `json:"each,omitempty"`
	Most    int   `json:"most,omitempty"`
	// AreaM2 is of a sheet in its place, UnderMS the gust of another hour.
	AreaM2  float64 `json:"area_m2,omitempty"`
	UnderMS float64 `json:"under_ms,omitempty"`
}

// RemedyKind is what a remedy consists in.
type RemedyKind string

// The remedies.
const (
	SmallerFrame     RemedyKind = "smaller_frame"
	StrongerRopes    RemedyKind = "stronger_ropes"
	StrongerSupports RemedyKind = "stronger_supports"
	MoreBallast      RemedyKind = "more_ballast"
	RoomForRopes     RemedyKind = "room_for_ropes"
	LongerRopes      RemedyKind = "longer_ropes"
	FixedPoint       RemedyKind = "fixed_point"
	Stakes           RemedyKind = "stakes"
	WiderFeet        RemedyKind = "wider_feet"
	SmallerSheet     RemedyKind = "smaller_sheet"
	CalmerHour       RemedyKind = "calmer_hour"
)

// The limits that an option breaks.
type (
	// OverPrice means that the hire costs more than the limit.
	OverPrice struct {
		Limit currency.Amount `json:"limit"`
		Got   currency.Amount `json:"got"`
		Over  currency.Amount `json:"over"`
	}
	// LeftOut means that what the look asks is left out to keep the limits.
	LeftOut struct {
		What []Aspect `json:"what"`
	}
	// OverTotal means that the day costs more than the limit, hire, labour and transport together.
	OverTotal struct {
		Limit currency.Amount `json:"limit"`
		Got   currency.Amount `json:"got"`
		Over  currency.Amount `json:"over"`
	}
	// OverVehicle means that not all of it comes at once in one vehicle of the kind.
	OverVehicle struct {
		Vehicle  Item    `json:"vehicle"`
		MassKg   float64 `json:"mass_kg"` // of the whole kit
		VolumeM3 float64 `json:"volume_m3"`
	}
	// OverCrew means that it takes more people than the limit.
	OverCrew struct {
		People int `json:"people"`
		Limit  int `json:"limit"`
	}
	// OverMass means that it weighs more than the limit.
	OverMass struct {
		MassKg  float64 `json:"mass_kg"`
		LimitKg float64 `json:"limit_kg"`
	}
	// OverHeight means that a piece reaches higher than the limit.
	OverHeight struct {
		Role   Role    `json:"role"`
		TopM   float64 `json:"top_m"`
		LimitM float64 `json:"limit_m"`
	}
)

// People and vehicles.
type (
	// LowEdge means that a frame leans over ground where people walk with an edge under which nobody walks upright, and where the
	// middle of the lowest is, from the middle of the zone as seen from the lens.
	LowEdge struct {
		Role    Role    `json:"role"`
		LowM    float64 `json:"low_m"` // over the ground
		RightM  float64 `json:"right_m"`
		BehindM float64 `json:"behind_m"`
	}
	// HeavyLift means that what is lifted at once of a piece, one end of it where it is on several stands, takes more people than
	// work well as one team, and in how many teams they lift.
	HeavyLift struct {
		Role     Role    `json:"role"`
		LiftedKg float64 `json:"lifted_kg"`
		People   int     `json:"people"` // who lift
		Most     int     `json:"most"`   // in a team
		Teams    int     `json:"teams"`
	}
	// SlewingRoom is how far everybody keeps from a machine that lifts or moves.
	SlewingRoom struct {
		WithinM float64 `json:"within_m"`
	}
	// NoLabour means that the house sends nobody of a role, who is then not in the price.
	NoLabour struct {
		Labour   string `json:"labour"` // the catalogue's word
		Quantity int    `json:"quantity"`
	}
	// TooFew means that the plan takes more of an item than the house has.
	TooFew struct {
		Goods
		Owned int `json:"owned"`
	}
	// MachinesApart means that machines come on carriers that are not in the price of transport.
	MachinesApart struct{}
	// NoTransport means that the load is more than the house's vehicles carry, and transport not in the price.
	NoTransport struct {
		MassKg   float64 `json:"mass_kg"`
		VolumeM3 float64 `json:"volume_m3"`
		Trips    int     `json:"trips"` // that each would drive at most
	}
	// ManyTrips means that vehicles drive more than once.
	ManyTrips struct {
		MassKg float64 `json:"mass_kg"`
		Trips  int     `json:"trips"`
	}
)

// Of a job.
type (
	// LongDay means that from the first rigging to the last strike of a day it is longer than somebody's rate is for. What more is charged
	// for the hours beyond is not in the total.
	LongDay struct {
		Date        string  `json:"date"` // YYYY-MM-DD
		Labour      Item    `json:"labour"`
		Hours       float64 `json:"hours"`
		HoursPerDay float64 `json:"hours_per_day"`
	}
	// CannotTogether means that the options that the shots have each by itself cannot be had together: stock, a limit or the vehicles do
	// not bear it. The plan may be dearer than the shots by themselves.
	CannotTogether struct{}
	// PinMissed means that a shot has no option of the label that it is pinned to.
	PinMissed struct {
		Pin string `json:"pin"`
	}
	// NoStart means that there is no start within the span of a movable shot.
	NoStart struct{}
	// OverJobTotal means that the job costs more than its limit.
	OverJobTotal struct {
		Limit currency.Amount `json:"limit"`
		Got   currency.Amount `json:"got"`
		Over  currency.Amount `json:"over"`
	}
	// NoDayTransport means that the house's vehicles do not bring what is hired on a day.
	NoDayTransport struct {
		Date     string  `json:"date"` // YYYY-MM-DD
		MassKg   float64 `json:"mass_kg"`
		VolumeM3 float64 `json:"volume_m3"`
	}
	// WayUnsaid means that shots of one day are at two places between which no way is given, so that it counts as no time.
	WayUnsaid struct {
		Between string  `json:"between"`
		And     string  `json:"and"`
		Km      float64 `json:"km"` // in a straight line
	}
	// ShotAtOnce means that shots are shot at the same time, each by a camera unit of its own.
	ShotAtOnce struct {
		Shots []string `json:"shots"`
	}
	// LeadLifts means that shots up at once at one place share the one in charge, who lifts with the others at one of them at least.
	LeadLifts struct {
		Shots []string `json:"shots"`
	}
	// NoRate means that an item has no rate on a day.
	NoRate struct {
		Item Item   `json:"item"`
		Date string `json:"date"` // YYYY-MM-DD
	}
)
