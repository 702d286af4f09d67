package finding

import "kitspan/internal/rigging"

// Reason is where a number of an option comes from: what its formula takes, so that a reader can work it out again. The set is closed.
//
//sumtype:decl
type Reason interface{ reason() }

// The reasons.
type (
	// ForceReason is the wind on a piece at the gust asked: the pressure of the gust, times the coefficient, times the outer area.
	ForceReason struct {
		GustMS      float64
		PressurePa  float64
		Coefficient float64
		AreaM2      float64
		ForceN      float64
	}
	// GustReason is when a piece is watched and lowered. LimitMS is what the house or a machine's maker allows, 0 where the balance decides.
	GustReason struct {
		Factor                                 float64 // on the wind, asked
		SafeToMS, GoesAtMS, LowerAtMS, LimitMS float64
		WatchAtMS                              float64
		Governs                                rigging.Governs
		Held                                   bool // by people, on nothing else
	}
	// BallastReason is what lies on the bases of a piece, each unit EachKg.
	BallastReason struct {
		Bases   int
		Bags    int
		EachKg  float64
		FloorKg float64 // least on a base, and HighKg on one with an arm or high up
		HighKg  float64
		GustMS  float64 // asked, or the least that is held for
	}
	// KeyReason is the key face against the level that the picture is exposed for.
	KeyReason struct{ KeyLx, ReferenceLx, Stops float64 }
	// DensityReason is the neutral density, in stops under 0 where light is missing.
	DensityReason struct {
		ReferenceLx, EV100          float64
		Measured                    bool // EV100 was read
		ISO, FrameRateFPS, AngleDeg float64
		TStop                       float64
		CameraEV100                 float64
		PlacementStops, Stops       float64
		Density                     float64
	}
	// PeopleReason is how many people it takes: the more of the largest moment going up and of those there while the camera runs.
	PeopleReason struct {
		Total, Raise, Work            int
		Hold, Electricians, Operators int
		LeadLifts                     bool // the one in charge is no further person
	}
	// TimeReason is the minutes of putting it up, and Minutes those before they are rounded up.
	TimeReason struct {
		Effort  rigging.Effort
		Minutes float64
		RigMin  int
	}
	// LoadReason is what vehicles carry, machines left out, and the vehicles; none where the house's cannot.
	LoadReason struct {
		MassKg, VolumeM3 float64
		Vehicles         []Carrier
	}
)

// Carrier is vehicles of one kind, and the trips that they make together.
type Carrier struct {
	Goods
	PayloadKg, LoadM3 float64 // of one
	Seats             int
	Trips             int
}

func (ForceReason) reason()   {}
func (GustReason) reason()    {}
func (BallastReason) reason() {}
func (KeyReason) reason()     {}
func (DensityReason) reason() {}
func (PeopleReason) reason()  {}
func (TimeReason) reason()    {}
func (LoadReason) reason()    {}
