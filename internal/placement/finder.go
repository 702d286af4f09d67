package placement

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

// Finder searches all turns of a frame on one stage with one set of rays. It keeps the facings of a coarse grid, made once and
// used for every frame. It is not safe for concurrent use.
type Finder struct {
	Stage   *scene.Stage
	Rays    []scene.Ray
	placer  *placer
	Grid    []Facing
	ranking []ranked
	scrap   Facing
	// squares are the cells of the coarse grid, and cells memory for smaller ones.
	squares []gridSquare
	cells   [2][]cell
}

// gridSquare is a cell of the coarse grid, with its middle's facing by number; −1 where that is edge-on to a ray.
type gridSquare struct {
	square
	facing int32
}

// ranked is a facing of the grid, by number, and an upper bound on the slack of a frame there.
type ranked struct {
	bound  float64
	facing int32
	turned bool // the frame's sides swapped
}

const (
	// gridDeg is the step of the coarse grid of yaw and tilt. It divides 90, so that square, level and upright
	// frames are on it.
	gridDeg = 15.0
	// finestDeg is the last step of the refinement: at 4 m a quarter of a degree moves an edge 9 mm. A frame that misses
	// by more than nearMissM is refined to coarseDeg alone.
	finestDeg = 0.25
	coarseDeg = 1.0
	nearMissM = 0.1
	// seeds is how many of the grid's best spots are refined where the frame may fit; where it cannot, one is enough to
	// report by how much.
	seeds = 7
	// widthSeeds is how many where the width is the unknown: it is reported to one per cent.
	widthSeeds = 6
	// hopeShare is the largest share of what turning can gain that any spot of the grid did gain, in random shots; a frame
	// short by more is taken not to fit.
	hopeShare = 0.75
)

// NewFinder makes a finder with its coarse grid, of which a context that ends leaves a part out.
func NewFinder(ctx context.Context, st *scene.Stage, rays []scene.Ray) *Finder {
	fd := &Finder{Stage: st, Rays: rays, placer: newPlacer(st, len(rays))}
	const yaws, tilts = 180 / gridDeg, 180 / gridDeg
	fd.Grid = make([]Facing, 0, (yaws+1)*tilts)
	covers := make([]coverRow, 4*len(rays)*cap(fd.Grid))
	shadows := make([]shadow, 2*len(rays)*cap(fd.Grid))
	fd.squares = make([]gridSquare, 0, yaws*tilts)
	add := func(yaw, tilt float64) (n int) {
		n = len(fd.Grid)
		fd.Grid = append(fd.Grid, Facing{
			lasting: true, cover: covers[4*len(rays)*n:][: 0 : 4*len(rays)], shadows: shadows[2*len(rays)*n:][: 0 : 2*len(rays)],
		})
		if !TurnTo(st, &fd.Grid[n], rays, yaw, tilt) {
			fd.Grid = fd.Grid[:n]
			return -1
		}
		return n
	}
	var mean geom.Vec
	for i := range rays {
		mean = mean.Add(rays[i].Dir)
	}
	for t := range int(tilts) {
		if ctx.Err() != nil {
			break
		}
		tilt := (90 - float64(t)*gridDeg) * math.Pi / 180
		for w := range int(yaws) {
			yaw := float64(w) * gridDeg * math.Pi / 180
			fd.squares = append(fd.squares, gridSquare{square{yaw: yaw, tilt: tilt}, int32(add(yaw, tilt))})
		}
		add(-math.Atan2(mean.X, mean.Y), tilt) // square to the light in plan
	}
	// The flattest first: of frames turned otherwise alike they catch least wind.
	slices.SortStableFunc(fd.squares, func(a, b gridSquare) int { return cmp.Compare(math.Abs(a.tilt), math.Abs(b.tilt)) })
	return fd
}

// NewTurnFinder makes a finder for [Finder.At] alone: it has no grid.
func NewTurnFinder(st *scene.Stage, rays []scene.Ray) *Finder {
	return &Finder{Stage: st, Rays: rays, placer: newPlacer(st, len(rays))}
}

// SeedDepthM returns by how much slack, in metres, a spot of the grid may be worse than the best and still be refined: turning by
// half a grid step moves the end of the zone by so much.
func SeedDepthM(st *scene.Stage) float64 { return st.Half.Len() * math.Sin(gridDeg/2*math.Pi/180) }

// Find looks for the spot of most slack for a frame, over all turns. near, where set, is a spot known to be good for a
// similar frame. ok is false where no place has more
// slack than the query's floor, or the context ended before one was found.
func (fd *Finder) Find(ctx context.Context, q Query, near *Spot) (s Spot, ok bool) {
	sh, y, floor, enough := q.size, q.yield, q.floor, q.enough
	best := Spot{Slack: floor}
	found := false
	var top [seeds]Spot
	kept := 0
	if near != nil {
		s := sh
		if near.Size.HalfU < near.Size.HalfV != (sh.HalfU < sh.HalfV) {
			s = sh.Turned()
		}
		if got, ok := fd.At(ctx, near.Yaw, near.Tilt, q.of(s)); ok {
			got = fd.refine(ctx, got, q)
			best, found = got, true
			if best.Slack >= enough || y != YieldCover && y != YieldWidth {
				return best, true // how far another condition would have to give is only explained: a neighbour's place will do
			}
		}
	}
	// A spot of the grid may gain depth by turning. Where the frame can fit, what lies that much behind is looked at
	// too; where it cannot, the best is only wanted to report by how much it misses.
	depth := SeedDepthM(fd.Stage)
	hopeless := -hopeShare * depth
	behind := func() float64 {
		if best.Slack < hopeless {
			return best.Slack
		}
		return math.Max(best.Slack-depth, floor)
	}
	fd.rankFacings(sh, y, behind())
	for _, r := range fd.ranking {
		bar := behind()
		if r.bound <= bar || ctx.Err() != nil {
			break
		}
		s := sh
		if r.turned {
			s = sh.Turned()
		}
		f := &fd.Grid[r.facing]
		if y == YieldCover && fd.placer.bound(f, &s) <= bar+bestTolerance {
			continue
		}
		got, ok := fd.placer.best(ctx, f, q.of(s).above(bar))
		if !ok {
			continue
		}
		if got.Slack >= enough {
			return got, true
		}
		kept = keep(&top, kept, got)
		if got.Slack > best.Slack {
			best, found = got, true
		}
	}
	switch {
	case best.Slack < hopeless:
		kept = min(kept, 1)
	case y == YieldWidth:
		kept = min(kept, widthSeeds)
	}
	for _, seed := range top[:kept] {
		if got := fd.refine(ctx, seed, q.above(best.Slack)); got.Slack > best.Slack {
			best, found = got, true
			if best.Slack >= enough {
				return best, true
			}
		}
	}
	return best, found
}

