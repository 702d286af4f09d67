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

// pool collects the options of a shot, from which the frontier is taken.
type pool struct {
	pl      *planner
	light   *scene.Light
	group   *overhead.Group // of all that is to be softened; nil where nothing is
	notes   []finding.Note  // on the shot
	options []Option
}

// add makes an option of a scheme by a planner and keeps it; without lamps none by lamps. Light and notes are the pool's unless the
// scheme brings its own.
func (p *pool) add(ctx context.Context, by *planner, sch scheme) (Option, error) {
	if sch.light == nil {
		sch.light = p.light
	}
	if sch.notes == nil {
		sch.notes = p.notes
	}
	opt, err := by.option(ctx, sch)
	if err == nil && opt.isOf(&sch) {
		p.keep(opt)
	}
	return opt, err
}

// isOf reports whether an option is what its scheme is called for: one by lamps has some.
func (o *Option) isOf(sch *scheme) bool { return sch.by != lighting.ByLamps || o.PowerW > 0 }

// keep takes an option into the pool, to be compared by what the user prefers.
func (p *pool) keep(o Option) {
	o.rankBy(p.pl.shot.Prefer, o.arranged[0])
	p.options = append(p.options, o)
}

// otherPreferences are those by which rigs are looked for beside the user's own, so that the frontier has what is best in each.
var otherPreferences = []string{shot.PreferCheapest, shot.PreferFewestHands, shot.PreferLightest, shot.PreferSmallest}

// schemes adds the ways to light a shot in its own window: overheads on stands and on machines, reflectors alone, lamps.
func (p *pool) schemes(ctx context.Context, res *Result, onStands, onLift []*overhead.Rig) error {
	pl := p.pl
	best := onStands
	if best == nil {
		best = onLift
	}
	dim := p.light.Driver < 0 || !p.light.Throughout // reflectors have no light to work with, or not all the time
	if onStands != nil {
		opt, err := p.add(ctx, pl, scheme{label: LabelOverhead, rigs: onStands, by: lighting.ByReflectors})
		if err != nil {
			return err
		}
		dim = dim || !opt.lifted
	}
	if onLift != nil {
		opt, err := p.add(ctx, pl, scheme{label: LabelOnLift, rigs: onLift, by: lighting.ByReflectors})
		if err != nil {
			return err
		}
		dim = dim || onStands == nil && !opt.lifted
	}
	hard := leftOut(onStands == nil, res.RuledOut, p.light)
	alone, err := p.add(ctx, pl, scheme{label: LabelReflectors, by: lighting.ByReflectors, hard: hard})
	if err != nil {
		return err
	}
	if dim = dim || best == nil && !alone.lifted; dim {
		sch := scheme{label: LabelLamps, rigs: best, by: lighting.ByLamps}
		if best == nil {
			sch.hard = hard
		}
		if _, err := p.add(ctx, pl, sch); err != nil {
			return err
		}
	}
	return p.others(ctx, onStands)
}

// others adds the overheads on stands that are best by other preferences than the user's, where one frame does: their light is shaped by
// the same preference. A rig that is there already is added by the least price alone, which its boards may have as well.
func (p *pool) others(ctx context.Context, onStands []*overhead.Rig) error {
	if len(onStands) != 1 || p.pl.ask.ownPreference {
		return nil
	}
	had := []*overhead.Rig{onStands[0]}
	areaM2 := onStands[0].Candidate.AreaM2
	stands := slices.DeleteFunc(slices.Clone(p.pl.frames.Stands), func(c *overhead.Candidate) bool { return c.AreaM2 > mostLarger*areaM2 })
	for _, prefer := range otherPreferences {
		if prefer == p.pl.shot.Prefer {
			continue
		}
		by := p.pl.preferring(prefer, stands)
		rigs := by.frames.Single(ctx, p.group, nextSizes(by.frames.Stands))
		if err := ctx.Err(); err != nil || rigs == nil {
			return err
		}
		if known := slices.ContainsFunc(had, rigs[0].Same); known && prefer != shot.PreferCheapest {
			continue
		}
		had = append(had, rigs[0])
		if _, err := p.add(ctx, by, scheme{label: LabelOverhead, rigs: rigs, by: lighting.ByReflectors}); err != nil {
			return err
		}
	}
	return nil
}

// The frames that are looked at by other preferences have at most mostLarger times the area of the frame by the user's: of a set of frames
// the next sizes, but not a 20 × 20 ft where a 12 × 12 does; of those that differ by less than a sizeStep the smallest (common practice, no
// source).
const mostLarger, sizeStep = 2.5, 1.04

// nextSizes returns, of frames of nearly one size, the smallest.
func nextSizes(frames []*overhead.Candidate) []*overhead.Candidate {
	bySize := slices.Clone(frames)
	slices.SortStableFunc(bySize, func(a, b *overhead.Candidate) int { return cmp.Compare(a.AreaM2, b.AreaM2) })
	last := 0.0
	taken := map[*overhead.Candidate]bool{}
	for _, c := range bySize {
		if c.AreaM2 >= sizeStep*last {
			last, taken[c] = c.AreaM2, true
		}
	}
	return slices.DeleteFunc(slices.Clone(frames), func(c *overhead.Candidate) bool { return !taken[c] })
}

// offered leaves out what is no plan of its own: one of reflectors alone that has none, beside others at the hour asked, and machines
// where some overhead on stands does not call for them.
func (p *pool) offered() {
	stands := slices.ContainsFunc(p.options, func(o Option) bool {
		return o.Label == LabelOverhead && len(o.SwitchOff) == 0 && len(o.scheme.rigs) > 0 && !overhead.CallForMachines(o.scheme.rigs)
	})
	p.options = slices.DeleteFunc(p.options, func(o Option) bool { return o.Label == LabelOnLift && len(o.SwitchOff) == 0 && stands })
	then := 0
	for i := range p.options {
		if p.options[i].Label != LabelOtherHour {
			then++
		}
	}
	if then > 1 {
		p.options = slices.DeleteFunc(p.options, func(o Option) bool {
			return o.Label == LabelReflectors && !o.Has(finding.RoleReflector, finding.RoleFill, finding.RoleBlack)
		})
	}
}

// preferring returns the planner by another preference, with some of its frames on stands alone.
func (pl *planner) preferring(prefer string, stands []*overhead.Candidate) *planner {
	s := *pl.shot
	s.Prefer = prefer
	own := *pl
	own.shot, own.frames, own.lights = &s, pl.frames.Preferring(prefer, stands), pl.lights.Preferring(prefer)
	return &own
}
