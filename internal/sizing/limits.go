package sizing

import "kitspan/internal/finding"

// keepLimits marks an option that breaks a limit and notes by how much.
func keepLimits(pl *planner, opt *Option) {
	broken := func(n finding.Note) {
		opt.Workable = false
		opt.Notes = append(opt.Notes, n)
	}
	l := &pl.shot.Limits
	if l.PricePerDay != nil {
		if over, err := opt.Kit.PerDay.Sub(*l.PricePerDay); err == nil && over.IsPositive() {
			broken(finding.OverPrice{Limit: *l.PricePerDay, Over: over})
		}
	}
	if l.Crew != nil && opt.Crew.Total > *l.Crew {
		broken(finding.OverCrew{People: opt.Crew.Total, Limit: *l.Crew})
	}
	if l.MassKg != nil && opt.Load.MassKg > *l.MassKg+1e-9 {
		broken(finding.OverMass{MassKg: opt.Load.MassKg, LimitKg: *l.MassKg})
	}
	if l.RigHeightM == nil {
		return
	}
	for i := range opt.Pieces {
		v := &opt.Pieces[i]
		if v.topM > *l.RigHeightM+1e-9 {
			broken(finding.OverHeight{Role: v.Role, TopM: v.topM, LimitM: *l.RigHeightM})
		}
	}
}
