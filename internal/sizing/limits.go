package sizing

import "kitspan/internal/finding"

// limitsBroken returns a note for each limit on price, people and mass that what is taken breaks, and by how much.
func (pl *planner) limitsBroken(t taken) (broken []finding.Note) {
	l := &pl.shot.Limits
	if l.PricePerDay != nil {
		if over, err := t.perDay.Sub(*l.PricePerDay); err == nil && over.IsPositive() {
			broken = append(broken, finding.OverPrice{Limit: *l.PricePerDay, Over: over})
		}
	}
	if l.Crew != nil && t.people > *l.Crew {
		broken = append(broken, finding.OverCrew{People: t.people, Limit: *l.Crew})
	}
	if l.MassKg != nil && t.massKg > *l.MassKg+1e-9 {
		broken = append(broken, finding.OverMass{MassKg: t.massKg, LimitKg: *l.MassKg})
	}
	return broken
}

// keepLimits marks an option that breaks a limit and notes by how much.
func keepLimits(pl *planner, opt *Option) {
	broken := pl.limitsBroken(opt.takes())
	if most := pl.shot.Limits.RigHeightM; most != nil {
		for i := range opt.Pieces {
			v := &opt.Pieces[i]
			if v.topM > *most+1e-9 {
				broken = append(broken, finding.OverHeight{Role: v.Role, TopM: v.topM, LimitM: *most})
			}
		}
	}
	opt.Notes = append(opt.Notes, broken...)
	opt.Workable = opt.Workable && len(broken) == 0
}
