package sizing

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

const (
	// laterStep is the step at which later hours of the day are looked at.
	laterStep = 15 * time.Minute
	// laterTries bounds how many of them are searched in full, the most promising first.
	laterTries = 2
)

// hour is a window of the same length later in the day.
type hour struct {
	window  shot.Window
	leastM2 float64 // no opening under this covers
	guessM2 float64 // what it will take, roughly
}

// laterHour looks for a window of the same length, later on the same day, in which a rig serves on stands that the user
// would prefer to the present one, or any where there is none. The best is taken, then the earliest.
func laterHour(ctx context.Context, pl *planner, now []*overhead.Rig) (Option, bool, error) {
	if pl.shot.Site.Roofed {
		return Option{}, false, nil
	}
	var present *overhead.Rank
	area := math.Inf(1)
	if len(now) > 0 {
		r := overhead.Rank{}
		var minor int64
		var mass, sum float64
		n := 0
		for _, ch := range now {
			sum += ch.Candidate.AreaM2
			minor += ch.Minor
			mass += ch.MassKg
			n += ch.Placed.Count
		}
		r = overhead.RankBy(pl.shot.Prefer, sum, mass, minor, n)
		present = &r
		if pl.shot.Prefer == shot.PreferSmallest {
			area = sum
		}
	}
	var best *overhead.Rig
	var bestHour *scene.Light
	hours := hoursAfter(pl, area)
	for _, h := range hours[:min(len(hours), laterTries)] {
		if err := ctx.Err(); err != nil {
			return Option{}, false, err
		}
		s := *pl.shot
		s.Window = h.window
		sc := scene.LightOf(&s)
		if len(sc.ToSoften) == 0 {
			continue
		}
		var cands []*overhead.Candidate
		for _, c := range pl.frames.Stands {
			bar := present
			if best != nil {
				bar = &best.Rank
			}
			if len(c.Options) > 0 && c.AreaM2 >= h.leastM2 && (bar == nil || c.RankBound().Less(*bar)) {
				cands = append(cands, c)
			}
		}
		g := overhead.NewGroup(ctx, sc.Stage, sc.ToSoften)
		g.Brief = true
		if n := len(cands); n > 0 && pl.shot.Prefer == shot.PreferSmallest && !g.BestPlace(ctx, cands[n-1]).Fits() {
			continue // where the largest of them does not do, none was ever found that does
		}
		ch := g.Choose(ctx, cands, overhead.Terms{LimitMinor: pl.frames.Limit, Wind: overhead.HoldGust})
		if ch == nil || present != nil && !ch.Rank.Less(*present) || best != nil && !ch.Rank.Less(best.Rank) {
			continue
		}
		best, bestHour = ch, sc
	}
	if best == nil {
		return Option{}, false, nil
	}
	note := finding.LaterHour{Hours: finding.Hours{Start: bestHour.Window.Start, End: bestHour.Window.End}}
	opt, err := pl.option(ctx, scheme{
		label: LabelLaterHour, light: bestHour, rigs: []*overhead.Rig{best}, by: lighting.ByReflectors,
		notes: append([]finding.Note{note}, pl.forecastShort(bestHour.Window)...),
	})
	return opt, err == nil, err
}

// hoursAfter returns the later windows in which the sun is up throughout and out of the picture, and in which an opening under
// areaM2 is not ruled out by the silhouette of the zone alone, most promising first.
func hoursAfter(pl *planner, areaM2 float64) []hour {
	w := pl.shot.Window
	length := w.To.Sub(w.From)
	y, m, d := w.From.Date()
	midnight := time.Date(y, m, d+1, 0, 0, 0, 0, pl.zone)
	st := scene.NewStage(pl.shot)
	k := scene.NewSky(pl.shot, w.From, midnight)
	var out []hour
	now, _ := hourFrom(pl, st, k, w.From, length)
	for from := w.From.Add(laterStep); !from.Add(length).After(midnight); from = from.Add(laterStep) {
		h, ok := hourFrom(pl, st, k, from, length)
		if ok && h.leastM2 < areaM2 && (math.IsInf(areaM2, 1) || h.guessM2 < now.guessM2) {
			out = append(out, h)
		}
	}
	slices.SortStableFunc(out, func(a, b hour) int { return cmp.Compare(a.guessM2, b.guessM2) })
	return out
}

// hourFrom returns the window from an instant on; ok is false where the sun is down or in the picture, or leaves no frame within
// reach out of the picture.
func hourFrom(pl *planner, st *scene.Stage, k *scene.Sky, from time.Time, length time.Duration) (h hour, ok bool) {
	h.window = shot.WindowBetween(from, from.Add(length))
	far := 0.0
	var dirs [3]geom.Vec
	for i := range dirs {
		p, day := k.At(from.Add(length * time.Duration(i) / 2))
		dirs[i] = geom.Toward(p.AzimuthDeg-pl.shot.Camera.BearingDeg, p.ElevationDeg)
		if day.BeamNormalLx <= 0 || st.View.SeesDisc(dirs[i], p.SemidiameterDeg()) {
			return h, false
		}
		h.leastM2 = math.Max(h.leastM2, st.Silhouette(dirs[i]))
		far = math.Max(far, st.OutOfView(dirs[i]))
	}
	// The shadow of the zone grows with the distance at which the frame is out of view.
	side := math.Sqrt(h.leastM2) + far*dirs[0].Sub(dirs[2]).Len() + 2*pl.shot.Allowance.CoverM
	h.guessM2 = side * side
	return h, far <= scene.FarM
}