// turns are the eight directions in which to turn: yaw and tilt.
var turns = [8][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}}

// besides reports whether a spot of the grid is a neighbour of another: refining it would end there too.
func (s *Spot) besides(o *Spot) bool {
	const step = gridDeg * 1.01 * math.Pi / 180
	return s.Size == o.Size && s.branch == o.branch && math.Abs(math.Remainder(s.Yaw-o.Yaw, math.Pi)) < step && math.Abs(s.Tilt-o.Tilt) < step
}

// keep inserts a spot among the few best, descending by slack, in place of a neighbour that it beats, and returns how many there are.
func keep(top *[seeds]Spot, n int, s Spot) int {
	for i := range n {
		if top[i].besides(&s) {
			if top[i].Slack >= s.Slack {
				return n
			}
			copy(top[i:], top[i+1:n])
			n--
			break
		}
	}
	i := n
	for i > 0 && top[i-1].Slack < s.Slack {
		i--
	}
	if i == seeds {
		return n
	}
	n = min(n+1, seeds)
	copy(top[i+1:n], top[i:n-1])
	top[i] = s
	return n
}

// rankFacings orders the grid's facings by how much slack they can have at best, and omits those that cannot beat floor.
func (fd *Finder) rankFacings(sh Size, y Yield, floor float64) {
	fd.ranking = fd.ranking[:0]
	for k := range 2 {
		s := sh
		if k == 1 {
			if sh.Square() {
				break
			}
			s = sh.Turned()
		}
		for i := range fd.Grid {
			var b float64
			switch y {
			case YieldCover:
				b = fd.Grid[i].Bound(&s, fd.Stage.CoverM)
			case YieldWidth:
				b = fd.Grid[i].widest(&s, fd.Stage.CoverM)
			default:
				b = math.Inf(1)
			}
			if b > floor {
				fd.ranking = append(fd.ranking, ranked{b, int32(i), k == 1})
			}
		}
	}
	slices.SortFunc(fd.ranking, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(b.bound, a.bound), cmp.Compare(a.facing, b.facing))
	})
}

// At returns the best spot at one yaw and tilt, in radians, which need not be of the grid.
func (fd *Finder) At(ctx context.Context, yaw, tilt float64, q Query) (Spot, bool) {
	if !TurnTo(fd.Stage, &fd.scrap, fd.Rays, yaw, tilt) {
		return Spot{}, false
	}
	if q.yield == YieldCover && fd.scrap.Bound(&q.size, fd.Stage.CoverM) <= q.floor {
		return Spot{}, false
	}
	return fd.placer.best(ctx, &fd.scrap, q)
}

// refine moves from a spot to better turns, in steps that halve from half the grid's. It keeps to the spot's own case,
// and looks at all cases again where it ends. It gives up where the turns that are left cannot reach the query's floor.
func (fd *Finder) refine(ctx context.Context, s Spot, q Query) Spot {
	q.size = s.Size
	held := q
	held.only = &s.branch
	for step := gridDeg / 2; step >= finestDeg && (step >= coarseDeg || s.Slack > -nearMissM); step /= 2 {
		rad := step * math.Pi / 180
		if q.yield == YieldCover && s.Slack+2*fd.Stage.Half.Len()*math.Sin(rad) < q.floor {
			break
		}
		ways := turns[:]
		if s.Slack < -hopeShare*SeedDepthM(fd.Stage) {
			ways = turns[:4] // only to report by how much it misses
		}
		for moved := ctx.Err() == nil; moved; {
			moved = false
			for _, d := range ways {
				got, ok := fd.At(ctx, s.Yaw+d[0]*rad, s.Tilt+d[1]*rad, held.above(s.Slack+bestTolerance))
				if ok {
					s, moved = got, true
					break
				}
			}
			if s.Slack >= q.enough {
				return s
			}
		}
	}
	if got, ok := fd.At(ctx, s.Yaw, s.Tilt, q.above(s.Slack)); ok {
		return got
	}
	return s
}

// Rect returns the opening of a placed frame and the outer edge of its tubes, in the camera's axes.
func (s *Spot) Rect(st *scene.Stage) (opening, outer geom.Rect) {
	var f Facing
	TurnTo(st, &f, nil, s.Yaw, s.Tilt)
	opening = geom.Rect{Center: s.Center, U: f.u, V: f.v, HalfU: s.Size.HalfU, HalfV: s.Size.HalfV}
	outer = opening
	outer.HalfU, outer.HalfV = s.Size.OutU, s.Size.OutV
	return opening, outer
}
