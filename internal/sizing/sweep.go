package sizing

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/price"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// SweepResult is what a day takes, step by step.
type SweepResult struct {
	Shot     shot.Shot
	Steps    shot.Steps
	Rows     []SweepRow
	Spans    []SweepSpan
	Best     []SweepBest
	Notes    []finding.Note
	Cautions []finding.Caution
}

// SweepRow is one step: the sun at its start, and the overhead that serves from then to the next.
type SweepRow struct {
	Sun scene.TrackPoint
	// Overhead is the rig; nil where there is none, and Without is why.
	Overhead *SweepOverhead
	Without  finding.Without
	// KeyUnliftedStops is the key face against the background's reference, in the middle of the step, with the overhead up
	// and nothing that lifts it; nil where there is no light on the background to compare with.
	KeyUnliftedStops *float64
	SunIs            SunIs
	// Scheme: the sun stands behind the people and out of the picture, and a frame within the limits softens it.
	Scheme bool
	// Whole is the plan about that overhead; nil where there is none.
	Whole *SweepWhole
}

// SweepOverhead is the frame that does for a step by the user's preference, and what holds it.
type SweepOverhead struct {
	SKU    string
	AreaM2 float64 // of the opening
	OnLift bool    // no frame on stands does
	PerDay currency.Amount
	// OverLimit means that the price limit is broken: no rig keeps it.
	OverLimit bool
}

// Sweep finds for each step of a day the overhead that [Plan] would choose for that step as the window. Steps are worked
// out by so many workers side by side, so that prices must be safe for concurrent use; the result does not depend on how many.
// Readings of the sky stay those of the shot's own window. Its errors are those of Plan.
func Sweep(ctx context.Context, s shot.Shot, day shot.Steps, stock *catalog.Snapshot, prices *price.Desk, workers int) (SweepResult, error) {
	w, err := newSweeper(&s, day, stock, prices)
	if err != nil {
		return SweepResult{}, err
	}
	res := SweepResult{
		Shot: s, Steps: day, Rows: make([]SweepRow, day.Count()),
		Notes: append(slices.Clone(s.Notes), day.Notes...), Cautions: finding.Cautions(finding.CautionWind, finding.CautionOverhead),
	}
	errs := make([]error, len(res.Rows))
	sideBySide(ctx, workers, len(res.Rows), func() func(int) {
		mine := *w
		return func(i int) {
			mine.pl = clonePlanner(w.pl) // anew for each step: what an earlier one found is where a search starts
			res.Rows[i], errs[i] = mine.row(ctx, day.From.Add(time.Duration(i)*day.Step()))
		}
	})
	if err := ctx.Err(); err != nil {
		return SweepResult{}, err
	}
	for _, err := range errs {
		if err != nil {
			return SweepResult{}, err
		}
	}
	res.Spans = spansOf(&res)
	res.Best = bestOf(&res)
	return res, nil
}

// sweeper is what a step reads.
type sweeper struct {
	pl   *planner
	st   *scene.Stage
	sky  *scene.Sky
	step time.Duration
	// lamps keeps what was found against lamps alone, which shine all day as they are.
	lamps  *lampOverheads
	roofed *roofedWhole
}

func newSweeper(s *shot.Shot, day shot.Steps, stock *catalog.Snapshot, prices *price.Desk) (*sweeper, error) {
	pl, err := newPlanner(s, stock, prices)
	if err != nil {
		return nil, err
	}
	for _, c := range slices.Concat(pl.frames.Stands, pl.frames.Lifts) {
		c.PricedOptions() // now, not at first use: steps use them concurrently
	}
	return &sweeper{pl, scene.NewStage(s), scene.NewSky(s, day.From, day.To.Add(day.Step())), day.Step(), &lampOverheads{by: map[string]func() stepOverhead{}}, &roofedWhole{}}, nil
}

// row returns the row of the step from an instant on.
func (w *sweeper) row(ctx context.Context, from time.Time) (SweepRow, error) {
	s := *w.pl.shot
	s.Window = shot.WindowBetween(from, from.Add(w.step))
	list := scene.Sources(&s, w.st, w.sky)
	row := SweepRow{Sun: w.sun(&s, list)}
	row.SunIs = whereSun(&s, &row.Sun)
	behind := scene.BackgroundOf(&s, list, w.sky)
	hard, _ := scene.WorthSoftening(&s, scene.HardOf(list), &behind)
	if row.Without = w.nothing(list, hard); row.Without != nil {
		row.KeyUnliftedStops, _ = w.keyUnlifted(&s, list, nil)
		return row, nil
	}
	o := w.overhead(ctx, list, hard, from)
	row.KeyUnliftedStops, o.chosen = w.keyUnlifted(&s, list, o.chosen)
	if o.chosen == nil {
		row.Without = why(hard, row.Sun.InView, o.nearest)
		return row, nil
	}
	chosen := o.chosen[0]
	kit, err := w.pl.prices.Price(chosen.Counts())
	if err != nil {
		return row, fmt.Errorf("sizing: price the overhead of %s: %w", s.Window.Start, err)
	}
	row.Overhead = &SweepOverhead{
		SKU: chosen.Candidate.Item.SKU, AreaM2: chosen.Candidate.AreaM2, OnLift: o.onLift,
		PerDay: kit.PerDay, OverLimit: w.pl.frames.Limit > 0 && chosen.Minor > w.pl.frames.Limit,
	}
	row.Whole, err = w.whole(ctx, &s, list, hard, &o)
	if err != nil {
		return row, err
	}
	row.Scheme = row.SunIs == SunBehind && !row.Overhead.OverLimit
	return row, nil
}

