package sizing

import (
	"math"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/light"
	"kitspan/internal/shot"
)

// PieceReasons returns where the numbers of pieces alike come from: force and gusts, each the worst of them, and the ballast of all.
func PieceReasons(alike []Piece, s *shot.Shot, stock *catalog.Snapshot) []finding.Reason {
	if len(alike) == 0 {
		return nil
	}
	worst, bags := WorstHold(alike), finding.BallastReason{FloorKg: s.Allowance.BallastKg, HighKg: s.Allowance.BallastHighKg, GustMS: math.Max(s.GustMS, anchorage.LeastGustMS)}
	for i := range alike {
		for k := range alike[i].Supports {
			base := &alike[i].Supports[k].Ballast
			if base.Quantity == 0 {
				continue
			}
			if item := stock.Item(base.SKU); item != nil {
				bags.EachKg = item.MassKg
			}
			bags.Bases++
			bags.Bags += base.Quantity
		}
	}
	var out []finding.Reason
	if s.GustMS > 0 {
		out = append(out, finding.ForceReason{
			GustMS: s.GustMS, PressurePa: worst.PressurePa, Coefficient: worst.Coefficient, AreaM2: worst.AreaM2, ForceN: worst.ForceN,
		})
	}
	gusts := finding.GustReason{
		Factor: s.SafetyFactor, SafeToMS: worst.SafeToMS, GoesAtMS: worst.GoesAtMS, LowerAtMS: worst.LowerAtMS, WatchAtMS: worst.WatchAtMS,
		Governs: worst.Governs, Held: len(alike[0].HeldBy) > 0,
	}
	if worst.LimitSet() {
		gusts.LimitMS = worst.LowerAtMS
	}
	out = append(out, gusts)
	if bags.Bags > 0 && bags.EachKg > 0 {
		out = append(out, bags)
	}
	return out
}

// WorstHold returns the worst of each number of what the wind does to pieces alike: the force with what makes it of the one that the wind
// presses most, the least of each gust, and what governs the one that is lowered first. The list is not empty.
func WorstHold(alike []Piece) Hold {
	worst := alike[0].Hold
	for i := range alike[1:] {
		h := &alike[1+i].Hold
		if h.ForceN > worst.ForceN {
			worst.AreaM2, worst.PressurePa, worst.Coefficient, worst.ForceN = h.AreaM2, h.PressurePa, h.Coefficient, h.ForceN
		}
		if h.LowerAtMS < worst.LowerAtMS {
			worst.Governs, worst.Support = h.Governs, h.Support
		}
		worst.WatchAtMS, worst.LowerAtMS = math.Min(worst.WatchAtMS, h.WatchAtMS), math.Min(worst.LowerAtMS, h.LowerAtMS)
		worst.SafeToMS, worst.GoesAtMS = math.Min(worst.SafeToMS, h.SafeToMS), math.Min(worst.GoesAtMS, h.GoesAtMS)
		worst.RopeGoneMS = math.Min(worst.RopeGoneMS, h.RopeGoneMS)
	}
	return worst
}

// LightReasons returns where key level and neutral density come from, of the time before the first move; none in the dark.
func (o *Option) LightReasons(s *shot.Shot) []finding.Reason {
	b := &o.Background
	if b.ReferenceLx <= 0 {
		return nil
	}
	var out []finding.Reason
	if l := &o.Levels; l.KeyLx > 0 {
		out = append(out, finding.KeyReason{KeyLx: l.KeyLx, ReferenceLx: b.ReferenceLx, Stops: l.KeyStops})
	}
	e := &s.Exposure
	camera := light.Exposure{ISO: e.ISO, FrameRateFPS: e.FrameRateFPS, ShutterAngleDeg: e.ShutterAngleDeg, TStop: e.TStop}
	return append(out, finding.DensityReason{
		ReferenceLx: b.ReferenceLx, EV100: b.EV100, Measured: s.Background.EV100 != nil,
		ISO: e.ISO, FrameRateFPS: e.FrameRateFPS, AngleDeg: e.ShutterAngleDeg, TStop: e.TStop, CameraEV100: camera.EV100(),
		PlacementStops: s.Background.PlacementStops, Stops: b.NDStops, Density: b.NDDensity,
	})
}

// CrewReasons returns where people and minutes come from; none where nobody is needed.
func (o *Option) CrewReasons() []finding.Reason {
	c := &o.Crew
	if c.Total == 0 {
		return nil
	}
	return []finding.Reason{
		finding.PeopleReason{
			Total: c.Total, Raise: c.Raise, Work: c.Work, Hold: c.Hold, Electricians: c.Electricians, Operators: c.Operators, LeadLifts: c.LeadLifts,
		},
		finding.TimeReason{Effort: c.Rigging, Minutes: c.Rigging.Minutes(), RigMin: c.RigMin},
	}
}

// LoadReasons returns what vehicles carry, and which; none where there is nothing to bring.
func (o *Option) LoadReasons(stock *catalog.Snapshot) []finding.Reason {
	cargo, _ := cargoOf(o.Kit.Lines, stock)
	if cargo.MassKg <= 0 && cargo.VolumeM3 <= 0 {
		return nil
	}
	out := finding.LoadReason{MassKg: cargo.MassKg, VolumeM3: cargo.VolumeM3}
	for _, h := range o.Haul {
		item := stock.Item(h.SKU)
		if item == nil {
			continue
		}
		if spec, ok := item.Spec.(*catalog.Vehicle); ok {
			out.Vehicles = append(out.Vehicles, finding.Carrier{
				Goods: finding.Goods{Item: finding.ItemOf(item), Quantity: h.Quantity}, PayloadKg: spec.PayloadKg, LoadM3: spec.LoadM3, Seats: spec.Seats, Trips: h.Trips,
			})
		}
	}
	return []finding.Reason{out}
}
