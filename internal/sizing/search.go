package sizing

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

// finder searches all turns of a frame for one demand: one stage and one set of rays. It keeps the facings of a coarse
// grid, made once and used for every frame.
type finder struct {
	st     *scene.Stage
	rays   []scene.Ray
	placer *placer
	grid   []facing
	order  []ranked
	scrap  facing
	// squares are the cells of the coarse grid, and cells memory for smaller ones.
	squares []gridSquare
	cells   [2][]cell
}

// gridSquare is a cell of the coarse grid, with its middle's facing by number; −1 where that is edge-on to a ray.
type gridSquare struct {
	square
	facing int32
}

// ranked is a facing of the grid, by number, and more slack than a sheet can have there.
type ranked struct {
	bound  float64
	facing int32
	turned bool // the sheet's sides swapped
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
	// say by how much.
	seeds = 7
	// widthSeeds is how many where the width is asked: it is told to a per cent.
	widthSeeds = 6
	// hopeShare is the share of what turning can gain that a spot of the grid ever did gain, in random shots; a frame
	// short by more cannot fit.
	hopeShare = 0.75
)

func newFinder(ctx context.Context, st *scene.Stage, rays []scene.Ray) *finder {
	fd := &finder{st: st, rays: rays, placer: newPlacer(st, len(rays))}
	const yaws, tilts = 180 / gridDeg, 180 / gridDeg
	fd.grid = make([]facing, 0, (yaws+1)*tilts)
	covers := make([]coverRow, 4*len(rays)*cap(fd.grid))
	shadows := make([]shadow, 2*len(rays)*cap(fd.grid))
	fd.squares = make([]gridSquare, 0, yaws*tilts)
	add := func(yaw, tilt float64) (n int) {
		n = len(fd.grid)
		fd.grid = append(fd.grid, facing{
			lasting: true, cover: covers[4*len(rays)*n:][: 0 : 4*len(rays)], shadows: shadows[2*len(rays)*n:][: 0 : 2*len(rays)],
		})
		if !turnTo(st, &fd.grid[n], rays, yaw, tilt) {
			fd.grid = fd.grid[:n]
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

// seedDepthM is how much worse than the best a spot of the grid may be and still be refined: turning by half a grid step
// moves the end of the zone by so much.
func seedDepthM(st *scene.Stage) float64 { return st.Half.Len() * math.Sin(gridDeg/2*math.Pi/180) }

// find looks for the spot of most slack for a frame, over all turns. It stops at a slack of enough. near, where set, is
// a spot known to be good for a similar frame. A slack below floor is of no interest.
func (fd *finder) find(ctx context.Context, sh sheet, ho *hold, y yields, near *spot, floor, enough float64) (spot, bool) {
	best := spot{slack: floor}
	found := false
	var top [seeds]spot
	kept := 0
	if near != nil {
		s := sh
		if near.sheet.halfU < near.sheet.halfV != (sh.halfU < sh.halfV) {
			s = sh.turned()
		}
		if got, ok := fd.at(ctx, near.yaw, near.tilt, &s, ho, y, best.slack, enough); ok {
			got = fd.refine(ctx, got, ho, y, floor, enough)
			best, found = got, true
			if best.slack >= enough || y != yieldCover && y != yieldWidth {
				return best, true // how far another condition would have to give is only explained: a neighbour's place will do
			}
		}
	}
	// A spot of the grid may gain depth by turning. Where the frame can fit, what lies that much behind is looked at
	// too; where it cannot, the best is only wanted to say by how much it misses.
	depth := seedDepthM(fd.st)
	hopeless := -hopeShare * depth
	behind := func() float64 {
		if best.slack < hopeless {
			return best.slack
		}
		return math.Max(best.slack-depth, floor)
	}
	fd.rank(sh, y, behind())
	for _, r := range fd.order {
		bar := behind()
		if r.bound <= bar || ctx.Err() != nil {
			break
		}
		s := sh
		if r.turned {
			s = sh.turned()
		}
		f := &fd.grid[r.facing]
		if y == yieldCover && fd.placer.bound(f, &s) <= bar+bestTolerance {
			continue
		}
		got, ok := fd.placer.best(ctx, f, &s, ho, y, bar, enough)
		if !ok {
			continue
		}
		if got.slack >= enough {
			return got, true
		}
		kept = keep(&top, kept, got)
		if got.slack > best.slack {
			best, found = got, true
		}
	}
	switch {
	case best.slack < hopeless:
		kept = min(kept, 1)
	case y == yieldWidth:
		kept = min(kept, widthSeeds)
	}
	for _, seed := range top[:kept] {
		if got := fd.refine(ctx, seed, ho, y, best.slack, enough); got.slack > best.slack {
			best, found = got, true
			if best.slack >= enough {
				return best, true
			}
		}
	}
	return best, found
}

// turns are the eight ways to turn: yaw and tilt.
var turns = [8][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {-1, -1}, {1, -1}, {-1, 1}}

// besides says whether a spot of the grid is a neighbour of another: refining it would end there too.
func (s *spot) besides(o *spot) bool {
	const step = gridDeg * 1.01 * math.Pi / 180
	return s.sheet == o.sheet && s.branch == o.branch && math.Abs(math.Remainder(s.yaw-o.yaw, math.Pi)) < step && math.Abs(s.tilt-o.tilt) < step
}

// keep inserts a spot into the few best, descending by slack, in the place of a neighbour that it beats.
func keep(top *[seeds]spot, n int, s spot) int {
	for i := range n {
		if top[i].besides(&s) {
			if top[i].slack >= s.slack {
				return n
			}
			copy(top[i:], top[i+1:n])
			n--
			break
		}
	}
	i := n
	for i > 0 && top[i-1].slack < s.slack {
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

// rank orders the grid's facings by how much slack they can have at best, those that cannot beat floor left out.
func (fd *finder) rank(sh sheet, y yields, floor float64) {
	fd.order = fd.order[:0]
	for k := range 2 {
		s := sh
		if k == 1 {
			if sh.square() {
				break
			}
			s = sh.turned()
		}
		for i := range fd.grid {
			var b float64
			switch y {
			case yieldCover:
				b = fd.grid[i].bound(&s, fd.st.CoverM)
			case yieldWidth:
				b = fd.grid[i].widest(&s, fd.st.CoverM)
			default:
				b = math.Inf(1)
			}
			if b > floor {
				fd.order = append(fd.order, ranked{b, int32(i), k == 1})
			}
		}
	}
	slices.SortFunc(fd.order, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(b.bound, a.bound), cmp.Compare(a.facing, b.facing))
	})
}

// at is the best spot at one yaw and tilt, off the grid.
func (fd *finder) at(ctx context.Context, yaw, tilt float64, sh *sheet, ho *hold, y yields, cutoff, enough float64) (spot, bool) {
	if !turnTo(fd.st, &fd.scrap, fd.rays, yaw, tilt) {
		return spot{}, false
	}
	if y == yieldCover && fd.scrap.bound(sh, fd.st.CoverM) <= cutoff {
		return spot{}, false
	}
	return fd.placer.best(ctx, &fd.scrap, sh, ho, y, cutoff, enough)
}

// refine walks from a spot to better turns, in steps that halve from half the grid's. It keeps to the spot's own case,
// and looks at all cases again where it ends. It gives up where the turns left to make cannot reach bar.
func (fd *finder) refine(ctx context.Context, s spot, ho *hold, y yields, bar, enough float64) spot {
	fd.placer.only = &s.branch
	for step := gridDeg / 2; step >= finestDeg && (step >= coarseDeg || s.slack > -nearMissM); step /= 2 {
		rad := step * math.Pi / 180
		if y == yieldCover && s.slack+2*fd.st.Half.Len()*math.Sin(rad) < bar {
			break
		}
		ways := turns[:]
		if s.slack < -hopeShare*seedDepthM(fd.st) {
			ways = turns[:4] // only to say by how much it misses
		}
		for moved := ctx.Err() == nil; moved; {
			moved = false
			for _, d := range ways {
				got, ok := fd.at(ctx, s.yaw+d[0]*rad, s.tilt+d[1]*rad, &s.sheet, ho, y, s.slack+bestTolerance, enough)
				if ok {
					s, moved = got, true
					break
				}
			}
			if s.slack >= enough {
				fd.placer.only = nil
				return s
			}
		}
	}
	fd.placer.only = nil
	if got, ok := fd.at(ctx, s.yaw, s.tilt, &s.sheet, ho, y, s.slack, enough); ok {
		return got
	}
	return s
}

// rect is the opening of a placed frame, and outer its tubes.
func (s *spot) rect(st *scene.Stage) (opening, outer geom.Rect) {
	var f facing
	turnTo(st, &f, nil, s.yaw, s.tilt)
	opening = geom.Rect{Center: s.center, U: f.u, V: f.v, HalfU: s.sheet.halfU, HalfV: s.sheet.halfV}
	outer = opening
	outer.HalfU, outer.HalfV = s.sheet.outU, s.sheet.outV
	return opening, outer
}
