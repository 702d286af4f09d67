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

// planner is one shot against one house: what every step of a plan reads.
type planner struct {
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
	pl, err := newPlanner(&s, stock, prices)
	if err != nil {
		return Result{}, err
	}
	sc := scene.LightOf(&s)
	res := Result{Shot: s, Background: sc.Background, Cautions: finding.Cautions()}
	if len(s.Forecast) > 0 {
		res.Forecast, res.Cautions = pl.forecastSpan(), append(res.Cautions, finding.CautionForecast)
	}
	for _, src := range sc.Sources {
		res.Sources = append(res.Sources, src.Track(&s, sc.Stage))
	}
	notes := append(slices.Clone(s.Notes), advice(pl, sc.Stage, sc.Sources)...)
	notes = append(notes, backgroundApart(pl, sc)...)
	notes = append(notes, pl.forecastShort(sc.Window)...)
	if len(sc.ToSoften) == 0 || s.Look.Soften == shot.SoftenOff {
		err = pl.bare(ctx, &res, sc, notes)
	} else {
		err = pl.overheads(ctx, &res, sc, notes)
	}
	if err := cmp.Or(ctx.Err(), err); err != nil { // a search that was cut short has found nothing
		return Result{}, err
	}
	for i := range res.Options {
		if err := addCurve(ctx, pl, &res.Options[i]); err != nil {
			return Result{}, err
		}
	}
	return res, nil
}

// newPlanner returns the planner of a shot against a house. A price limit beyond 63 bits of minor units is an error.
func newPlanner(s *shot.Shot, stock *catalog.Snapshot, prices *price.Desk) (*planner, error) {
	holding := anchorage.NewPlanner(s, stock, prices)
	frames, err := overhead.NewPlanner(s, stock, prices, holding)
	if err != nil {
		return nil, err
	}
	return &planner{
		shot: s, stock: stock, prices: prices, zone: s.Window.From.Location(), holding: holding, frames: frames, lights: lighting.NewPlanner(s, stock, prices, holding),
	}, nil
}

