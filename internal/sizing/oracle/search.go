package oracle

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
)

// Fineness is how finely the search turns a frame.
type Fineness struct {
	// StepDeg is between two yaws and two tilts of the lattice.
	StepDeg float64
	// Sides is how many planes round the lens axis are tried to part a frame from the view.
	Sides int
	// Refined is how many of the best places of the lattice are followed to their local best.
	Refined int
}

// The search as run with every test run, and the finer one.
var (
	Coarse = Fineness{StepDeg: 6, Sides: 16, Refined: 5}
	Fine   = Fineness{StepDeg: 2, Sides: 32, Refined: 16}
)

// Search looks for placements in one scene. A frame's turn is taken from a lattice of yaw and tilt; for each turn the
// middle and the greatest slack that all conditions can be given at once come from linear programs, exactly: out of
// shot means that some plane through the lens parts frame and view, head room that some plane parts the frame from the
// room over people's heads, and each choice of the two planes makes one program. The best turns of the lattice are then
// followed to their local best.
type Search struct {
	scene *Scene
	stock *catalog.Snapshot
	fine  Fineness
	turns map[string][]orient // by the sources that the frame must stop
	aims  map[string]*aim
}

// NewSearch prepares a search; the turns are shared by all frames looked at.
func NewSearch(s *Scene, stock *catalog.Snapshot, fine Fineness) *Search {
	return &Search{scene: s, stock: stock, fine: fine, turns: map[string][]orient{}, aims: map[string]*aim{}}
}

// size is a frame's half sizes as turned: along the level side and along the slope.
type size struct {
	half1, half2, outer1, outer2 float64
	swapped                      bool
}

func sizes(f *catalog.Frame) []size {
	a := size{f.OpeningWidthM / 2, f.OpeningHeightM / 2, f.OuterWidthM / 2, f.OuterHeightM / 2, false}
	if f.OpeningWidthM == f.OpeningHeightM && f.OuterWidthM == f.OuterHeightM {
		return []size{a}
	}
	return []size{a, {a.half2, a.half1, a.outer2, a.outer1, true}}
}

// spot is a placement with the slack that every condition has, metres.
type spot struct {
	slack  float64
	at     vec
	o      orient
	size   size
	theta  float64 // the parting plane's direction round the lens axis
	behind bool    // parted by the plane of the lens instead
}

func (sp spot) plate() plate {
	return plate{
		centre: sp.at, e1: sp.o.e1, e2: sp.o.e2, normal: sp.o.n,
		half1: sp.size.half1, half2: sp.size.half2, outer1: sp.size.outer1, outer2: sp.size.outer2,
	}
}

// limits are the conditions that do not depend on the turn.
type limits struct {
	coverM float64
	// heldTo is the greatest height of a point that a stand can hold; the lowest side's middles or, where a frame is held at
	// the corners alone, its highest corners must not be over it.
	heldTo  float64
	corners bool
}

// raySources are the sources of the scene with these labels.
func (h *Search) raySources(covers []string) []Source {
	var list []Source
	for _, label := range covers {
		if src := h.scene.source(label); src != nil {
			list = append(list, *src)
		}
	}
	return list
}

func (h *Search) orients(covers []string) (*aim, []orient) {
	key := ""
	for _, c := range covers {
		key += c + "\x00"
	}
	if a, ok := h.aims[key]; ok {
		return a, h.turns[key]
	}
	a := newAim(h.scene, h.raySources(covers))
	var list []orient
	if len(a.dirs) > 0 {
		step := h.fine.StepDeg
		for tilt := 0.0; tilt <= 90+1e-9; tilt += step {
			for yaw := 0.0; yaw < 360-1e-9; yaw += step {
				if tilt == 0 && yaw >= 180 || tilt > 90-1e-9 && yaw >= 180 {
					break
				}
				if o, ok := a.newOrient(h.scene.Shot.Camera.BearingDeg+yaw, tilt); ok {
					list = append(list, o)
				}
			}
		}
	}
	h.aims[key], h.turns[key] = &a, list
	return &a, list
}

var slackOnly = [unknowns]float64{0, 0, 0, 1}

// atLeast is the row m·c - reach - s >= h, where reach is how far the frame extends against m.
func atLeast(m vec, h float64) row { return row{[unknowns]float64{-m.x, -m.y, -m.z, 1}, -h} }

// parted is the row that keeps a frame's outer edge beyond h in the direction m.
func (z size) parted(o *orient, m vec, h float64) row {
	return atLeast(m, h+z.outer1*math.Abs(o.e1.dot(m))+z.outer2*math.Abs(o.e2.dot(m)))
}

// base is the program of a turn without the view and head room.
func (h *Search) base(o *orient, z size, l limits) program {
	var p program
	for i, e := range o.edges {
		half := z.half1
		if i >= 2 {
			half = z.half2
		}
		for _, b := range e.bounds {
			c := o.n.times(b.kappa).minus(e.e)
			p.add(row{[unknowns]float64{c.x, c.y, c.z, 1}, half - l.coverM + b.b})
		}
	}
	p.add(atLeast(o.n, o.low))
	if !math.IsInf(o.high, 1) {
		p.add(atLeast(o.n.times(-1), -o.high))
	}
	p.add(z.parted(o, up, lowestEdgeM))
	top := l.heldTo
	if l.corners {
		top -= z.outer2 * math.Abs(o.e2.z)
	}
	p.add(atLeast(up.times(-1), -top))
	mid := h.scene.Zone.middle
	for _, d := range []vec{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}} {
		p.add(row{[unknowns]float64{d.x, d.y, d.z, 0}, reachM + d.dot(mid)})
	}
	return p
}

