package rest

import (
	"math"

	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// down rounds a limit down, so that what is printed is never more than what holds.
func (p *printer) down(gustMS float64) float64 {
	p.number(gustMS, perSpeed) // counts what is no number
	return math.Floor(gustMS*perSpeed+1e-6) / perSpeed
}

// hold is what a piece bears, one with ropes where roped.
func (p *printer) hold(h *sizing.Hold, roped bool) Hold {
	out := Hold{
		AreaM2: p.number(h.AreaM2, perMetre), PressurePa: p.number(h.PressurePa, perMetre), Coefficient: p.number(h.Coefficient, perMetre),
		ForceN: p.number(h.ForceN, perNewton), SafeToMs: p.down(h.SafeToMS), LowerAtMs: p.down(h.LowerAtMS),
		WatchAtMs: p.down(h.WatchAtMS), GoesAtMs: p.down(h.GoesAtMS), Governs: HoldGoverns(h.Governs),
	}
	if h.Support >= 0 {
		out.Support = &h.Support
	}
	if roped {
		gone := p.down(h.RopeGoneMS)
		out.RopeGoneMs = &gone
	}
	return out
}

func (p *printer) wind(list []sizing.WindStep) []WindStep {
	out := make([]WindStep, len(list))
	for i := range list {
		w := &list[i]
		down := make([]string, len(w.Down))
		for k, r := range w.Down {
			down[k] = string(r)
		}
		out[i] = WindStep{
			GustMs: p.number(w.GustMS, perSpeed), BallastKg: p.number(w.BallastKg, perKg), People: w.People, TotalPerDay: money(w.TotalPerDay), Down: down,
		}
	}
	return out
}

func (p *printer) lines(list []sizing.GuyLine) []PlacedLine {
	out := make([]PlacedLine, len(list))
	for i := range list {
		l := &list[i]
		out[i] = PlacedLine{Sku: l.SKU, From: PlacedLineFromFrame, FromM: p.point(l.From), ToM: p.point(l.To), PullN: p.number(l.PullN, perNewton)}
		if !l.OnFrame() {
			out[i].From, out[i].Support = PlacedLineFromSupport, &l.Support
		}
		if l.Point != "" {
			out[i].AnchorLabel = &l.Point
		} else {
			out[i].Anchor = &Count{Sku: l.Anchor.SKU, Quantity: l.Anchor.Quantity}
		}
	}
	return out
}

func (p *printer) crew(o *sizing.Option) Crew {
	c := &o.Crew
	return Crew{
		Raise: c.Raise, Hold: c.Hold, Work: c.Work, Operators: c.Operators, Electricians: c.Electricians, Total: c.Total,
		RigMin: float64(c.RigMin), StrikeMin: float64(c.StrikeMin), ReaimMin: p.optional(o.ReaimMin, perMinute), Order: text.Order(p.to, o.Order),
	}
}

func (p *printer) load(o *sizing.Option) Load {
	out := Load{
		MassKg: p.number(o.Load.MassKg, perKg), VolumeM3: p.number(o.Load.VolumeM3, perKg), Vehicles: make([]VehicleTrips, len(o.Haul)),
	}
	for i, h := range o.Haul {
		out.Vehicles[i] = VehicleTrips{Sku: h.SKU, Quantity: h.Quantity, Trips: h.Trips}
	}
	return out
}

func (p *printer) power(w *sizing.Power) Power {
	out := Power{
		MainsW: p.number(w.MainsW, perWatt), BatteryW: p.number(w.BatteryW, perWatt), Volts: w.Volts, Circuits: make([]Circuit, len(w.Circuits)),
		LongestRunM: p.number(w.LongestRunM, perAmp), GeneratorVa: p.number(w.GeneratorVA, perWatt),
	}
	for i := range w.Circuits {
		c := &w.Circuits[i]
		runs := make([]float64, len(c.CableRunsM))
		for k, m := range c.CableRunsM {
			runs[k] = p.number(m, perAmp)
		}
		out.Circuits[i] = Circuit{Pieces: c.Lamps, Watts: p.number(c.Watts, perWatt), Amps: p.number(c.Amps, perAmp), CableRunsM: runs, Overloaded: c.Overloaded}
	}
	return out
}
