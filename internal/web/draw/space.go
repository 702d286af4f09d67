package draw

import "math"

// space is what of the paper is taken: boxes that nothing else may overlap, and ink that labels rather keep off.
type space struct {
	boxes      []box
	ink        []uint16
	cols, rows int
}

// cell is the side of the squares in which ink is counted.
const cell = 6.0

func newSpace(width, height float64) space {
	cols, rows := int(math.Ceil(width/cell)), int(math.Ceil(height/cell))
	return space{ink: make([]uint16, cols*rows), cols: cols, rows: rows}
}

func (s *space) take(b box) { s.boxes = append(s.boxes, b) }

// line counts the cells that a line runs through.
func (s *space) line(a, b pt) {
	n := int(math.Ceil(b.sub(a).len()/cell)) + 1
	last := -1
	for i := 0; i <= n; i++ {
		p := a.add(b.sub(a).scale(float64(i) / float64(n)))
		x, y := int(math.Floor(p.x/cell)), int(math.Floor(p.y/cell))
		if x < 0 || y < 0 || x >= s.cols || y >= s.rows || y*s.cols+x == last {
			continue
		}
		last = y*s.cols + x
		if s.ink[last] < math.MaxUint16 {
			s.ink[last]++
		}
	}
}

// fill counts all cells of a box.
func (s *space) fill(b box) {
	for y := b.y; y < b.y+b.h; y += cell {
		s.line(pt{b.x, y}, pt{b.x + b.w, y})
	}
}

// under is how much ink lies under a box.
func (s *space) under(b box) (sum int) {
	x0, x1 := max(0, int(b.x/cell)), min(s.cols-1, int((b.x+b.w)/cell))
	y0, y1 := max(0, int(b.y/cell)), min(s.rows-1, int((b.y+b.h)/cell))
	for y := y0; y <= y1; y++ {
		for _, v := range s.ink[y*s.cols+x0 : y*s.cols+x1+1] {
			sum += int(v)
		}
	}
	return sum
}

func (s *space) free(b box) bool {
	for _, o := range s.boxes {
		if b.overlaps(o) {
			return false
		}
	}
	return true
}

// crosses reports whether a line passes through a box that is taken.
func (s *space) crosses(a, b pt) bool {
	for _, o := range s.boxes {
		if _, _, hit := clipLine(a, b, o); hit {
			return true
		}
	}
	return false
}

// Distances from a thing to its label that are tried, nearest first.
var rings = [...]float64{4, 12, 22, 34, 50, 70, 95, 125, 160, 200, 250, 310}

const (
	labelDirections = 16
	// labelGap is kept between labels.
	labelGap = 3.0
	// A cell of ink under a label counts as so many units of distance.
	inkWeight = 40.0
	// A leader that runs through another label counts as so many.
	crossWeight = 400.0
	// noLeader is the distance up to which a label needs no line to its thing.
	noLeader = 15.0
)

// wish is a label that looks for its place.
type wish struct {
	at    pt      // the thing
	w, h  float64 // the label's size
	on    bool    // it may lie on the thing itself
	reach float64 // how far from it at most; 0 is anywhere
	worst float64 // the most that it may cost; 0 is anything
	in    box     // inside which it must lie
	first pt      // the direction to try first; zero for none
}

// find is the best free place for a label: near, on little ink, its leader through no other label.
func (s *space) find(w wish) (b box, from pt, ok bool) {
	best := math.Inf(1)
	if w.worst > 0 {
		best = w.worst
	}
	try := func(q box, d, bias float64) {
		if d+bias >= best || !q.within(w.in) || !s.free(q.grow(labelGap)) {
			return
		}
		cost := d + bias + inkWeight*float64(s.under(q))
		if cost >= best {
			return
		}
		start := q.nearest(w.at)
		if d > noLeader && s.crosses(start, w.at) {
			cost += crossWeight
		}
		if cost < best {
			best, b, from, ok = cost, q, start, true
		}
	}
	if w.on {
		try(box{w.at.x - w.w/2, w.at.y - w.h/2, w.w, w.h}, 0, 0)
	}
	turn := 0.0
	if w.first != (pt{}) {
		turn = math.Atan2(w.first.y, w.first.x)
	}
	for _, d := range rings {
		if d >= best || w.reach > 0 && d > w.reach {
			break
		}
		for i := range labelDirections {
			sin, cos := math.Sincos(turn + 2*math.Pi*float64(i)/labelDirections)
			// The box lies wholly on that side: its nearest point is about d away.
			c := w.at.add(pt{cos*(d+w.w/2*math.Abs(cos)) + sign(cos)*w.w/2*(1-math.Abs(cos))*lean(cos), sin * (d + w.h/2)})
			bias := 0.0
			if w.first != (pt{}) {
				bias = 6 * (1 - math.Cos(2*math.Pi*float64(i)/labelDirections))
			}
			try(box{c.x - w.w/2, c.y - w.h/2, w.w, w.h}, d, bias)
		}
	}
	return b, from, ok
}

// lean lets labels on a slant start beside their thing rather than over it.
func lean(cos float64) float64 {
	if math.Abs(cos) < 0.2 {
		return 0
	}
	return 1
}

func sign(v float64) float64 { return math.Copysign(1, v) }
