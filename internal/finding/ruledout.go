package finding

import (
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/rigging"
)

// Because is why a frame was ruled out, in the words of the contract.
type Because string

// The reasons.
const (
	TooSmall  Because = "too_small"
	InView    Because = "in_view"
	TooHigh   Because = "too_high"
	TooLow    Because = "too_low"
	TooHeavy  Because = "too_heavy"
	NoSupport Because = "no_support"
	NoStock   Because = "no_stock"
	PriceOver Because = "price"
	CrewOver  Because = "crew"
	Windy     Because = "wind"
)

// RuledOut is a frame that does not do, or less well than the one shown, and why.
type RuledOut struct {
	SKU, Name string
	Role      Role
	Because   Because
	// ShortByM is by how much the frame's best placement misses, for the four geometric reasons; else 0.
	ShortByM float64
	// Obstacle is what exactly stands in the way.
	Obstacle Obstacle
	// DoesOnLift means that it would do on a lifting machine, where these are offered.
	DoesOnLift bool
}

// Obstacle is what exactly rules a frame out. The set is closed; the JSON names of the fields are those of the answer.
//
//sumtype:decl
type Obstacle interface {
	// Code is the kind in the words of the contract.
	Code() string
	obstacle()
}

// What rules a frame out wherever it would hang.
type (
	// NotOwned means that the house owns none that it can price on the day.
	NotOwned struct{}
	// NoFabric means that the house has no diffusing fabric for the opening.
	NoFabric struct{}
	// FewSupports means that the house owns too few of the supports that would carry it.
	FewSupports struct{}
	// NoSupports means that the house has no support of the class.
	NoSupports struct{}
	// Overload means that no support of the house carries its share of frame and fabric.
	Overload struct {
		MassKg       float64 `json:"mass_kg"` // frame and fabric
		SafetyFactor float64 `json:"safety_factor"`
	}
)

// What rules a frame out in its place.
type (
	// Misses means that the light passes beside it at its worst: at a corner of the zone, at an instant for the sun, or
	// from a lamp.
	Misses struct {
		Corner Corner    `json:"corner"`
		Source Source    `json:"source"`
		At     time.Time `json:"at"`
	}
	// Nowhere means that it finds no place within a distance of the zone.
	Nowhere struct {
		WithinM float64 `json:"within_m"`
	}
	// InPicture means that it would cover, inside the clearance of the picture.
	InPicture struct{}
	// OverSupports means that it would have to hang higher than its supports reach.
	OverSupports struct{}
	// UnderHeadRoom means that it would have to hang lower than head room allows.
	UnderHeadRoom struct{}
	// OverHeightLimit means that it would cover with its highest part over the limit.
	OverHeightLimit struct {
		LimitM float64 `json:"limit_m"`
	}
	// NoFooting means that none of its supports finds a place to stand.
	NoFooting struct{}
	// OutOfArms means that it would cover where its supports' arms do not reach.
	OutOfArms struct{}
)

// What rules a frame out that would do.
type (
	// NotInWind means that it does not hold the gust.
	NotInWind struct {
		Support   Item            `json:"support"`
		LowerAtMS float64         `json:"lower_at_ms"`
		AskedMS   float64         `json:"asked_ms"`
		Governs   rigging.Governs `json:"governs"`
	}
	// OverPriceLimit means that it costs more than the limit.
	OverPriceLimit struct {
		Support Item            `json:"support"`
		PerDay  currency.Amount `json:"price_per_day"`
	}
	// Dearer means that the larger one is cheaper.
	Dearer struct {
		Support Item            `json:"support"`
		PerDay  currency.Amount `json:"price_per_day"`
	}
	// MoreSupports means that the larger one takes fewer supports, and hands.
	MoreSupports struct {
		Supports       int `json:"supports"`
		LargerSupports int `json:"larger_supports"`
	}
	// Heavier means that the larger one is lighter with all that holds it.
	Heavier struct {
		Support  Item    `json:"support"`
		MassKg   float64 `json:"mass_kg"`
		LargerKg float64 `json:"larger_kg"`
	}
)

// Hopeless reports whether an obstacle stands in a frame's way wherever it would hang.
func Hopeless(o Obstacle) bool {
	switch o.(type) {
	case NotOwned, NoFabric, FewSupports, NoSupports, Overload:
		return true
	default:
		return false
	}
}

// Without is why a step of a day has no overhead. The set is closed.
//
//sumtype:decl
type Without interface {
	// Code is the kind in the words of the contract.
	Code() string
	without()
}

// Those of [Note] that are reasons too are [SofteningOff] and [NothingToSoften].
type (
	// SunInPicture means that no frame out of the picture stops a sun that is in it.
	SunInPicture struct{ Nearest *RuledOut }
	// NoneTogether means that no one frame stops several sources together.
	NoneTogether struct {
		Sources []Source
		Nearest *RuledOut
	}
	// NoFrame means that no frame does.
	NoFrame struct{ Nearest *RuledOut }
)

// NoReach is why a frame covers not even a sliver of the zone, in the picture and alone against so many hard sources.
type NoReach struct {
	Sources int
	Frame   RuledOut
}

// Code returns the kind of obstacle in the words of the contract.
func (n *NoReach) Code() string { return n.Frame.Obstacle.Code() }
