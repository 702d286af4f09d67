package sizing

import (
	"context"
	"fmt"
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/overhead"
	"kitspan/internal/price"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// ReachResult is how far frames go in the place and the hour of a shot.
type ReachResult struct {
	Shot     shot.Shot
	Frames   []FrameReach // in the order asked for
	Notes    []finding.Note
	Cautions []finding.Caution
}

// FrameReach is how far one frame goes, on stands or lifting machines of the house, up to the widest that a request may
// ask for.
type FrameReach struct {
	SKU string
	// WidestZoneM is the widest zone that the frame covers, all else equal.
	WidestZoneM float64
	// WidestShotM is the widest shot whose zone it covers when both widen or narrow together, in proportion, and all else
	// stays: the wider picture leaves the frame less room.
	WidestShotM float64
	// Because is why a width is 0; nil where neither is.
	Because *finding.NoReach
}

// Reach finds how wide a zone, and how wide a shot, each frame covers in the shot's place and hour on supports that the
// house has. The frames are worked out by so many workers side by side, so that prices must be safe for concurrent use;
// the result does not depend on how many. An SKU that [shot.FrameFaults] refuses is an error; others are those of [Plan].
func Reach(ctx context.Context, s shot.Shot, skus []string, stock *catalog.Snapshot, prices *price.Desk, workers int) (ReachResult, error) {
	if faults := shot.FrameFaults(skus, stock); len(faults) > 0 {
		return ReachResult{}, fmt.Errorf("sizing: %s: %s", faults[0].Pointer, faults[0].Kind.Code())
	}
	pl, err := newPlanner(&s, stock, prices)
	if err != nil {
		return ReachResult{}, err
	}
	st := scene.NewStage(&s)
	k := scene.NewSky(&s, s.Window.From, s.Window.To)
	list := scene.Sources(&s, st, k)
	behind := scene.BackgroundOf(&s, list, k)
	hard, _ := scene.WorthSoftening(&s, scene.HardOf(list), &behind)
	res := ReachResult{
		Shot: s, Frames: make([]FrameReach, len(skus)), Notes: slices.Clone(s.Notes), Cautions: finding.Cautions(finding.CautionWind, finding.CautionOverhead),
	}
	if because := nothingHard(&s, list, hard); because != "" {
		res.Notes = append(res.Notes, finding.EveryFrameDoes{Because: because})
	}
	sideBySide(ctx, workers, len(skus), func() func(int) {
		one := clonePlanner(pl)
		return func(i int) {
			one.frames = pl.frames.WithFrame(skus[i])
			res.Frames[i] = reachOf(ctx, one, skus[i], st, hard)
		}
	})
	if err := ctx.Err(); err != nil {
		return ReachResult{}, err
	}
	return res, nil
}

const (
	// reachShare is how exactly the widths are reported.
	reachShare = 0.002
	// reachStep is the first step away from a guess, as a factor; each further step is the square of the one before.
	reachStep = 1.02
)

// reachOf returns the reach of the one frame that the planner knows.
func reachOf(ctx context.Context, pl *planner, sku string, st *scene.Stage, hard []*scene.Source) FrameReach {
	out := FrameReach{SKU: sku}
	zone, picture := pl.shot.Zone.WidthM, pl.shot.Framing.WidthM
	if len(hard) == 0 {
		out.WidestZoneM, out.WidestShotM = shot.MaxWidthM, shot.MaxWidthM*math.Min(1, picture/zone)
		return out
	}
	var cands []*overhead.Candidate
	for _, c := range slices.Concat(pl.frames.Stands, pl.frames.Lifts) {
		if len(c.Options) > 0 {
			cands = append(cands, c)
		}
	}
	covers := func(st *scene.Stage) bool {
		var g *overhead.Group // what the frame does on its own is the same on stands and on machines
		return slices.ContainsFunc(cands, func(c *overhead.Candidate) bool {
			if ctx.Err() != nil || st.LeastOpeningM2(hard) >= c.AreaM2 {
				return false
			}
			if g == nil {
				g = overhead.NewGroup(ctx, st, hard)
			}
			return g.BestPlace(ctx, c).Fits() && g.Erect(ctx, c, overhead.Terms{Wind: overhead.IgnoreWind}) != nil
		})
	}
	found := pl.frames.Widest(ctx, overhead.NewGroup(ctx, st, hard))
	widest := st.ZoneWidthM(found.WidthM())
	out.WidestZoneM = farthest(widest, overhead.MinWidthM, shot.MaxWidthM, func(width float64) bool {
		return width <= widest || covers(st.WithHalfWidth(width/2+math.Abs(st.Way.X)))
	})
	scaled := func(width float64) *scene.Stage {
		s := *pl.shot
		s.Framing.WidthM, s.Zone.WidthM = width, zone*width/picture
		return scene.NewStage(&s)
	}
	out.WidestShotM = farthest(picture*math.Min(1, out.WidestZoneM/zone), overhead.MinWidthM, shot.MaxWidthM*math.Min(1, picture/zone),
		func(width float64) bool { return covers(scaled(width)) })
	if out.WidestZoneM == 0 || out.WidestShotM == 0 {
		out.Because = noReach(ctx, pl, st.WithHalfWidth(overhead.MinWidthM/2), hard)
	}
	return out
}

// farthest returns the greatest value from least to most for which holds is true, found from a guess outwards and to within
// reachShare; 0 where it is not for least. What is true for a value is true for smaller ones.
func farthest(guess, least, most float64, holds func(float64) bool) float64 {
	at := math.Min(math.Max(guess, least), most)
	if !holds(at) {
		for step, high := reachStep, at; ; step *= step {
			if high <= least {
				return 0
			}
			low := math.Max(high/step, least)
			if holds(low) {
				return overhead.Bisect(low, high, low*reachShare, 0, holds)
			}
			high = low
		}
	}
	for step := reachStep; at < most; step *= step {
		high := math.Min(at*step, most)
		if !holds(high) {
			return overhead.Bisect(at, high, at*reachShare, 0, holds)
		}
		at = high
	}
	return at
}

// noReach returns why the planner's one frame covers not even a sliver of the zone.
func noReach(ctx context.Context, pl *planner, st *scene.Stage, hard []*scene.Source) *finding.NoReach {
	c := pl.frames.Stands[0]
	if c.Because == finding.NoSupport || len(c.Options) == 0 && len(pl.frames.Lifts[0].Options) > 0 {
		c = pl.frames.Lifts[0]
	}
	r, _ := pl.frames.Explain(ctx, overhead.NewGroup(ctx, st, hard), c, nil)
	return &finding.NoReach{Sources: len(hard), Frame: r}
}
