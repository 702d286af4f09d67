package sizing

import (
	"fmt"
	"slices"

	"github.com/bojanz/currency"

	"kitspan/internal/finding"
)

// price fills in labour and transport of a step, by its neighbour toward the plan. A step for less wind is brought by the vehicles of
// one for more where that is cheaper; where no vehicles bring one for more, it has those of the one for less.
func (c *curve) price(s, from *windStep) error {
	s.labour, s.transport, s.hauled = from.labour, from.transport, from.hauled
	if s.people == from.people && slices.Equal(s.fast, from.fast) {
		return nil
	}
	kit, err := c.pl.prices.Price(c.counts(s.fast))
	if err != nil {
		return fmt.Errorf("sizing: kit of %s at %.0f m/s: %w", c.opt.Label, s.gustMS, err)
	}
	day := Option{Label: c.opt.Label, Kit: kit, Crew: c.opt.Crew}
	day.Crew.Total = s.people
	_, operators := c.tasks(s)
	if day.Labour, err = labourOf(c.pl, &day, operators); err != nil {
		return err
	}
	var ok bool
	if s.labour, ok = minorOf(&day.Labour.PerDay); !ok {
		return fmt.Errorf("sizing: labour of %s at %.0f m/s is no number of minor units", c.opt.Label, s.gustMS)
	}
	if !from.hauled {
		return nil
	}
	if day.Transport, err = transportOf(c.pl, &day); err != nil {
		return err
	}
	fare, ok := minorOf(&day.Transport.PerDay)
	switch {
	case !ok:
		return fmt.Errorf("sizing: transport of %s at %.0f m/s is no number of minor units", c.opt.Label, s.gustMS)
	case len(day.Haul) == 0:
	case s.gustMS < c.plan.gustMS:
		s.transport = min(s.transport, fare)
	default:
		s.transport = max(s.transport, fare)
	}
	return nil
}

// steps returns the curve in ascending order.
func (c *curve) steps() ([]WindStep, error) {
	all := slices.Clone(c.below)
	slices.Reverse(all)
	if slices.Contains(CurveMS(), c.plan.gustMS) {
		all = append(all, &c.plan)
	}
	out := make([]WindStep, 0, len(all)+len(c.above))
	for _, s := range append(all, c.above...) {
		total, err := currency.NewAmountFromInt64(s.hire+s.labour+s.transport, c.opt.Kit.PerDay.CurrencyCode())
		if err != nil {
			return nil, fmt.Errorf("sizing: total of %s at %.0f m/s: %w", c.opt.Label, s.gustMS, err)
		}
		step := WindStep{GustMS: s.gustMS, BallastKg: s.kg, People: s.people, TotalPerDay: total, Down: []finding.Role{}}
		for i, up := range s.up {
			part, at := c.partOf(i)
			if r := c.opt.piecesIn(part)[at].Role; !up && !slices.Contains(step.Down, r) {
				step.Down = append(step.Down, r)
			}
		}
		out = append(out, step)
	}
	return out, nil
}
