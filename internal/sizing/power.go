package sizing

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/lighting"
)

// Power is what the lamps of an option draw, spread over circuits of the supply that the shot names.
type Power struct {
	MainsW, BatteryW float64
	Volts            float64
	Circuits         []Circuit
	// LongestRunM is the longest run of cable from the supply to a lamp, on the level and up its stand.
	LongestRunM float64
	// GeneratorVA is the least apparent power of a generator, where one is asked for; 0 where not, or nothing is on the mains.
	GeneratorVA float64
}

// Circuit is the lamps on one breaker, by their index among the pieces.
type Circuit struct {
	Lamps       []int
	Watts, Amps float64
	CableRunsM  []float64 // to each lamp
	Overloaded  bool      // one lamp alone draws more than the breaker may carry all the time
}

const (
	// circuitShare is how much of a breaker's rating may be drawn all the time (80 %, common practice, from memory of
	// NFPA 70, 210.20).
	circuitShare = 0.8
	// powerFactor stands for lamps with electronic ballasts without correction (common practice, no source).
	powerFactor = 0.9
	// generatorSpare is how much larger than the load a generator is (common practice, no source).
	generatorSpare = 1.25
)

// powerOf spreads the lamps on the mains over circuits: the largest first, each into the first circuit that takes it.
func powerOf(pl *planner, a *lighting.Arrangement) Power {
	s := &pl.shot.Supply
	out := Power{Volts: s.Volts, Circuits: []Circuit{}}
	most := s.CircuitA * circuitShare
	type load struct {
		index int
		watts float64
		runM  float64
	}
	var loads []load
	for i, p := range a.Pieces {
		if p.Lamp == nil {
			continue
		}
		if pl.stock.Item(p.Items[0].SKU).Spec.(*catalog.Lamp).Supply != catalog.SupplyMains {
			out.BatteryW += p.PowerW
			continue
		}
		out.MainsW += p.PowerW
		at := a.Light.Stage.ToWorld(p.Lamp.At)
		run := math.Abs(at.X-s.At.X) + math.Abs(at.Y-s.At.Y) + at.Z
		out.LongestRunM = math.Max(out.LongestRunM, run)
		loads = append(loads, load{len(a.Rigs) + i, p.PowerW, run})
	}
	for len(loads) > 0 {
		at := 0
		for i := range loads {
			if loads[i].watts > loads[at].watts {
				at = i
			}
		}
		l := loads[at]
		loads = append(loads[:at], loads[at+1:]...)
		amps := l.watts / powerFactor / s.Volts
		into := -1
		for i := range out.Circuits {
			if out.Circuits[i].Amps+amps <= most {
				into = i
				break
			}
		}
		if into < 0 {
			out.Circuits = append(out.Circuits, Circuit{Overloaded: amps > most})
			into = len(out.Circuits) - 1
		}
		c := &out.Circuits[into]
		c.Lamps, c.CableRunsM = append(c.Lamps, l.index), append(c.CableRunsM, l.runM)
		c.Watts, c.Amps = c.Watts+l.watts, c.Amps+amps
	}
	if s.Generator && out.MainsW > 0 {
		out.GeneratorVA = generatorSpare * out.MainsW / powerFactor
	}
	return out
}