// overheads fills in the options of a shot that has something to soften, what was ruled out and the widest zone.
func (pl *planner) overheads(ctx context.Context, res *Result, sc *scene.Light, notes []finding.Note) error {
	st, hard := sc.Stage, sc.ToSoften
	all := overhead.NewGroup(ctx, st, hard)
	onStands := pl.frames.Single(ctx, all, pl.frames.Stands)
	if onStands == nil && len(hard) > 1 {
		onStands = pl.frames.Share(ctx, st, hard, pl.frames.Stands)
	}
	var onLift []*overhead.Rig
	if overhead.CallForMachines(onStands) {
		onLift = pl.frames.Single(ctx, all, pl.frames.Lifts)
	}
	if onLift == nil && onStands == nil && len(hard) > 1 {
		onLift = pl.frames.Share(ctx, st, hard, pl.frames.Lifts)
	}
	if len(onStands) <= 1 {
		var w overhead.Widest
		w, onStands, onLift = pl.frames.ReconcileWidest(ctx, all, onStands, onLift)
		res.WidestZoneM = w.WidthM()
	}
	res.RuledOut = pl.frames.RuledOut(ctx, all, onStands, onLift)
	if err := ctx.Err(); err != nil {
		return err
	}
	add := func(label Label, rigs []*overhead.Rig, by lighting.Means) (*Option, error) {
		opt, err := pl.option(ctx, label, sc, rigs, by, notes)
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
	pl.leftOut(opt, onStands == nil, res.RuledOut, sc)
	dim = dim || best == nil && !opt.lifted
	if dim {
		opt, err := pl.option(ctx, LabelLamps, sc, best, lighting.ByLamps, notes)
		if err != nil {
			return err
		}
		if best == nil {
			pl.leftOut(&opt, true, res.RuledOut, sc)
		}
		if opt.PowerW > 0 {
			res.Options = append(res.Options, opt)
		}
	}
	if opt, ok, err := laterHour(ctx, pl, onStands); err != nil {
		return err
	} else if ok && (onStands == nil || opt.better(&res.Options[0])) {
		res.Options = append(res.Options, opt)
	}
	if len(res.Options) > 1 { // one of reflectors alone that has none is no plan of its own
		res.Options = slices.DeleteFunc(res.Options, func(o Option) bool {
			return o.Label == LabelReflectors && !o.Has(finding.RoleReflector, finding.RoleFill, finding.RoleBlack)
		})
	}
	pl.sortOptions(res.Options)
	if len(onStands) > 1 {
		res.WidestZoneM = pl.frames.WidestShared(ctx, onStands)
	}
	return nil
}

// option arranges the light around rigs and turns all into an option of the answer. A shade on the lens is a convenience: where it
// breaks a limit that is kept without it, the option goes without, and its rank is that of the rest.
func (pl *planner) option(ctx context.Context, label Label, sc *scene.Light, rigs []*overhead.Rig, by lighting.Means, notes []finding.Note) (Option, error) {
	opt, a, err := pl.arranged(ctx, label, sc, rigs, by, notes, false)
	if err != nil {
		return opt, err
	}
	if slices.ContainsFunc(a.Pieces, isShade) {
		rest, err := restOf(pl, a)
		if err != nil {
			return opt, fmt.Errorf("sizing: price %s: %w", label, err)
		}
		if len(pl.limitsBroken(opt.takes())) > len(pl.limitsBroken(rest)) {
			if opt, a, err = pl.arranged(ctx, label, sc, rigs, by, notes, true); err != nil {
				return opt, err
			}
		}
		opt.rankBy(pl.shot.Prefer, a, rest)
	}
	opt.Summary = summaryOf(pl, &opt, a.Rigs, a)
	keepLimits(pl, &opt)
	opt.arranged = a
	return opt, nil
}

// arranged is option without its summary and its limits; noShade leaves the lens without a shade.
func (pl *planner) arranged(ctx context.Context, label Label, sc *scene.Light, rigs []*overhead.Rig, by lighting.Means, notes []finding.Note, noShade bool) (Option, *lighting.Arrangement, error) {
	a := pl.lights.Arrange(ctx, sc, rigs, by, label == LabelReflectors && pl.shot.Look.Soften != shot.SoftenOff, noShade)
	if err := ctx.Err(); err != nil {
		return Option{}, nil, err
	}
	opt := Option{
		Label: label, Window: sc.Window, Workable: true, Serves: len(a.Lacks) == 0, Background: sc.Background, Levels: a.Levels, Trim: a.Trim, ReaimMin: a.ReaimMin,
		Notes: append(slices.Clone(notes), a.Notes...), lifted: !slices.Contains(a.Lacks, "key"),
	}
	for _, p := range a.Pieces {
		opt.PowerW += p.PowerW
	}
	kit, err := pl.prices.Price(a.Counts())
	if err != nil {
		return opt, nil, fmt.Errorf("sizing: price %s: %w", label, err)
	}
	opt.Kit = kit
	for _, l := range kit.Lines {
		item := pl.stock.Item(l.SKU)
		opt.Load.MassKg += float64(l.Quantity) * item.MassKg
		opt.Load.VolumeM3 += float64(l.Quantity) * item.PackedM3
	}
	for i, role := range overhead.RolesOf(a.Rigs) {
		opt.Pieces = append(opt.Pieces, framePiece(a.Rigs[i], role, sc.Stage))
	}
	for _, p := range a.Pieces {
		opt.Pieces = append(opt.Pieces, lightPiece(a.Setup, p))
	}
	noteLowEdge(&opt, sc.Stage)
	noteWind(pl, &opt, a)
	byForecast(pl, &opt)
	if err := addStaff(pl, &opt, a); err != nil {
		return opt, nil, err
	}
	if _, err := opt.Kit.PerDay.Int64(); err != nil {
		return opt, nil, fmt.Errorf("sizing: price %s: %w", label, err)
	}
	opt.rankBy(pl.shot.Prefer, a, opt.takes())
	opt.Power = powerOf(pl, a)
	return opt, a, nil
}

// leftOut notes on an option without an overhead that the light stays hard and, where no frame serves, how near the nearest
// came.
func (pl *planner) leftOut(opt *Option, none bool, ruled []finding.RuledOut, sc *scene.Light) {
	opt.Serves = false
	opt.Workable = opt.Workable && pl.shot.Look.Soften != shot.SoftenRequired
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

// bare fills in the options of a shot with nothing to soften, or with softening off: no overhead.
func (pl *planner) bare(ctx context.Context, res *Result, sc *scene.Light, notes []finding.Note) error {
	label := LabelOverhead
	switch {
	case pl.shot.Look.Soften == shot.SoftenOff:
		label = LabelReflectors
		notes = append(notes, finding.SofteningOff{})
	case len(sc.Sources) == 0:
		notes = append(notes, finding.NothingToSoften{Because: finding.SoftRoof})
	default:
		notes = append(notes, finding.NothingToSoften{Because: finding.SoftNoSource})
	}
	first, err := pl.option(ctx, label, sc, nil, lighting.ByReflectors, notes)
	if err != nil {
		return err
	}
	res.Options = []Option{first}
	if sc.Driver < 0 || !sc.Throughout || !first.lifted {
		opt, err := pl.option(ctx, LabelLamps, sc, nil, lighting.ByLamps, notes)
		if err != nil {
			return err
		}
		if opt.PowerW > 0 {
			res.Options = append(res.Options, opt)
		}
	}
	pl.sortOptions(res.Options)
	res.WidestZoneM = shot.MaxWidthM // nothing stands in the way of any
	if len(sc.ToSoften) > 0 {
		w := pl.frames.Widest(ctx, overhead.NewGroup(ctx, sc.Stage, sc.ToSoften))
		res.WidestZoneM = w.WidthM()
	}
	return nil
}

// sortOptions sorts options as the contract requires: those that do what the look asks first, then the workable ones, then by
// preference, the later hour last in its class.
func (pl *planner) sortOptions(options []Option) {
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

// trueFirst compares two booleans, true first.
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
