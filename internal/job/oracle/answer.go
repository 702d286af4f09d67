package oracle

import (
	"encoding/json"
	"strconv"
	"strings"
	"time"
)

// Answer is the body of a plan with the options considered, by the names of the contract: what is compared here and no more.
type Answer struct {
	Job struct {
		TimeZone string `json:"time_zone"`
		Hire     struct{ From, To string }
		Moves    []struct {
			Between []string
			Minutes int
		}
		Shots []struct {
			Number, Place string
			Pin           *string
			Window        *Window
			When          *struct {
				Date, Earliest, Latest string
				DurationMin            int `json:"duration_min"`
			}
		}
		Places map[string]struct {
			TimeZone string `json:"time_zone"`
		}
	}
	Shots       []Shot
	Kit         []Line
	Days        []Day
	Hire        Money
	Labour      Money
	Transport   Money
	Total       Money
	MassKg      float64 `json:"mass_kg"`
	People      int
	Broken      []Broken
	Bound       *Money
	BoundMassKg *float64 `json:"bound_mass_kg"`
	BoundPeople *int     `json:"bound_people"`
	Proven      bool
	Considered  int
	Separately  *Money
	Clashes     []Clash
	Pool        map[string][]Option
	Notes       []Note
}

// Window is when a shot is shot, by the clocks of its place.
type Window struct {
	Date, Start, End string
	EndDate          string `json:"end_date"`
}

// Shot is a shot as it is planned.
type Shot struct {
	Number, Place string
	Window        *Window
	Option        *struct {
		Label, State string
		Crew         struct {
			Total     int
			RigMin    int `json:"rig_min"`
			StrikeMin int `json:"strike_min"`
		}
		Kit []struct {
			SKU      string
			Quantity int
		}
	}
	OptionIndex *int       `json:"option_index"`
	UpFrom      *time.Time `json:"up_from"`
	UpTo        *time.Time `json:"up_to"`
	Alone       *struct {
		Label string
		Total Money
	}
	Notes []Note
}

// Line is so many of an item over a span of days.
type Line struct {
	SKU         string
	Quantity    int
	From, To    string
	ChargedDays int   `json:"charged_days"`
	DayRate     Money `json:"day_rate"`
	Amount      Money
	NeededBy    []string `json:"needed_by"`
	LastUnitFor []string `json:"last_unit_for"`
}

// Day is one on which a shot is up.
type Day struct {
	Date             string
	Moments          []Moment
	People, Vehicles []struct {
		SKU      string
		Quantity int
		DayRate  Money `json:"day_rate"`
		Amount   Money
	}
	MassKg float64 `json:"mass_kg"`
}

// Moment is a span of time with the same shots up.
type Moment struct {
	From, To time.Time
	Shots    []string
	People   int
}

// Broken is a limit that the plan is over.
type Broken struct {
	Limit      string
	Asked, Got any
}

// Clash is a span of time in which more is needed than there is.
type Clash struct {
	SKU      string
	Shots    []string
	From, To time.Time
	Short    int
	ShiftMin *int `json:"shift_min"`
}

// Option is one that was considered.
type Option struct {
	Label, State string
	Window       Window
	UpFrom       time.Time `json:"up_from"`
	UpTo         time.Time `json:"up_to"`
	Kit, People  []struct {
		SKU      string
		Quantity int
	}
	Unsent []struct {
		Labour   string
		Quantity int
	}
	MassKg   float64 `json:"mass_kg"`
	VolumeM3 float64 `json:"volume_m3"`
}

// Note is a remark.
type Note struct {
	Code   string
	Date   string
	Labour struct{ SKU string }
	Hours  float64
}

// Money is an amount.
type Money struct{ Amount, Currency string }

// Minor returns the amount in hundredths: the demo houses price in a currency that has those.
func (m Money) Minor() int64 {
	n, err := strconv.ParseInt(strings.Replace(m.Amount, ".", "", 1), 10, 64)
	if err != nil {
		panic("oracle: " + m.Amount)
	}
	return n
}

// Read reads a response's body.
func Read(body []byte) (*Answer, error) {
	var a Answer
	if err := json.Unmarshal(body, &a); err != nil {
		return nil, err
	}
	return &a, nil
}

// Has reports whether a note of a code is there.
func Has(notes []Note, code string) bool {
	for _, n := range notes {
		if n.Code == code {
			return true
		}
	}
	return false
}
