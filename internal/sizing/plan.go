package sizing

import (
	"cmp"
	"context"
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
	ask     ask
}

// ask is what of an answer is left out, or is there beside it; its zero is a whole answer.
type ask struct {
	// everything keeps the options that the frontier leaves out, after those of the frontier.
	everything bool
	// noOtherHour and ownPreference leave out another hour, and rigs by other preferences than the shot's.
	noOtherHour, ownPreference bool
}

// Plan sizes one resolved shot from one house's catalogue. Its errors are that of the context, where it ends before the
// answer is complete, and a catalogue that contradicts itself, such as a frame without a price that was priced a moment
// ago.
func Plan(ctx context.Context, s shot.Shot, stock *catalog.Snapshot, prices *price.Desk) (Result, error) {
	return planned(ctx, s, stock, prices, func(*planner, *Option) error { return nil })
}

// planned is [Plan] that shows each option, with what it was made of, before that is let go.
func planned(ctx context.Context, s shot.Shot, stock *catalog.Snapshot, prices *price.Desk, look func(*planner, *Option) error) (Result, error) {
	pl, err := newPlanner(&s, stock, prices)
	if err != nil {
		return Result{}, err
	}
	res, err := pl.found(ctx)
	if err != nil {
		return Result{}, err
	}
	for i := range res.Options {
		measured(ctx, pl, &res.Options[i])
		if err := cmp.Or(look(pl, &res.Options[i]), addCurve(ctx, pl, &res.Options[i])); err != nil {
			return Result{}, err
		}
	}
	res.Cautions = cautionsOf(&res)
	return res, nil
}

