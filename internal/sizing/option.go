package sizing

import (
	"context"
	"fmt"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// scheme is one way to light the shot.
type scheme struct {
	label Label
	light *scene.Light
	rigs  []*overhead.Rig
	by    lighting.Means // that the key is lifted with
	omit  lighting.Omit
	off   []string // lamps of the shot that are off, by their labels; the light is without them
	notes []finding.Note
	// hard are the notes on softening that is left out; nil where none is.
	hard []finding.Note
}

// option arranges the light of a scheme and turns all into an option of the answer. A shade on the lens is a convenience: where fewer
// limits are broken without it, the option goes without.
func (pl *planner) option(ctx context.Context, sch scheme) (Option, error) {
	opt, err := pl.arranged(ctx, sch)
	if err != nil || len(opt.Broken) == 0 || !opt.Has(finding.RoleCameraShade) {
		return opt, err
	}
	sch.omit.Shade = true
	bare, err := pl.arranged(ctx, sch)
	if err != nil || len(bare.Broken) < len(opt.Broken) {
		return bare, err
	}
	return opt, nil
}

// arranged is option with what the scheme asks for.
func (pl *planner) arranged(ctx context.Context, sch scheme) (Option, error) {
	opt, err := pl.placed(ctx, sch)
	if err == nil {
		err = pl.complete(&opt)
	}
	return opt, err
}

// placed arranges the light of a scheme: an option of what stands where, what it gives and what holds it. What it takes is to be completed.
func (pl *planner) placed(ctx context.Context, sch scheme) (Option, error) {
	label, sc, rigs := sch.label, sch.light, sch.rigs
	if label == LabelReflectors && pl.shot.Look.Soften != shot.SoftenOff {
		sch.omit.Lamps = true
	}
	a := pl.lights.Arrange(ctx, sc, rigs, sch.by, sch.omit)
	if err := ctx.Err(); err != nil {
		return Option{}, err
	}
	opt := Option{
		Label: label, Window: sc.Window, SwitchOff: sch.off, Background: sc.Background, Levels: a.Levels, Trim: a.Trim, ReaimMin: a.ReaimMin, scheme: sch,
		Notes: append(slices.Clone(sch.notes), a.Notes...), lifted: !slices.ContainsFunc(a.Lacks, func(s finding.Shortfall) bool { return s.What == finding.Key }),
		arranged: []*lighting.Arrangement{a},
	}
	if sch.hard != nil {
		opt.GivesUp = append(opt.GivesUp, finding.Shortfall{What: finding.Softening})
	}
	opt.GivesUp = append(opt.GivesUp, a.Lacks...)
	for _, p := range a.Pieces {
		opt.PowerW += p.PowerW
	}
	opt.mirrors = !pl.shot.Site.Roofed && slices.ContainsFunc(a.Pieces, (*lighting.Piece).Mirrors)
	for i, role := range overhead.RolesOf(a.Rigs) {
		opt.Pieces = append(opt.Pieces, framePiece(a.Rigs[i], role, sc.Stage))
	}
	for _, p := range a.Pieces {
		opt.Pieces = append(opt.Pieces, lightPiece(a.Setup, p))
	}
	noteLowEdge(&opt, sc.Stage)
	noteWind(pl, &opt, a)
	if len(pl.shot.Forecast) > 0 {
		bears(pl, opt.Pieces, a)
		byForecast(pl, &opt)
	}
	return opt, nil
}

// complete fills in what an option takes, kit, people and vehicles, and how it does by the limits and by the look.
func (pl *planner) complete(opt *Option) error {
	kit, err := pl.prices.Price(mostCounts(opt.arranged))
	if err != nil {
		return fmt.Errorf("sizing: price %s: %w", opt.Label, err)
	}
	opt.Kit = kit
	for _, l := range kit.Lines {
		item := pl.stock.Item(l.SKU)
		opt.Load.MassKg += float64(l.Quantity) * item.MassKg
		opt.Load.VolumeM3 += float64(l.Quantity) * item.PackedM3
	}
	if err := addStaff(pl, opt); err != nil {
		return err
	}
	if _, err := opt.TotalPerDay.Int64(); err != nil {
		return fmt.Errorf("sizing: price %s: %w", opt.Label, err)
	}
	a := opt.arranged[0]
	opt.rankBy(pl.shot.Prefer, a)
	opt.Power = powerOf(pl, a)
	opt.Summary = summaryOf(pl, opt, a.Rigs, a)
	opt.Notes = append(opt.Notes, opt.scheme.hard...)
	keepLimits(pl, opt)
	opt.judge(pl.shot)
	return nil
}

// mostCounts returns the items of what stands: of several arrangements that follow each other, the most that any takes of each.
func mostCounts(list []*lighting.Arrangement) []catalog.Count {
	if len(list) == 1 {
		return list[0].Counts()
	}
	each := make([][]catalog.Count, len(list))
	for i, a := range list {
		each[i] = a.Counts()
	}
	return mostOf(each)
}

// mostOf returns the most that any of some lists has of each item, in the order in which the items come first.
func mostOf(lists [][]catalog.Count) []catalog.Count {
	var out []catalog.Count
	for _, list := range lists {
		var sums []catalog.Count
		for _, n := range list {
			if i := slices.IndexFunc(sums, func(k catalog.Count) bool { return k.SKU == n.SKU }); i >= 0 {
				sums[i].Quantity += n.Quantity
			} else {
				sums = append(sums, n)
			}
		}
		for _, n := range sums {
			if i := slices.IndexFunc(out, func(k catalog.Count) bool { return k.SKU == n.SKU }); i >= 0 {
				out[i].Quantity = max(out[i].Quantity, n.Quantity)
			} else {
				out = append(out, n)
			}
		}
	}
	return out
}

// leftOut returns the notes on a scheme without an overhead: that the light stays hard and, where no frame serves, how near the nearest
// came.
func leftOut(none bool, ruled []finding.RuledOut, sc *scene.Light) []finding.Note {
	note := finding.SofteningLeftOut{NoFrame: none}
	if !none {
		return []finding.Note{note}
	}
	for i := range ruled {
		r := &ruled[i]
		if r.ShortByM > 0 && (note.Nearest == nil || r.ShortByM < note.Nearest.ShortByM) {
			note.Nearest = r
		}
	}
	for _, src := range sc.ToSoften {
		for i := range src.Samples {
			if far := sc.Stage.OutOfView(src.Samples[i].Dir); far > scene.FarM {
				return []finding.Note{note, finding.LightThroughPicture{Source: finding.Source(src.Label), DistanceM: scene.FarM}}
			}
		}
	}
	return []finding.Note{note}
}
