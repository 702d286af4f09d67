package sizing

import (
	"context"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/shot"
)

// reduction is what a plan may go without, and what of the look that gives up.
type reduction struct {
	of  []finding.Aspect
	off lighting.Omit
}

// reductions are what is left out to keep limits, what weighs least first: one thing of the look alone, then more and more together.
var reductions = []reduction{
	{[]finding.Aspect{finding.Net}, lighting.Omit{Net: true}},
	{[]finding.Aspect{finding.Back}, lighting.Omit{Back: true}},
	{[]finding.Aspect{finding.Zone}, lighting.Omit{Zones: true}},
	{[]finding.Aspect{finding.Contrast}, lighting.Omit{Fill: true}},
	{[]finding.Aspect{finding.Key}, lighting.Omit{Key: true}},
	{[]finding.Aspect{finding.Net, finding.Back}, lighting.Omit{Net: true, Back: true}},
	{[]finding.Aspect{finding.Net, finding.Back, finding.Zone}, lighting.Omit{Net: true, Back: true, Zones: true}},
	{[]finding.Aspect{finding.Net, finding.Back, finding.Zone, finding.Contrast}, lighting.Omit{Net: true, Back: true, Zones: true, Fill: true}},
	{[]finding.Aspect{finding.Net, finding.Back, finding.Zone, finding.Contrast, finding.Key}, lighting.Omit{Net: true, Back: true, Zones: true, Fill: true, Key: true}},
}

// reducedSchemes is of how many schemes that are over a limit less is tried.
const reducedSchemes = 2

// keepLimits adds what keeps the limits with less than the look asks, where nothing that does as much softening keeps them: the schemes
// that are over the fewest limits without this or that of what they put up. Wind that a piece does not hold is no reason to leave out
// another.
func (p *pool) keepLimits(ctx context.Context) error {
	var over []*Option
	for i := range p.options {
		o := &p.options[i]
		switch {
		case o.Label == LabelOtherHour: // who asks for an hour wants to know what does then
		case o.State != finding.OverLimit && !o.GivesUpOn(finding.Softening):
			return nil
		case o.State == finding.OverLimit && len(o.Moves) == 0 && !slices.ContainsFunc(o.Broken, isWind):
			over = append(over, o)
		}
	}
	slices.SortStableFunc(over, func(a, b *Option) int {
		if n := len(a.Broken) - len(b.Broken); n != 0 {
			return n
		}
		return a.compare(b)
	})
	var schemes []scheme
	var had [][]finding.Role
	for _, o := range over[:min(len(over), reducedSchemes)] {
		schemes = append(schemes, o.scheme)
		had = append(had, rolesOf(o))
	}
	for i, sch := range schemes {
		for _, less := range reductions {
			if !less.takesOff(had[i]) {
				continue
			}
			opt, err := p.reduced(ctx, sch, less)
			if err != nil {
				return err
			}
			if opt.State != finding.OverLimit && opt.isOf(&sch) {
				p.keep(opt)
				break
			}
		}
	}
	return nil
}

func isWind(n finding.Note) bool { _, ok := n.(finding.NotHeld); return ok }

// reduced returns a scheme without some of what the look asks.
func (p *pool) reduced(ctx context.Context, sch scheme, less reduction) (Option, error) {
	sch.omit = less.off
	asked := slices.DeleteFunc(slices.Clone(less.of), func(a finding.Aspect) bool { return !asks(p.pl.shot, a) })
	sch.notes = append(slices.Clone(sch.notes), finding.LeftOut{What: asked})
	return p.pl.option(ctx, sch)
}

// asks reports whether a shot asks for one of the things that can be left out: nobody leaves out what is not asked.
func asks(s *shot.Shot, what finding.Aspect) bool {
	switch what {
	case finding.Net:
		return s.Look.NetStops > 0
	case finding.Back:
		return s.Look.BackStops != nil && s.Look.Back == shot.BackRequired
	case finding.Zone:
		return len(s.OtherZones) > 0
	default:
		return true
	}
}

// rolesOf are the roles of an option's pieces, each once.
func rolesOf(o *Option) (roles []finding.Role) {
	for i := range o.Pieces {
		if r := o.Pieces[i].Role; !slices.Contains(roles, r) {
			roles = append(roles, r)
		}
	}
	return roles
}

// takesOff reports whether each thing that a reduction leaves out may have put up something that is there.
func (r *reduction) takesOff(roles []finding.Role) bool {
	by := map[finding.Aspect][]finding.Role{
		finding.Net: {finding.RoleNet}, finding.Contrast: {finding.RoleFill, finding.RoleBlack, finding.RoleLamp},
		finding.Back: {finding.RoleLamp}, finding.Key: {finding.RoleReflector, finding.RoleLamp},
		finding.Zone: {finding.RoleReflector, finding.RoleLamp},
	}
	last := r.of[len(r.of)-1]
	return slices.ContainsFunc(by[last], func(role finding.Role) bool { return slices.Contains(roles, role) })
}