// found returns the options of the shot, and why nothing smaller does, without what is worked out for print alone.
func (pl *planner) found(ctx context.Context) (res Result, err error) {
	s := pl.shot
	sc := scene.LightOf(s)
	res = Result{Shot: *s, Background: sc.Background}
	if len(s.Forecast) > 0 {
		res.Forecast = pl.forecastSpan()
	}
	for _, src := range sc.Sources {
		res.Sources = append(res.Sources, src.Track(s, sc.Stage))
	}
	notes := notesOn(pl, sc)
	if len(sc.ToSoften) == 0 || s.Look.Soften == shot.SoftenOff {
		err = pl.bare(ctx, &res, sc, notes)
	} else {
		err = pl.overheads(ctx, &res, sc, notes)
	}
	if err := cmp.Or(ctx.Err(), err); err != nil { // a search that was cut short has found nothing
		return Result{}, err
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

// during returns the planner of the same shot in another window.
func (pl *planner) during(w shot.Window) *planner {
	s := *pl.shot
	s.Window = w
	own := *pl
	own.shot = &s
	return &own
}

// notesOn returns the notes on a shot in its light, before any kit.
func notesOn(pl *planner, sc *scene.Light) []finding.Note {
	notes := append(slices.Clone(pl.shot.Notes), advice(pl, sc.Stage, sc.Sources)...)
	notes = append(notes, backgroundApart(pl, sc)...)
	notes = append(notes, pl.forecastShort(sc.Window)...)
	if s := pl.shot; s.Walks() {
		zone := s.Swept()
		notes = append(notes, finding.Walks{LengthM: s.Walk.Len(), WidthM: 2 * zone.Half.X, DepthM: 2 * zone.Half.Y, MayCarry: pl.mayBeHeld()})
	}
	if len(sc.Practicals) > 0 {
		notes = append(notes, finding.PracticalsLeft{Lamps: labelsOf(sc.Practicals), UnderLx: scene.LeastWorthLx(pl.shot, &sc.Background)})
	}
	return notes
}

// overheads fills in the options of a shot that has something to soften, what was ruled out and the widest zone.
func (pl *planner) overheads(ctx context.Context, res *Result, sc *scene.Light, notes []finding.Note) error {
	st, hard := sc.Stage, sc.ToSoften
	all := overhead.NewGroup(ctx, st, hard)
	onStands, onLift := pl.rigs(ctx, all, st, hard)
	if len(onStands) <= 1 {
		var w overhead.Widest
		w, onStands, onLift = pl.frames.ReconcileWidest(ctx, all, onStands, onLift)
		res.WidestZoneM = st.ZoneWidthM(w.WidthM())
	}
	if onStands == nil {
		res.RuledOut = pl.frames.RuledOut(ctx, all, nil, onLift)
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	pool := pool{pl: pl, light: sc, group: all, notes: notes}
	err := cmp.Or(
		pool.schemes(ctx, res, onStands, onLift), pool.switchedOff(ctx), pool.handHeld(ctx), pool.moved(ctx, onStands, onLift), pool.otherHour(ctx, onStands),
		pool.keepLimits(ctx),
	)
	if err != nil {
		return err
	}
	if res.Ladder, err = pool.ladder(ctx); err != nil {
		return err
	}
	res.Options = pool.frontier()
	if onStands != nil {
		res.RuledOut = pl.frames.RuledOut(ctx, all, smallestOnStands(res.Options), onLift)
	}
	if len(onStands) > 1 {
		res.WidestZoneM = st.ZoneWidthM(pl.frames.WidestShared(ctx, onStands))
	}
	return nil
}

// rigs returns what softens some sources on stands, one frame or several that share them, and on machines where stands call for them.
func (pl *planner) rigs(ctx context.Context, all *overhead.Group, st *scene.Stage, hard []*scene.Source) (onStands, onLift []*overhead.Rig) {
	onStands = pl.frames.Single(ctx, all, pl.frames.Stands)
	if onStands == nil && len(hard) > 1 {
		onStands = pl.frames.Share(ctx, st, hard, pl.frames.Stands)
	}
	if overhead.CallForMachines(onStands) {
		onLift = pl.frames.Single(ctx, all, pl.frames.Lifts)
	}
	if onLift == nil && onStands == nil && len(hard) > 1 {
		onLift = pl.frames.Share(ctx, st, hard, pl.frames.Lifts)
	}
	return onStands, onLift
}

// smallestOnStands returns the rigs of the smallest overhead on stands that holds the gust, of the first where none does; nil where no
// option has one.
func smallestOnStands(options []Option) (rigs []*overhead.Rig) {
	holds, least := false, 0.0
	for i := range options {
		o := &options[i]
		if o.Label != LabelOverhead && o.Label != LabelLamps || len(o.scheme.rigs) == 0 || o.scheme.rigs[0].OnMachines() {
			continue
		}
		up := !slices.ContainsFunc(o.scheme.rigs, func(r *overhead.Rig) bool { return !r.Anchorage.Holds })
		if rigs == nil || up && (!holds || o.areaM2 < least) {
			rigs, holds, least = o.scheme.rigs, up, o.areaM2
		}
	}
	return rigs
}

// bare fills in the options of a shot with nothing to soften, or with softening off: no overhead.
func (pl *planner) bare(ctx context.Context, res *Result, sc *scene.Light, notes []finding.Note) error {
	label := LabelOverhead
	switch {
	case pl.shot.Look.Soften == shot.SoftenOff:
		label = LabelReflectors
		notes = append(notes, finding.SofteningOff{})
	case len(sc.Practicals) > 0:
		notes = append(notes, finding.NothingToSoften{Because: finding.SoftPractical})
	case len(sc.Sources) == 0:
		notes = append(notes, finding.NothingToSoften{Because: finding.SoftRoof})
	default:
		notes = append(notes, finding.NothingToSoften{Because: finding.SoftNoSource})
	}
	pool := pool{pl: pl, light: sc, notes: notes}
	first, err := pool.add(ctx, pl, scheme{label: label, by: lighting.ByReflectors})
	if err != nil {
		return err
	}
	if sc.Driver < 0 || !sc.Throughout || !first.lifted {
		if _, err := pool.add(ctx, pl, scheme{label: LabelLamps, by: lighting.ByLamps}); err != nil {
			return err
		}
	}
	if err := pool.keepLimits(ctx); err != nil {
		return err
	}
	if res.Ladder, err = pool.ladder(ctx); err != nil {
		return err
	}
	res.Options = pool.frontier()
	res.WidestZoneM = shot.MaxWidthM // nothing stands in the way of any
	if len(sc.ToSoften) > 0 {
		w := pl.frames.Widest(ctx, overhead.NewGroup(ctx, sc.Stage, sc.ToSoften))
		res.WidestZoneM = sc.Stage.ZoneWidthM(w.WidthM())
	}
	return nil
}
