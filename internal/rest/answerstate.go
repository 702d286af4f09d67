package rest

import (
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// brokenLimits returns the limits that an option is over.
func (p *printer) brokenLimits(o *sizing.Option) []BrokenLimit {
	out := make([]BrokenLimit, 0, len(o.Broken))
	for _, note := range o.Broken {
		out = append(out, p.brokenLimit(note))
	}
	return out
}

func (p *printer) brokenLimit(note finding.Note) BrokenLimit {
	of := func(limit finding.Limit, asked, got any) BrokenLimit {
		return BrokenLimit{Limit: BrokenLimitLimit(limit), Asked: asked, Got: got}
	}
	by := func(role finding.Role, b BrokenLimit) BrokenLimit {
		r := string(role)
		b.Role = &r
		return b
	}
	switch n := note.(type) {
	case finding.NotHeld:
		return by(n.Role, of(finding.LimitGust, p.number(n.AskedMS, perSpeed), p.down(n.LowerAtMS)))
	case finding.OverPrice:
		return of(finding.LimitHire, money(n.Limit), money(n.Got))
	case finding.OverTotal:
		return of(finding.LimitTotal, money(n.Limit), money(n.Got))
	case finding.OverJobTotal:
		return of(finding.LimitJobTotal, money(n.Limit), money(n.Got))
	case finding.OverCrew:
		return of(finding.LimitCrew, n.Limit, n.People)
	case finding.OverMass:
		return of(finding.LimitMass, n.LimitKg, p.number(n.MassKg, perKg))
	case finding.OverHeight:
		return by(n.Role, of(finding.LimitRigHeight, n.LimitM, p.number(n.TopM, perMetre)))
	case finding.OverVehicle:
		return of(finding.LimitOneVehicle, n.Vehicle.SKU, p.number(n.MassKg, perKg))
	default:
		return of(finding.Limit(note.Code()), nil, nil)
	}
}

// givenUp returns what of the look an option does not do.
func (p *printer) givenUp(o *sizing.Option) []Shortfall {
	out := make([]Shortfall, 0, len(o.GivesUp))
	for _, s := range o.GivesUp {
		one := Shortfall{What: ShortfallWhat(s.What), ByStops: p.optional(s.ByStops, perStop)}
		if s.Zone != "" {
			one.Zone = &s.Zone
		}
		out = append(out, one)
	}
	return out
}

// bestIn returns in what an option is best.
func bestIn(o *sizing.Option) []OptionBestIn {
	out := make([]OptionBestIn, len(o.BestIn))
	for i, in := range o.BestIn {
		out[i] = OptionBestIn(in)
	}
	return out
}

func (p *printer) trade(o *sizing.Option, first bool) Trade {
	t := &o.Trade
	return Trade{
		Text: text.Trade(p.to, o, first), FrameM2: p.number(t.FrameM2, perMetre), FrameSizes: t.Sizes, TotalPerDay: money(t.Total),
		People: t.People, MassKg: p.number(t.MassKg, perKg), Minutes: t.Minutes,
	}
}
