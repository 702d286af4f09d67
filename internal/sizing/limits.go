package sizing

import (
	"fmt"
	"math"
)

// keepLimits marks an option that breaks a limit and says by how much.
func (e *engine) keepLimits(opt *Option) {
	broken := func(format string, args ...any) {
		opt.Workable = false
		opt.Notes = append(opt.Notes, fmt.Sprintf(format, args...))
	}
	l := &e.shot.Limits
	if l.PricePerDay != nil {
		if over, err := opt.Kit.PerDay.Sub(*l.PricePerDay); err == nil && over.IsPositive() {
			broken("Over the limit of %s %s a day by %s %s.",
				l.PricePerDay.Number(), l.PricePerDay.CurrencyCode(), over.Number(), over.CurrencyCode())
		}
	}
	if l.Crew != nil && opt.Crew.Total > *l.Crew {
		broken("Takes %d people, %d more than the limit of %d.", opt.Crew.Total, opt.Crew.Total-*l.Crew, *l.Crew)
	}
	if l.MassKg != nil && opt.Load.MassKg > *l.MassKg+1e-9 {
		broken("Weighs %.0f kg with all that holds it, %.0f kg over the limit of %.0f kg.", opt.Load.MassKg, math.Ceil(opt.Load.MassKg-*l.MassKg), *l.MassKg)
	}
	if l.RigHeightM == nil {
		return
	}
	for i := range opt.Pieces {
		v := &opt.Pieces[i]
		if top := v.topM; top > *l.RigHeightM+1e-9 {
			broken("%s reaches %.2f m up, %.2f m over the limit of %.2f m.", sentence(roleWords[v.Role]), top, math.Ceil((top-*l.RigHeightM)*100)/100, *l.RigHeightM)
		}
	}
}
