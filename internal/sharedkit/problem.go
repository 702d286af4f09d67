package sharedkit

import (
	"errors"
	"fmt"
)

// Problem is the choice of one option for each shot.
type Problem struct {
	// Days is how many days may be hired, from day 0 on.
	Days  int
	Items []Item
	Roles []Role
	Shots []Shot
	// Way is how many minutes it takes from one place to another: shots at two places that are nearer in time than that count as up at
	// once. It is symmetric; nil where nothing takes any time.
	Way [][]int
	// Haul is what vehicles for a day's load cost; ok is false where the fleet cannot bring it. nil where nothing is paid for transport.
	Haul func(day int, load Load, hands int) (minor int64, ok bool)
	// HaulAtLeast is never more than what Haul asks for as much load or more, however many hands there are. nil where Haul itself costs no
	// less for more load.
	HaulAtLeast func(day int, load Load) (minor int64)
	// Limits bound the whole; what is 0 is not bounded.
	Limits Limits
	Aim    Aim
	// Start is a choice that is known to be good, by the option of each shot and -1 for none; nil for no such choice. What is found is never
	// worse.
	Start []int
}

// Aim is what is made least, before the total.
type Aim int

// What a plan can aim at. By price nothing comes before the total.
const (
	Price  Aim = iota
	Mass       // of what is hired on the heaviest day
	People     // at one moment
)

// Limits bound a choice; 0 is no bound.
type Limits struct {
	Crew       int     // people at a moment
	TotalMinor int64   // hire, people and transport together
	MassKg     float64 // of what is hired on one day
	HireMinor  int64
}

// Item is what is hired.
type Item struct {
	Charges Charges
	// Free is how many there are, by day.
	Free []int
	// MassKg and VolumeM3 are of one. What comes by itself, a machine, is no load.
	MassKg, VolumeM3 float64
	Alone            bool
}

// Role is people who are paid by the day.
type Role struct {
	Rates []int64 // by day
	// Shared is set where one does for all shots that are up at once at one place: who is in charge.
	Shared bool
	// Apart is set for those who neither drive nor ride with the rest.
	Apart bool
}

// Use is so many of one item or role, by their places in [Problem].
type Use struct{ Of, N int }

// Shot is shot on one day at one place.
type Shot struct {
	Day, Place int
	Options    []Option
}

// Option is one way to light a shot. Its kit is up From ≤ t < To, in minutes.
type Option struct {
	From, To int
	Items    []Use // each item once
	Roles    []Use // each role once
}

// Load is what a day's vehicles bring.
type Load struct {
	MassKg, VolumeM3       float64
	HeaviestKg, BulkiestM3 float64 // of one item
}

// ErrProblem is a problem that contradicts itself.
var ErrProblem = errors.New("sharedkit: not a problem")

// check reports what is wrong with the problem's shape, so that no search meets it half way.
func (p *Problem) check() error {
	if p.Days < 1 {
		return fmt.Errorf("%w: %d days", ErrProblem, p.Days)
	}
	for i := range p.Items {
		it := &p.Items[i]
		if len(it.Charges) != p.Days || len(it.Free) != p.Days {
			return fmt.Errorf("%w: item %d has charges of %d and stock of %d days of %d", ErrProblem, i, len(it.Charges), len(it.Free), p.Days)
		}
		for first, list := range it.Charges {
			if len(list) != p.Days-first {
				return fmt.Errorf("%w: item %d has %d charges from day %d", ErrProblem, i, len(list), first)
			}
		}
	}
	for i := range p.Roles {
		if len(p.Roles[i].Rates) != p.Days {
			return fmt.Errorf("%w: role %d has rates of %d days", ErrProblem, i, len(p.Roles[i].Rates))
		}
	}
	for s := range p.Shots {
		sh := &p.Shots[s]
		if sh.Day < 0 || sh.Day >= p.Days || sh.Place < 0 || p.Way != nil && sh.Place >= len(p.Way) {
			return fmt.Errorf("%w: shot %d is on day %d at place %d", ErrProblem, s, sh.Day, sh.Place)
		}
		for o := range sh.Options {
			if err := p.checkOption(&sh.Options[o]); err != nil {
				return fmt.Errorf("shot %d, option %d: %w", s, o, err)
			}
		}
	}
	return nil
}

func (p *Problem) checkOption(o *Option) error {
	if o.To <= o.From {
		return fmt.Errorf("%w: up from %d to %d", ErrProblem, o.From, o.To)
	}
	for _, list := range []struct {
		uses []Use
		of   int
	}{{o.Items, len(p.Items)}, {o.Roles, len(p.Roles)}} {
		seen := map[int]bool{}
		for _, u := range list.uses {
			if u.Of < 0 || u.Of >= list.of || u.N < 0 || seen[u.Of] {
				return fmt.Errorf("%w: %d of %d", ErrProblem, u.N, u.Of)
			}
			seen[u.Of] = true
		}
	}
	return nil
}
