package placement

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

// cell is a square of turns, all yaws and tilts within a step of its middle, for a frame.
type cell struct {
	*square
	slack  float64 // at the middle, as of [yieldTurn]
	turned bool    // the frame's sides swapped
}

// square is what is known of a cell for any frame: searches for further frames and on other supports visit the same cells.
type square struct {
	yaw, tilt float64   // of the middle, radians
	needs     leastSize // of an opening; set where known
	known     bool
	asked     uint8 // frames looked at while ample is unknown
	ample     ample
	parts     *[4]square
}

// divided returns the four parts of a square, of half the step.
func (q *square) divided(step float64) *[4]square {
	if q.parts == nil {
		q.parts = &[4]square{}
		for k := range q.parts {
			q.parts[k].yaw, q.parts[k].tilt = q.yaw+float64(2*(k&1)-1)*step, q.tilt+float64(k&2-1)*step
		}
	}
	return q.parts
}

const (
	// FinestStepRad is half the side of the smallest cells, in radians: at 2 m it moves an edge 35 mm. What fits only within
	// so small a range of turns is looked for by refining the best of them.
	FinestStepRad = math.Pi / 180
	// GridStepRad is half the side of the cells of the coarse grid, in radians.
	GridStepRad = gridDeg / 2 * math.Pi / 180
	// CoarseStepRad is where a search ends that need not find what only just fits, in radians.
	CoarseStepRad = gridDeg / 6 * math.Pi / 180
	// likeliest is how many of the smallest cells are refined, the most likely first.
	likeliest = 3
	// steepStep is half the side of cells from which on what lies edge-on to a ray in the middle is left out whole: rays
	// over 75° off square, where the fabric shows a quarter of its depth.
	steepStep = gridDeg / 4 * math.Pi / 180
	// maxCells bounds the cells of one search. A search that proves that a frame fits nowhere looks at some hundreds.
	maxCells = 6000
)

// Everywhere looks through all turns of a frame for the first that answers a query of [CoverQuery]. It misses none except by
// rounding and those that fit only within less than finest, in radians: it is a branch and bound over cells of yaw and tilt. In
// the middle of a cell the conditions are eased by what turning to its edge can change; where nothing fits even so, the whole
// cell is omitted, else it is divided into four. ok is false where nothing was found, and also where the context or the query's
// trial ended first.
func (fd *Finder) Everywhere(ctx context.Context, q Query, finest float64) (s Spot, ok bool) {
	p := fd.placer
	sh, ho := q.size, q.supports
	sheets := [2]Size{sh, sh.Turned()}
	now, next := fd.cells[0][:0], fd.cells[1][:0]
	defer func() { fd.cells = [2][]cell{now, next} }()
	step := GridStepRad
	looked := 0
	look := func(c cell, f *Facing) (Spot, bool) {
		looked++
		s := &sheets[int(flag(c.turned))]
		if !c.known {
			c.needs, c.known = shadowIn(fd.Stage, fd.Rays, c.yaw, c.tilt, step), true
		}
		if c.needs.under(s, fd.Stage.CoverM) || step > finest && c.ample.under(s, step) {
			return Spot{}, false
		}
		if f == nil && TurnTo(fd.Stage, &fd.scrap, fd.Rays, c.yaw, c.tilt) {
			f = &fd.scrap
		}
		if step > finest {
			if f != nil && c.due(s) {
				if c.ample = ampleIn(p, f, s, step); c.ample.under(s, step) {
					return Spot{}, false
				}
			}
			if !fd.mayFit(ctx, &c, f, s, ho, step) {
				return Spot{}, false
			}
			next = append(next, c)
		}
		if f == nil {
			return Spot{}, false
		}
		return p.best(ctx, f, q.of(*s))
	}
	over := func() bool { return looked > maxCells || ctx.Err() != nil || q.trial.over() }
	for i := range sheets {
		if i == 1 && sh.Square() {
			break
		}
		for k := range fd.squares {
			if over() {
				return Spot{}, false
			}
			var f *Facing
			if n := fd.squares[k].facing; n >= 0 {
				f = &fd.Grid[n]
			}
			if got, ok := look(cell{square: &fd.squares[k].square, turned: i == 1}, f); ok {
				return got, true
			}
		}
	}
	for step > finest && len(next) > 0 {
		now, next = next, now[:0]
		slices.SortStableFunc(now, func(a, b cell) int { return cmp.Compare(b.slack, a.slack) })
		step /= 2
		for _, c := range now {
			parts := c.divided(step)
			for k := range parts {
				if over() {
					return Spot{}, false
				}
				if got, ok := look(cell{square: &parts[k], turned: c.turned}, nil); ok {
					return got, true
				}
			}
		}
	}
	return Spot{}, false
}

