package sizing

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/price"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// engine is one shot against one house: what every step of a plan reads.
type engine struct {
	shot    *shot.Shot
	stock   *catalog.Snapshot
	prices  *price.Desk
	zone    *time.Location
	holding *anchorage.Planner
	frames  *overhead.Planner
	lights  *lighting.Planner
}

// Plan sizes one resolved shot from one house's catalogue. Its errors are that of the context, where it ends before the
// answer is complete, and a catalogue that contradicts itself, such as a frame without a price that was priced a moment
// ago.
func Plan(ctx context.Context, s shot.Shot, stock *catalog.Snapshot, prices *price.Desk) (Result, error) {
	e, err := engineOf(&s, stock, prices)
	if err != nil {
		return Result{}, err
	}
	sc := scene.LightOf(&s)
	res := Result{Shot: s, Background: sc.Background, Cautions: finding.Cautions()}
	for _, src := range sc.Sources {
		res.Sources = append(res.Sources, src.Track(&s, sc.Stage))
	}
	notes := append(slices.Clone(s.Notes), advice(e, sc.Stage, sc.Sources)...)
	if len(sc.ToSoften) == 0 || s.Look.Soften == shot.SoftenOff {
		err = e.bare(ctx, &res, sc, notes)
	} else {
		err = e.overheads(ctx, &res, sc, notes)
	}
	if err := cmp.Or(ctx.Err(), err); err != nil { // a search that was cut short has found nothing
		return Result{}, err
	}
	return res, nil
}

// engineOf is the engine of a shot against a house.
func engineOf(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk) (*engine, error) {
	holding := anchorage.NewPlanner(s, stock, prices)
	frames, err := overhead.NewPlanner(s, stock, prices, holding)
	if err != nil {
		return nil, err
	}
	return &engine{
		shot: s, stock: stock, prices: prices, zone: s.Window.From.Location(), holding: holding, frames: frames, lights: lighting.NewPlanner(s, stock, prices, holding),
	}, nil
}

// overheads fills in the options of a shot that has something to soften, what was ruled out and the widest zone.
func (e *engine) overheads(ctx context.Context, res *Result, sc *scene.Light, notes []finding.Note) error {
	st, hard := sc.Stage, sc.ToSoften
	all := overhead.NewGroup(ctx, st, hard)
	onStands := e.frames.Single(ctx, all, e.frames.Stands)
	if onStands == nil && len(hard) > 1 {
		onStands = e.frames.Share(ctx, st, hard, e.frames.Stands)
	}
	onLift := e.frames.Single(ctx, all, e.frames.Lifts)
	if onLift == nil && onStands == nil && len(hard) > 1 {
		onLift = e.frames.Share(ctx, st, hard, e.frames.Lifts)
	}
	if len(onStands) <= 1 {
		var w overhead.Widest
		w, onStands, onLift = e.frames.ReconcileWidest(ctx, all, onStands, onLift)
		res.WidestZoneM = w.WidthM()
	}
	res.RuledOut = e.frames.RuledOut(ctx, all, onStands, onLift)
	if err := ctx.Err(); err != nil {
		return err
	}
	add := func(label Label, choices []*overhead.Rig, by lighting.Means) (*Option, error) {
		opt, err := e.option(ctx, label, sc, choices, by, notes)
		res.Options = append(res.Options, opt)
		return &res.Options[len(res.Options)-1], err
	}
	best := onStands
	if best == nil {
		best = onLift
	}
	dim := sc.Driver < 0 || !sc.Throughout // reflectors have no light to work with, or not all the time
	if onStands != nil {
		opt, err := add(LabelOverhead, onStands, lighting.ByReflectors)
		if err != nil {
			return err
		}
		dim = dim || !opt.lifted
	}
	if onLift != nil {
		opt, err := add(LabelOnLift, onLift, lighting.ByReflectors)
		if err != nil {
			return err
		}
		dim = dim || onStands == nil && !opt.lifted
	}
	opt, err := add(LabelReflectors, nil, lighting.ByReflectors)
	if err != nil {
		return err
	}
	e.leftOut(opt, onStands == nil, res.RuledOut, sc)
	dim = dim || best == nil && !opt.lifted
	if dim {
		opt, err := e.option(ctx, LabelLamps, sc, best, lighting.ByLamps, notes)
		if err != nil {
			return err
		}
		if best == nil {
			e.leftOut(&opt, true, res.RuledOut, sc)
		}
		if opt.PowerW > 0 {
			res.Options = append(res.Options, opt)
		}
	}
	if opt, ok, err := laterHour(ctx, e, onStands); err != nil {
		return err
	} else if ok && (onStands == nil || opt.better(&res.Options[0])) {
		res.Options = append(res.Options, opt)
	}
	e.sortOptions(res.Options)
	if len(onStands) > 1 {
		res.WidestZoneM = e.frames.WidestShared(ctx, onStands)
	}
	return nil
}

