package finding

// State is how far a plan does what is asked of it, in the words of the contract.
type State string

// The states, best first.
const (
	DoesIt    State = "does_it"    // all that the look asks, within all limits, and it holds the gust
	DoesLess  State = "does_less"  // within all limits and the gust, with less than the look asks
	OverLimit State = "over_limit" // over a limit, the gust included
)

// Compare returns a number under 0 where a state is better than another, over 0 where it is worse.
func (s State) Compare(o State) int { return s.rank() - o.rank() }

func (s State) rank() int {
	switch s {
	case DoesIt:
		return 0
	case DoesLess:
		return 1
	case OverLimit:
	}
	return 2
}

// Shortfall is one thing that the look asks and a plan does not do.
type Shortfall struct {
	What Aspect
	Zone string // the label of the further zone
	// ByStops is by how many stops a level misses what is asked, over 0 where it is higher, for a contrast where that is stronger; nil
	// where the thing is not a level or there is nothing to measure it against.
	ByStops *float64
}

// Aspect is a thing that a look asks.
type Aspect string

// The aspects, those first whose loss weighs most.
const (
	Softening Aspect = "softening"
	Key       Aspect = "key"
	Contrast  Aspect = "contrast"
	Zone      Aspect = "zone"
	Back      Aspect = "back"
	Net       Aspect = "net"
	Colour    Aspect = "colour"
)

// Limit is what a user limits, in the words of the contract; a gust is limited by what is asked of every piece.
type Limit string

// The limits.
const (
	LimitGust       Limit = "gust_ms"
	LimitCrew       Limit = "crew"
	LimitHire       Limit = "price_per_day"
	LimitTotal      Limit = "total_per_day"
	LimitJobTotal   Limit = "total" // of a job
	LimitMass       Limit = "mass_kg"
	LimitRigHeight  Limit = "rig_height_m"
	LimitOneVehicle Limit = "vehicle_sku"
)
