package sizing

import (
	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
)

// keepLimits files the limits that an option breaks, and by how much.
func keepLimits(pl *planner, opt *Option) {
	l := &pl.shot.Limits
	over := func(limit *currency.Amount, got currency.Amount, broken func(over currency.Amount) finding.Note) {
		if limit == nil {
			return
		}
		if by, err := got.Sub(*limit); err == nil && by.IsPositive() {
			opt.breaks(broken(by))
		}
	}
	over(l.PricePerDay, opt.Kit.PerDay, func(by currency.Amount) finding.Note {
		return finding.OverPrice{Limit: *l.PricePerDay, Got: opt.Kit.PerDay, Over: by}
	})
	over(l.TotalPerDay, opt.TotalPerDay, func(by currency.Amount) finding.Note {
		return finding.OverTotal{Limit: *l.TotalPerDay, Got: opt.TotalPerDay, Over: by}
	})
	if l.Crew != nil && opt.Crew.Total > *l.Crew {
		opt.breaks(finding.OverCrew{People: opt.Crew.Total, Limit: *l.Crew})
	}
	if l.MassKg != nil && opt.Load.MassKg > *l.MassKg+1e-9 {
		opt.breaks(finding.OverMass{MassKg: opt.Load.MassKg, LimitKg: *l.MassKg})
	}
	if l.RigHeightM != nil {
		for part := range 1 + len(opt.Moves) {
			for i := range opt.piecesIn(part) {
				if v := &opt.piecesIn(part)[i]; v.topM > *l.RigHeightM+1e-9 {
					opt.breaks(finding.OverHeight{Role: v.Role, TopM: v.topM, LimitM: *l.RigHeightM})
				}
			}
		}
	}
	if l.VehicleSKU != "" && !comesIn(pl, opt, l.VehicleSKU) {
		opt.breaks(finding.OverVehicle{Vehicle: itemOf(pl, l.VehicleSKU), MassKg: opt.Load.MassKg, VolumeM3: opt.Load.VolumeM3})
	}
}

// comesIn reports whether all of an option comes at once in one vehicle of a kind; machines come by themselves.
func comesIn(pl *planner, o *Option, sku string) bool {
	for _, l := range o.Kit.Lines {
		if s, ok := pl.stock.Item(l.SKU).Spec.(*catalog.Support); ok && s.Class == catalog.ClassMachine {
			return false
		}
	}
	return len(o.Kit.Lines) == 0 || len(o.Haul) == 1 && o.Haul[0] == Trips{Count: catalog.Count{SKU: sku, Quantity: 1}, Trips: 1}
}
