package sizing

import (
	"cmp"
	"context"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// mostSwitchedAlone is how many lamps are tried with each of them alone off, the strongest first: with all of them off, five searches
// at most.
const mostSwitchedAlone = 4

// switchedOff adds the shot with lamps off that may be: all of those that are to be softened, and each alone.
func (p *pool) switchedOff(ctx context.Context) error {
	some := mayBeOff(p.light.ToSoften)
	if len(some) == 0 {
		return nil
	}
	if err := p.without(ctx, p.allOff(some)); err != nil {
		return err
	}
	if len(some) == 1 {
		return nil
	}
	slices.SortStableFunc(some, func(a, b *scene.Source) int { return cmp.Compare(b.Moments[0].Lux, a.Moments[0].Lux) })
	for _, src := range some[:min(len(some), mostSwitchedAlone)] {
		if err := p.without(ctx, []string{src.Label}); err != nil {
			return err
		}
	}
	return nil
}

// mayBeOff returns the lamps of a list that may be switched off.
func mayBeOff(list []*scene.Source) (out []*scene.Source) {
	for _, src := range list {
		if src.Lamp != nil && src.Lamp.CanBeOff {
			out = append(out, src)
		}
	}
	return out
}

func labelsOf(list []*scene.Source) (labels []string) {
	for _, src := range list {
		labels = append(labels, src.Label)
	}
	return labels
}

// allOff returns the labels of lamps that may be off, and of those that count as hard once these are.
func (p *pool) allOff(some []*scene.Source) (labels []string) {
	for len(some) > 0 {
		labels = append(labels, labelsOf(some)...)
		some = mayBeOff(scene.LightOf(p.unlit(labels)).ToSoften)
	}
	return labels
}

// unlit returns the shot without some of its lamps.
func (p *pool) unlit(labels []string) *shot.Shot {
	s := *p.pl.shot
	s.Lamps = slices.DeleteFunc(slices.Clone(s.Lamps), func(l shot.Lamp) bool { return slices.Contains(labels, l.Label) })
	return &s
}

// without adds the plans with some lamps off: an overhead for the sources that are left, or none where nothing is, and lamps where
// reflectors do not lift the key.
func (p *pool) without(ctx context.Context, labels []string) error {
	sc := scene.LightOf(p.unlit(labels))
	sch := scheme{label: LabelOverhead, light: sc, by: lighting.ByReflectors, off: labels, notes: slices.Clone(p.notes)}
	if len(sc.ToSoften) == 0 {
		sch.notes = append(sch.notes, finding.NothingToSoften{Because: finding.SoftSwitchedOff})
	} else {
		onStands, onLift := p.pl.rigs(ctx, overhead.NewGroup(ctx, sc.Stage, sc.ToSoften), sc.Stage, sc.ToSoften)
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case onStands != nil:
			sch.rigs = onStands
		case onLift != nil:
			sch.label, sch.rigs = LabelOnLift, onLift
		default:
			return nil // what is left is no easier to soften
		}
	}
	opt, err := p.add(ctx, p.pl, sch)
	if err != nil || sc.Driver >= 0 && sc.Throughout && opt.lifted {
		return err
	}
	sch.label, sch.by = LabelLamps, lighting.ByLamps
	_, err = p.add(ctx, p.pl, sch)
	return err
}

// leavesOn reports whether an option switches no lamp off that another leaves on.
func (o *Option) leavesOn(p *Option) bool {
	return !slices.ContainsFunc(o.SwitchOff, func(label string) bool { return !slices.Contains(p.SwitchOff, label) })
}

// noteSwitchedOff notes on an option with lamps off what that saves against the first of a list, best first, that leaves every lamp on and
// is in the same state.
func (p *pool) noteSwitchedOff(o *Option, list []Option) {
	if len(o.SwitchOff) == 0 {
		return
	}
	n := finding.SwitchedOff{Lamps: o.SwitchOff, BackgroundRead: p.pl.shot.Background.EV100 != nil}
	n.OnlySo = !slices.ContainsFunc(list, func(q Option) bool { return len(q.SwitchOff) == 0 && q.State.Compare(o.State) <= 0 })
	if i := slices.IndexFunc(list, func(q Option) bool { return len(q.SwitchOff) == 0 && q.State == o.State }); i >= 0 {
		on, own := list[i].measures(), o.measures()
		n.Saves = &finding.Saving{FrameM2: on.areaM2 - own.areaM2, People: on.people - own.people}
		n.Saves.Total, _ = list[i].TotalPerDay.Sub(o.TotalPerDay) // one currency
	}
	o.Notes = slices.Insert(slices.Clone(o.Notes), len(p.notes), finding.Note(n)) // after those that all options share
}