// far reports whether all rays are those of directional sources, the only ones against which the width can be an unknown.
func (fd *Finder) far() bool {
	return !slices.ContainsFunc(fd.Rays, func(r scene.Ray) bool { return r.Corner })
}

// mayFit reports whether a frame may fit at some turn of a cell, f the facing in its middle, nil where that is edge-on to a
// ray, and notes how nearly.
func (fd *Finder) mayFit(ctx context.Context, c *cell, f *Facing, s *Size, ho *SupportLimits, step float64) bool {
	if f == nil {
		c.slack = -step
		return step > steepStep && grazed(fd.Rays, c.yaw, c.tilt, step)
	}
	t := easingOf(f, s, step)
	if f.nearest(fd.Stage, &t) < -step {
		return false
	}
	got, ok := fd.placer.best(ctx, f, Query{size: *s, supports: ho, yield: yieldTurn, floor: -step, enough: -step, step: step})
	c.slack = got.Slack
	return ok
}

// Fits looks through all turns for one at which a frame fits on some supports, down to cells of finest, in radians, and then
// around the likeliest of the smallest. Against lamps nearby, whose shadows bound the search later, it looks no finer than
// [CoarseStepRad].
func (fd *Finder) Fits(ctx context.Context, size Size, supports *SupportLimits, finest float64) (s Spot, ok bool) {
	if !fd.far() {
		finest = math.Max(finest, CoarseStepRad)
	}
	q := CoverQuery(size, supports, nil)
	got, ok := fd.Everywhere(ctx, q, finest)
	if ok {
		return got, true
	}
	// Of what may fit between the last turns looked at, the likeliest.
	left := fd.cells[0]
	for _, c := range left[:min(len(left), likeliest)] {
		if ctx.Err() != nil {
			break
		}
		s := size
		if c.turned {
			s = size.Turned()
		}
		about := q.of(s).above(-nearMissM)
		if near, ok := fd.At(ctx, c.yaw, c.tilt, about); ok {
			if got := fd.refine(ctx, near, about); got.Slack >= 0 {
				return got, true
			}
		}
	}
	return Spot{}, false
}

// leastSize is the least half-sizes of an opening that covers, the margin not counted.
type leastSize struct{ u, v float64 }

// under reports whether a frame is too small to cover.
func (l leastSize) under(sh *Size, coverM float64) bool {
	return sh.HalfU-coverM < l.u || sh.HalfV-coverM < l.v
}