// stepOverhead is what a step needs of the search: the frame that stops its hard sources, or what comes nearest.
type stepOverhead struct {
	chosen  []*overhead.Rig
	onLift  bool
	nearest *finding.RuledOut
}

// lampOverheads are the overheads against lamps alone, by the places of those in the shot's list; safe for concurrent use.
type lampOverheads struct {
	mu sync.Mutex
	by map[string]func() stepOverhead
}

// overhead finds the overhead against the hard sources of a list; against the same lamps without the sun, once.
func (w *sweeper) overhead(ctx context.Context, list, hard []*scene.Source, from time.Time) stepOverhead {
	var key []byte
	for i, src := range list {
		switch {
		case len(src.Spans) == 0:
		case src.Lamp == nil:
			return w.search(ctx, hard)
		default:
			key = append(key, byte(i))
		}
	}
	w.lamps.mu.Lock()
	once := w.lamps.by[string(key)]
	if once == nil {
		once = sync.OnceValue(func() stepOverhead { return w.search(ctx, hard) })
		w.lamps.by[string(key)] = once
	}
	w.lamps.mu.Unlock()
	o := once()
	o.nearest = missingAt(o.nearest, from)
	return o
}

// missingAt returns why a frame was ruled out, told of an instant: lamps shine on it as they do at every other.
func missingAt(r *finding.RuledOut, at time.Time) *finding.RuledOut {
	if r == nil {
		return nil
	}
	misses, ok := r.Obstacle.(finding.Misses)
	if !ok {
		return r
	}
	now := *r
	misses.At = at
	now.Obstacle = misses
	return &now
}

func (w *sweeper) search(ctx context.Context, hard []*scene.Source) (o stepOverhead) {
	g := overhead.NewGroup(ctx, w.st, hard)
	o.chosen = w.pl.frames.Single(ctx, g, w.pl.frames.Stands)
	if o.onLift = o.chosen == nil; o.onLift {
		o.chosen = w.pl.frames.Single(ctx, g, w.pl.frames.Lifts)
	}
	if o.chosen != nil {
		return o
	}
	if nearest := nearestOf(ctx, g, slices.Concat(w.pl.frames.Stands, w.pl.frames.Lifts)); nearest != nil {
		r, _ := w.pl.frames.Explain(ctx, g, nearest, nil)
		o.nearest = &r
	}
	return o
}

// keyUnlifted returns the key face in the middle of the step against the background of that time, with nothing but overheads
// up, and these with the diffusion that the look wants; nil where the background is dark.
func (w *sweeper) keyUnlifted(step *shot.Shot, list []*scene.Source, overheads []*overhead.Rig) (stops *float64, hung []*overhead.Rig) {
	level := scene.BackgroundOf(step, list, w.sky)
	if level.ReferenceLx <= scene.DarkestLx {
		return nil, overheads
	}
	s := lighting.NewSetup(w.pl.lights, scene.NewLight(step, w.st, list, w.sky, level), overheads)
	w.pl.lights.Hang(s)
	key, _, _ := s.FaceLevels(w.st.Mid)
	unlifted := s.Light.Stops(key)
	return &unlifted, s.Rigs
}

// sun returns the first point of the sun's track. Under a roof it stands where it does and gives nothing.
func (w *sweeper) sun(s *shot.Shot, list []*scene.Source) scene.TrackPoint {
	if !s.Site.Roofed {
		return list[0].Track(s, w.st).Track[0]
	}
	p, _ := w.sky.At(s.Window.From)
	hidden := scene.Source{Moments: []scene.Moment{{At: s.Window.From, AzimuthDeg: p.AzimuthDeg, ElevationDeg: p.ElevationDeg}}}
	point := hidden.Track(s, w.st).Track[0]
	point.InView = false
	return point
}

// nothing returns why there is nothing to soften; nil where there is.
func (w *sweeper) nothing(list, hard []*scene.Source) finding.Without {
	if w.pl.shot.Look.Soften == shot.SoftenOff {
		return finding.SofteningOff{}
	}
	if because := nothingHard(w.pl.shot, list, hard); because != "" {
		return finding.NothingToSoften{Because: because}
	}
	return nil
}

// nothingHard returns why no source is hard; empty where one is.
func nothingHard(s *shot.Shot, list, hard []*scene.Source) finding.Soft {
	switch {
	case len(hard) > 0:
		return ""
	case len(list) == 0:
		return finding.SoftRoof
	case len(scene.HardOf(list)) > 0:
		return finding.SoftPractical
	case s.Site.Roofed:
		return finding.SoftRoofAndLamp
	case list[0].Moments[0].ElevationDeg <= 0:
		return finding.SoftSunDown
	}
	return finding.SoftNoBeam
}

// why returns why no one frame stops the hard sources, and which comes nearest.
func why(hard []*scene.Source, sunInView bool, nearest *finding.RuledOut) finding.Without {
	switch {
	case sunInView:
		return finding.SunInPicture{Nearest: nearest}
	case len(hard) > 1:
		out := finding.NoneTogether{Nearest: nearest}
		for _, src := range hard {
			out.Sources = append(out.Sources, finding.Source(src.Label))
		}
		return out
	}
	return finding.NoFrame{Nearest: nearest}
}

// nearestOf returns the frame that comes nearest to covering from where its supports can hold it; nil where none has any place.
func nearestOf(ctx context.Context, g *overhead.Group, cands []*overhead.Candidate) *overhead.Candidate {
	var nearest *overhead.Candidate
	best := 0.0
	for _, c := range cands {
		if ctx.Err() != nil {
			return nil
		}
		if len(c.Options) == 0 {
			continue
		}
		if t := g.BestPlace(ctx, c); t.Found && (nearest == nil || t.Spot.Slack > best) {
			nearest, best = c, t.Spot.Slack
		}
	}
	return nearest
}