// viewRow keeps a frame beyond the view on the side theta by the clearance asked.
func (h *Search) viewRow(o *orient, z size, theta float64) row {
	v := &h.scene.View
	sin, cos := math.Sincos(theta)
	g := v.right.times(cos).plus(v.up.times(sin)).minus(v.axis.times(v.tanW*math.Abs(cos) + v.tanH*math.Abs(sin)))
	return z.parted(o, g, g.dot(v.lens)+h.scene.Shot.Allowance.ViewM)
}

// behindRow keeps a frame behind the plane of the lens.
func (h *Search) behindRow(o *orient, z size) row {
	v := &h.scene.View
	back := v.axis.times(-1)
	return z.parted(o, back, back.dot(v.lens))
}

// headRows are the planes that may part a flat frame from the room over people's heads, a box open downward: box
// sides, the frame's own plane, and those along one edge of each. One of them does wherever any plane does.
func (h *Search) headRows(o *orient, z size) []row {
	zone := h.scene.Zone
	rows := make([]row, 0, 16)
	add := func(m vec) {
		l := m.length()
		if l < 1e-6 {
			return
		}
		m = m.times(1 / l)
		for _, d := range []vec{m, m.times(-1)} {
			if d.z < -1e-9 {
				continue
			}
			reach := (zone.halfW+headGrowM)*math.Abs(d.dot(zone.right)) + (zone.halfD+headGrowM)*math.Abs(d.dot(zone.ahead)) +
				h.scene.Shot.Allowance.HeadM*math.Max(0, d.z)
			rows = append(rows, z.parted(o, d, reach))
		}
	}
	for _, d := range []vec{up, zone.right, zone.ahead, o.n} {
		add(d)
	}
	for _, d := range []vec{zone.right, zone.ahead, up} {
		add(d.cross(o.e1))
		add(d.cross(o.e2))
	}
	return rows
}

type option struct {
	r     row
	x     [unknowns]float64
	theta float64
	lens  bool
}

// narrow lists the rows under which more slack than floor is left, most first.
//
//go:norace
func narrow(p *program, base [unknowns]float64, options []option, floor float64) []option {
	kept := options[:0]
	for _, o := range options {
		o.x = base
		if r := &o.r; dot4(r, &base) > r.b+lpEps {
			x, ok := p.maximiseOn(o.r, slackOnly)
			if !ok {
				continue
			}
			o.x = x
		}
		if o.x[3] > floor {
			kept = append(kept, o)
		}
	}
	slices.SortStableFunc(kept, func(a, b option) int {
		switch {
		case a.x[3] > b.x[3]:
			return -1
		case a.x[3] < b.x[3]:
			return 1
		}
		return 0
	})
	return kept
}

//go:norace
func dot4(r *row, x *[unknowns]float64) float64 {
	return r.a[0]*x[0] + r.a[1]*x[1] + r.a[2]*x[2] + r.a[3]*x[3]
}

// best is the placement of a turn with the greatest slack; ok is false where none has more than floor.
// Beside the usual parting planes those at the angles of extra are tried.
func (h *Search) best(o *orient, z size, l limits, floor float64, extra ...float64) (spot, bool) {
	if math.Min(z.half1+o.most1, z.half2+o.most2)-l.coverM <= floor {
		return spot{}, false
	}
	p := h.base(o, z, l)
	base, ok := p.maximise(slackOnly)
	if !ok || base[3] <= floor {
		return spot{}, false
	}
	heads := make([]option, 0, 16)
	for _, r := range h.headRows(o, z) {
		heads = append(heads, option{r: r})
	}
	if heads = narrow(&p, base, heads, floor); len(heads) == 0 {
		return spot{}, false
	}
	views := make([]option, 0, h.fine.Sides+1+len(extra))
	for k := range h.fine.Sides {
		extra = append(extra, 2*math.Pi*float64(k)/float64(h.fine.Sides))
	}
	for _, theta := range extra {
		views = append(views, option{r: h.viewRow(o, z, theta), theta: theta})
	}
	views = append(views, option{r: h.behindRow(o, z), lens: true})
	views = narrow(&p, base, views, floor)
	found := spot{slack: floor, o: *o, size: z}
	for _, v := range views {
		if v.x[3] <= found.slack {
			break
		}
		q := p
		q.add(v.r)
		for _, d := range heads {
			if d.x[3] <= found.slack {
				break
			}
			x, ok := v.x, true
			if dot4(&d.r, &x) > d.r.b+lpEps {
				x, ok = q.maximiseOn(d.r, slackOnly)
			}
			if ok && x[3] > found.slack {
				if at := (vec{x[0], x[1], x[2]}); at.far(h.scene.Zone.middle) <= reachM {
					found.slack, found.at, found.theta, found.behind = x[3], at, v.theta, v.lens
				}
			}
		}
	}
	return found, found.slack > floor
}