// shadowIn returns the least half-sizes of the zone's shadow along any of the rays, at every turn within step of yaw and tilt.
// Seen along the ray s the opening is a parallelogram: its width across the edges along v is 2·halfU·|n·s|/|v⊥|, v⊥ the
// part of v square to s, and the zone's in the same direction must be less. Each of the three turns by a bounded angle.
// Unlike the conditions on a place this does not lose its strength where rays graze the frame.
func shadowIn(st *scene.Stage, rays []scene.Ray, yaw, tilt, step float64) (l leastSize) {
	sy, cy := math.Sincos(yaw)
	sinT, cosT := math.Sincos(tilt)
	u := geom.Vec{X: cy, Y: sy}
	v := geom.Vec{X: -sy * cosT, Y: cy * cosT, Z: sinT}
	n := u.Cross(v)
	turnsV, turnsN := step*math.Sqrt(1+cosT*cosT), step*math.Sqrt(1+sinT*sinT)
	thin := math.Min(st.Half.X, math.Min(st.Half.Y, st.Half.Z))
	size := st.Half.Len()
	along := func(s, edge geom.Vec, turns, square float64) float64 {
		across := s.Cross(edge)
		flat := across.Len()
		if flat <= turns {
			return 0
		}
		width := (math.Abs(across.X)*st.Half.X + math.Abs(across.Y)*st.Half.Y + math.Abs(across.Z)*st.Half.Z) / flat
		width = math.Max(thin, width-size*math.Asin(turns/flat))
		return width * (flat - turns) / square
	}
	for i := range rays {
		if rays[i].Corner {
			continue
		}
		s := rays[i].Dir
		square := math.Min(1, math.Abs(n.Dot(s))+turnsN)
		l.u = math.Max(l.u, along(s, v, turnsV, square))
		l.v = math.Max(l.v, along(s, u, step, square))
	}
	return l
}

// grazed reports whether a facing that is too nearly edge-on to a ray may be none at a turn within step of yaw and tilt.
func grazed(rays []scene.Ray, yaw, tilt, step float64) bool {
	sy, cy := math.Sincos(yaw)
	sinT, cosT := math.Sincos(tilt)
	least, most := math.Inf(1), math.Inf(-1)
	for i := range rays {
		d := rays[i].Dir
		ns := (d.X*sy-d.Y*cy)*sinT + d.Z*cosT
		least, most = math.Min(least, ns), math.Max(most, ns)
	}
	return math.Max(least, -most)+step*math.Sqrt(1+sinT*sinT) >= grazing
}

// ample bounds what covers at any turn of a cell, however far out: what an opening of no size would have to be larger along
// each side, and the steepest ray along it. It holds for frames of up to sideM.
type ample struct {
	shortU, shortV float64
	slopeU, slopeV float64
	up, flat       float64 // sine and cosine of the middle's tilt
	sideM          float64
}

// amplyAsked is how many frames are looked at in a cell before it is bounded for all.
const amplyAsked = 3

// due reports whether it is time to bound a cell for all frames like one.
func (q *square) due(sh *Size) bool {
	if q.asked < amplyAsked {
		q.asked++
		return false
	}
	return q.ample.sideM < sh.longM()
}

// longM is half the longer outer side.
func (sh *Size) longM() float64 {
	return math.Max(math.Max(sh.OutU, sh.OutV), math.Max(sh.HalfU, sh.HalfV))
}

// under reports whether a frame is too small to cover at any turn within step of the cell's middle.
func (a *ample) under(sh *Size, step float64) bool {
	if a.sideM < sh.longM() {
		return false
	}
	more := step * math.Hypot(sh.OutU, sh.OutV)
	return sh.HalfU+step*sh.inset(a.up, a.flat, more, a.slopeU, false) < a.shortU || sh.HalfV+step*sh.inset(a.up, a.flat, more, a.slopeV, true) < a.shortV
}

// ampleIn returns the bound for the cell around a facing, for frames up to half as large again as this one. It uses only the conditions of
// [placer.common] that every frame has, eased as [placer.best] eases them for the cell, each side alone.
func ampleIn(p *placer, f *Facing, sh *Size, step float64) (a ample) {
	a.sideM = 1.5 * sh.longM()
	a.up, a.flat = f.up, math.Sqrt(math.Max(0, 1-f.up*f.up))
	t := easingOf(f, &Size{a.sideM, a.sideM, a.sideM, a.sideM}, step)
	for i := range f.cover {
		slope := &a.slopeU
		if f.cover[i].alongV {
			slope = &a.slopeV
		}
		*slope = math.Max(*slope, math.Abs(f.cover[i].slope))
	}
	const lower = 1e-3 // what the preference for a lower place may take off the slack, and rounding
	a.shortU, a.shortV = -p.cap(f, false, step*t.depth(), step*t.rise())-lower, -p.cap(f, true, step*t.depth(), step*t.rise())-lower
	return a
}
