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
	// hourStep is the step at which other hours of the day are looked at.
	hourStep = 15 * time.Minute
	// hourTries bounds how many of them are planned in full.
	hourTries = 2
)

// hour is a window of the shot's length at another time of its day.
type hour struct {
	window  shot.Window
	away    time.Duration // from the window asked
	leastM2 float64       // no opening under this covers
	guessM2 float64       // what it will take, roughly
}

// otherHour adds the same shot at another hour of its day, earlier or later, in which a rig serves on stands that the user would prefer to
// the present one, or any where there is none: of those planned the hour that does most of what is asked, then that of the least total of
// the day, then the nearest to the window asked. One that costs no less than an option at the hour asked that does as much is none.
//
// Planned is the hour whose sun, by a rough guess, asks for the smallest opening, and then the nearest whose guess is no larger than the
// frame found for that, with the same frame: frames come in sizes, so that many hours of a day take the same.
func (p *pool) otherHour(ctx context.Context, onStands []*overhead.Rig) error {
	pl := p.pl
	if pl.shot.Site.Roofed || pl.ask.noOtherHour {
		return nil
	}
	present, areaM2 := rankOf(pl, onStands)
	hours, cands := hoursOfDay(pl, areaM2), pl.frames.Stands
	var best *Option
	var away time.Duration
	for range hourTries {
		if len(hours) == 0 {
			break
		}
		h := hours[0]
		hours = hours[1:]
		rig, light := rigAt(ctx, pl, &h, cands, present)
		if err := ctx.Err(); err != nil {
			return err
		}
		if rig == nil {
			continue
		}
		opt, err := pl.option(ctx, scheme{
			label: LabelOtherHour, light: light, rigs: []*overhead.Rig{rig}, by: lighting.ByReflectors,
			notes: append([]finding.Note{finding.OtherHour{Hours: finding.Hours{Start: h.window.Start, End: h.window.End}}}, notesOn(pl.during(h.window), light)...),
		})
		if err != nil {
			return err
		}
		if best == nil || cmp.Or(opt.State.Compare(best.State), cmp.Compare(opt.totalMinor, best.totalMinor), cmp.Compare(h.away, away)) < 0 {
			best, away = &opt, h.away
		}
		hours, cands = nearer(hours, h.away, rig.Candidate.AreaM2), []*overhead.Candidate{rig.Candidate}
	}
	if best != nil && !slices.ContainsFunc(p.options, func(o Option) bool { return o.totalMinor <= best.totalMinor && o.doesAsMuch(best) }) {
		p.keep(*best)
	}
	return nil
}

// nearer returns the hours of a list nearer to the window asked than some time whose guess is no larger than an area, the nearest first.
func nearer(list []hour, away time.Duration, areaM2 float64) []hour {
	list = slices.DeleteFunc(list, func(h hour) bool { return h.away >= away || h.guessM2 > areaM2 })
	slices.SortStableFunc(list, func(a, b hour) int { return cmp.Compare(a.away, b.away) })
	return list
}

// rankOf returns the rank of rigs together by the user's preference, nil where there is none, and the area of opening, in square metres,
// that another has to be under to come before them by it: none where area is not what is preferred.
func rankOf(pl *planner, rigs []*overhead.Rig) (rank *overhead.Rank, underM2 float64) {
	if len(rigs) == 0 {
		return nil, math.Inf(1)
	}
	var minor int64
	var massKg, sumM2 float64
	supports := 0
	for _, r := range rigs {
		sumM2 += r.Candidate.AreaM2
		minor += r.Minor
		massKg += r.MassKg
		supports += r.Placed.Count
	}
	r := overhead.RankBy(pl.shot.Prefer, sumM2, massKg, minor, supports)
	if pl.shot.Prefer != shot.PreferSmallest {
		sumM2 = math.Inf(1)
	}
	return &r, sumM2
}

// rigAt returns the rig of some candidates that serves the shot in an hour and is preferred to a rank (nil for any), with the light of that
// hour; nil where there is none.
func rigAt(ctx context.Context, pl *planner, h *hour, among []*overhead.Candidate, present *overhead.Rank) (*overhead.Rig, *scene.Light) {
	sc := scene.LightOf(pl.during(h.window).shot)
	if len(sc.ToSoften) == 0 {
		return nil, nil
	}
	var cands []*overhead.Candidate
	for _, c := range among {
		if len(c.Options) > 0 && c.AreaM2 >= h.leastM2 && (present == nil || c.RankBound().Less(*present)) {
			cands = append(cands, c)
		}
	}
	g := overhead.NewGroup(ctx, sc.Stage, sc.ToSoften)
	g.Brief = true
	if n := len(cands); n > 0 && pl.shot.Prefer == shot.PreferSmallest && !g.BestPlace(ctx, cands[n-1]).Fits() {
		return nil, nil // where the largest of them does not do, none was ever found that does
	}
	rig := g.Choose(ctx, cands, overhead.Terms{LimitMinor: pl.frames.Limit, Wind: overhead.HoldGust})
	if rig == nil || present != nil && !rig.Rank.Less(*present) {
		return nil, nil
	}
	return rig, sc
}

// hoursOfDay returns the windows of the day, the one asked not among them, in which the sun is up throughout and out of the picture, and
// in which an opening under areaM2 is not ruled out by the silhouette of the zone alone, most promising first. Where the sun is not in
// front of the people in the window asked, it is in none of them: that would be another picture.
func hoursOfDay(pl *planner, areaM2 float64) []hour {
	w := pl.shot.Window
	length := w.To.Sub(w.From)
	y, m, d := w.From.Date()
	from, to := time.Date(y, m, d, 0, 0, 0, 0, pl.zone), time.Date(y, m, d+1, 0, 0, 0, 0, pl.zone)
	st := scene.NewStage(pl.shot)
	k := scene.NewSky(pl.shot, from, to)
	now, _ := hourFrom(pl, st, k, w.From, length)
	frontal := inFront(pl, k, w.From.Add(length/2))
	var out []hour
	for _, step := range [2]time.Duration{-hourStep, hourStep} {
		for at := w.From.Add(step); !at.Before(from) && !at.Add(length).After(to); at = at.Add(step) {
			h, ok := hourFrom(pl, st, k, at, length)
			if ok && h.leastM2 < areaM2 && (math.IsInf(areaM2, 1) || h.guessM2 < now.guessM2) && (frontal || !inFront(pl, k, at.Add(length/2))) {
				h.away = at.Sub(w.From).Abs()
				out = append(out, h)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b hour) int { return cmp.Or(cmp.Compare(a.guessM2, b.guessM2), cmp.Compare(a.away, b.away)) })
	return out
}

// inFront reports whether the sun is in front of the people at an instant.
func inFront(pl *planner, k *scene.Sky, at time.Time) bool {
	p, day := k.At(at)
	return whereSun(pl.shot, &scene.TrackPoint{AzimuthDeg: p.AzimuthDeg, IlluminanceLx: day.BeamNormalLx}) == SunInFront
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