// option arranges the light around rigs and turns all into an option of the answer.
func (e *engine) option(ctx context.Context, label Label, sc *scene.Light, choices []*overhead.Rig, by lighting.Means, notes []finding.Note) (Option, error) {
	a := e.lights.Arrange(ctx, sc, choices, by, label == LabelReflectors && e.shot.Look.Soften != shot.SoftenOff)
	if err := ctx.Err(); err != nil {
		return Option{}, err
	}
	opt := Option{
		Label: label, Window: sc.Window, Workable: true, Serves: len(a.Lacks) == 0, Background: sc.Background, Levels: a.Levels, Trim: a.Trim, ReaimMin: a.ReaimMin,
		Notes: append(slices.Clone(notes), a.Notes...), lifted: !slices.Contains(a.Lacks, "key"),
	}
	counts := a.Counts()
	area := 0.0
	for _, ch := range choices {
		area += ch.Candidate.AreaM2
	}
	whole := area
	for _, p := range a.Pieces {
		whole += p.AreaM2
		opt.PowerW += p.PowerW
	}
	kit, err := e.prices.Price(counts)
	if err != nil {
		return opt, fmt.Errorf("sizing: price %s: %w", label, err)
	}
	opt.Kit = kit
	for _, l := range kit.Lines {
		item := e.stock.Item(l.SKU)
		opt.Load.MassKg += float64(l.Quantity) * item.MassKg
		opt.Load.VolumeM3 += float64(l.Quantity) * item.PackedM3
	}
	minor, err := kit.PerDay.Int64()
	if err != nil {
		return opt, fmt.Errorf("sizing: price %s: %w", label, err)
	}
	opt.areaM2, opt.minor = area, minor
	for i, role := range overhead.RolesOf(choices) {
		opt.Pieces = append(opt.Pieces, framePiece(choices[i], role, sc.Stage))
	}
	for _, p := range a.Pieces {
		opt.Pieces = append(opt.Pieces, piecePrinted(a.Setup, p))
	}
	noteWind(e, &opt, a)
	if err := addStaff(e, &opt, a); err != nil {
		return opt, err
	}
	opt.rank = overhead.RankBy(e.shot.Prefer, area, opt.Load.MassKg, minor, opt.Crew.Total)
	if e.shot.Prefer == shot.PreferSmallest {
		opt.rank = overhead.Rank{area, whole, float64(minor), opt.Load.MassKg}
	}
	opt.Power = powerOf(e, a)
	opt.Summary = summaryOf(e, &opt, choices, a)
	keepLimits(e, &opt)
	opt.WhatIf, err = whatIf(ctx, e, a)
	return opt, err
}

// leftOut says of an option without an overhead that the light stays hard and, where no frame does it, how near the
// nearest came.
func (e *engine) leftOut(opt *Option, none bool, ruled []finding.RuledOut, sc *scene.Light) {
	opt.Serves = false
	opt.Workable = opt.Workable && e.shot.Look.Soften != shot.SoftenRequired
	note := finding.SofteningLeftOut{NoFrame: none}
	if none {
		for i := range ruled {
			r := &ruled[i]
			if r.ShortByM > 0 && (note.Nearest == nil || r.ShortByM < note.Nearest.ShortByM) {
				note.Nearest = r
			}
		}
	}
	opt.Notes = append(opt.Notes, note)
	if !none {
		return
	}
	for _, src := range sc.ToSoften {
		for i := range src.Samples {
			if far := sc.Stage.OutOfView(src.Samples[i].Dir); far > scene.FarM {
				opt.Notes = append(opt.Notes, finding.LightThroughPicture{Source: finding.Source(src.Label), DistanceM: scene.FarM})
				return
			}
		}
	}
}

// bare fills in the options of a shot with nothing to soften, or nothing to be softened: no overhead.
func (e *engine) bare(ctx context.Context, res *Result, sc *scene.Light, notes []finding.Note) error {
	label := LabelOverhead
	switch {
	case e.shot.Look.Soften == shot.SoftenOff:
		label = LabelReflectors
		notes = append(notes, finding.SofteningOff{})
	case len(sc.Sources) == 0:
		notes = append(notes, finding.NothingToSoften{Because: finding.SoftRoof})
	default:
		notes = append(notes, finding.NothingToSoften{Because: finding.SoftNoSource})
	}
	first, err := e.option(ctx, label, sc, nil, lighting.ByReflectors, notes)
	if err != nil {
		return err
	}
	res.Options = []Option{first}
	if sc.Driver < 0 || !sc.Throughout || !first.lifted {
		opt, err := e.option(ctx, LabelLamps, sc, nil, lighting.ByLamps, notes)
		if err != nil {
			return err
		}
		if opt.PowerW > 0 {
			res.Options = append(res.Options, opt)
		}
	}
	e.sortOptions(res.Options)
	res.WidestZoneM = shot.MaxWidthM // nothing stands in the way of any
	if len(sc.ToSoften) > 0 {
		w := e.frames.Widest(ctx, overhead.NewGroup(ctx, sc.Stage, sc.ToSoften))
		res.WidestZoneM = w.WidthM()
	}
	return nil
}

// sortOptions sorts options as the contract has it: those that do what the look asks, then workable, then by preference, the
// later hour last in its class.
func (e *engine) sortOptions(options []Option) {
	slices.SortStableFunc(options, func(a, b Option) int {
		later := func(o *Option) bool { return o.Label == LabelLaterHour }
		return cmp.Or(
			trueFirst(a.Serves, b.Serves),
			trueFirst(a.Workable, b.Workable),
			trueFirst(!later(&a), !later(&b)),
			slices.Compare(a.rank[:], b.rank[:]),
		)
	})
}

// trueFirst compares two answers of yes or no, yes first.
func trueFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// better reports whether an option is of a better class than another, or in the same one better by what the user prefers, and
// smaller or cheaper.
func (o *Option) better(p *Option) bool {
	class := cmp.Or(trueFirst(o.Serves, p.Serves), trueFirst(o.Workable, p.Workable))
	if class != 0 {
		return class < 0
	}
	return slices.Compare(o.rank[:], p.rank[:]) < 0 && (o.areaM2 < p.areaM2 || o.minor < p.minor)
}
