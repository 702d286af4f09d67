package job

import (
	"slices"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/terms"
)

// Plan is one option for each shot of a job, and the kit that they share.
type Plan struct {
	Job   Job
	House catalog.House
	Terms *terms.Terms  // by which days of hire are charged; nil for every calendar day
	Shots []PlannedShot // in the order of the job
	Kit   []HireLine    // by kind, SKU and first day
	Days  []Day         // every one on which a shot is up, in their order
	// Total is the sum of the three.
	Hire, Labour, Transport, Total currency.Amount
	// MassKg is what is hired on the heaviest day, machines included; People are the most at one moment, drivers left out.
	MassKg float64
	People int
	// Broken are the limits of the job that it is over.
	Broken []finding.Note
	// Bound is under what no choice among the options considered comes, by the aim; the others are nil. Proven means that there is none
	// better.
	Bound       *currency.Amount
	BoundMassKg *float64
	BoundPeople *int
	Proven      bool
	Considered  int
	// Separately is what the shots cost planned each by itself, put together; nil where one of them has no option.
	Separately *currency.Amount
	Clashes    []Clash
	Notes      []finding.Note
	Cautions   []finding.Caution
}

// Saved is what the shared kit and crew save against the shots planned each by itself; nil where that is nothing, or not known.
func (p *Plan) Saved() *currency.Amount {
	if p.Separately == nil {
		return nil
	}
	saved, err := p.Separately.Sub(p.Total)
	if err != nil || !saved.IsPositive() {
		return nil
	}
	return &saved
}

// Keeps reports whether the plan has an option for every shot and keeps stock and the limits of the job.
func (p *Plan) Keeps() bool {
	return len(p.Clashes) == 0 && len(p.Broken) == 0 && !slices.ContainsFunc(p.Shots, func(s PlannedShot) bool { return s.Option == nil })
}

// PlannedShot is a shot with what was chosen for it.
type PlannedShot struct {
	Number, Place string
	// Option is the one chosen, nil where there is none: then RuledOut says why no frame serves. Shot is as it was sized.
	Option   *sizing.Option
	Shot     shot.Shot
	Index    int // of the option in the pool
	Up       Span
	Alone    *Alone
	RuledOut []finding.RuledOut
	Notes    []finding.Note
	// Pool are the options considered, those that the shot has by itself first.
	Pool []PoolOption
}

// Alone is what is chosen for a job of one shot.
type Alone struct {
	Label sizing.Label
	Total currency.Amount
}

// Span is from one instant to a later one, which is not in it.
type Span struct{ From, To time.Time }

// PoolOption is an option that was considered.
type PoolOption struct {
	Label  sizing.Label
	State  finding.State
	Window shot.Window
	Up     Span
	Kit    []catalog.Count // machines included, by SKU
	People []catalog.Count // operators included, by SKU
	// Unsent are people whom it takes and the house does not send, by role.
	Unsent []finding.NoLabour
	// MassKg and VolumeM3 are of the kit, machines included.
	MassKg, VolumeM3 float64
}

// HireLine is so many of an item over a span of days, both included.
type HireLine struct {
	SKU, Name   string
	Quantity    int
	From, To    catalog.Date
	ChargedDays int
	DayRate     currency.Amount
	Amount      currency.Amount
	// NeededBy are the shots that use the item while the line runs, LastUnitFor those of them without which it would be smaller.
	NeededBy, LastUnitFor []string
}

// CalendarDays is how many days the line runs.
func (l *HireLine) CalendarDays() int { return daysFrom(l.From, l.To) + 1 }

// Day is one on which a shot is up.
type Day struct {
	Date    catalog.Date
	Moments []Moment
	// People are who is paid, operators included; Vehicles come with their drivers.
	People, Vehicles []DayLine
	MassKg           float64 // of what is hired, machines included
}

// Moment is a span of time with the same shots up.
type Moment struct {
	Span
	// Between means that they count as up at once only because of the way between their places, and are not.
	Between bool
	Shots   []string
	People  int
}

// DayLine is so many of an item for a day.
type DayLine struct {
	SKU, Name string
	Quantity  int
	DayRate   currency.Amount
	Amount    currency.Amount
}

// Clash is a span of time in which more of an item is needed than the house has.
type Clash struct {
	SKU, Name string
	Shots     []string // in the order of time
	Span
	Short int
	// ShiftMin is by how many minutes the last of the shots would have to move, later positive; nil where no shift within its day does.
	ShiftMin *int
}
