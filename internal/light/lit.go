package light

import (
	"math"

	"kitspan/internal/geom"
)

// Lit is a scene with the light on its panels worked out: how much each side gives, what beams it throws. It keeps its
// memory from scene to scene; what depends on a point alone is kept as long as one asks for faces there. A Lit serves
// one goroutine at a time. Coordinates are metres of a set: within 1e6 of the origin no result is NaN or infinite.
type Lit struct {
	sky, ground float64
	hard        []source
	panels      []panel
	sunk        bool // some panels reach below the ground
	lamps       []lamp
	lit         []float64 // by panel, then hard source: the share of its area reached straight
	beams       []beam
	shades      []prism // of panels that shade part of one that throws a beam
	cells       []cell  // of panels that are lit unevenly
	casts       []cast  // of distant sources on panels that are partly in the shade
	eye, feed   sight
	prisms      []prism
	buf         []geom.Vec
	lux         [][2]float64
	plain       map[plainKey]float64 // light of the bare ground under near sources
}

// panel is a [Panel] with what every point asks of it.
type panel struct {
	corner   [4]geom.Vec
	low      [5]geom.Vec // what of it stands above the ground
	lows     int
	sunk     bool     // some of it does not
	normal   geom.Vec // of side A, unit; zero: the panel has no area and does nothing
	offset   float64  // normal · a corner
	center   geom.Vec
	radius   float64
	area     float64
	pass     float64 // straight through
	spread   float64 // through and spread
	side     [2]Surface
	fed      bool
	reflects bool
	even     [2]float64 // on each side from hard sources and lamps, but for the casts
	casts    [2]int     // the first of its casts, and the end of them
	got      [2]float64 // on each side from hard sources and lamps, and for a fed panel from reflectors; the mean over it
	exitance [2]float64 // the mean over it
	base     [2]float64 // without the casts
	cells    int        // the first of its cells where it is lit unevenly, else −1
	across   int        // how many of them are side by side
}

func (p *panel) void() bool { return p.area == 0 }

// facing is the outward normal of side 0 (A) or 1 (B).
func (p *panel) facing(side int) geom.Vec {
	if side == 0 {
		return p.normal
	}
	return p.normal.Scale(-1)
}

// Light works out a scene.
func Light(s *Scene) *Lit {
	l := new(Lit)
	l.Set(s)
	return l
}

// Set works out another scene, in the memory of the last one. Nothing of s is kept.
func (l *Lit) Set(s *Scene) {
	l.eye.have, l.feed.have = false, false
	l.sky = s.SkyLx
	setHard(l, s)
	l.lamps = l.lamps[:0]
	for i := range s.Lamps {
		p := &s.Lamps[i]
		l.lamps = append(l.lamps, lamp{p.At, p.Aim.Sub(p.At).Unit(), p.IntensityCd, lampExponent(p.BeamDeg)})
	}
	l.panels = grown(l.panels, len(s.Panels))
	l.sunk = false
	for i := range s.Panels {
		l.panels[i].set(&s.Panels[i])
		l.sunk = l.sunk || l.panels[i].sunk
	}
	l.lit, l.beams, l.shades = l.lit[:0], l.beams[:0], l.shades[:0]
	l.cells, l.casts = l.cells[:0], l.casts[:0]
	for k := range l.panels {
		l.shine(k)
		l.panels[k].give(l)
		if !l.panels[k].fed {
			l.settle(&l.panels[k])
		}
	}
	for k := range l.panels {
		if l.panels[k].fed && !l.panels[k].void() {
			l.feedPanel(k)
			l.panels[k].give(l)
			l.settle(&l.panels[k])
		}
	}
}

// onGroundM is how near the ground a corner counts as standing on it: what rounding makes of nothing would else cut a
// panel that stands on it.
const onGroundM = 1e-9

func (p *panel) set(s *Panel) {
	*p = panel{corner: s.Corners, cells: -1}
	c := &p.corner
	for i := range c {
		if math.Abs(c[i].Z) < onGroundM {
			c[i].Z = 0
		}
	}
	n := c[1].Sub(c[0]).Cross(c[3].Sub(c[0]))
	p.normal = n.Unit()
	p.area = math.Abs(geom.AreaVec(c[:]).Dot(p.normal))
	if !(p.area > 0) {
		p.area = 0
		return
	}
	p.center = c[0].Add(c[1]).Add(c[2]).Add(c[3]).Scale(0.25)
	p.offset = p.normal.Dot(p.center)
	for _, v := range c {
		d := v.Sub(p.center)
		p.radius = max(p.radius, d.Dot(d))
		p.sunk = p.sunk || v.Z < 0
	}
	p.radius = math.Sqrt(p.radius)
	p.lows = copy(p.low[:], c[:])
	if p.sunk {
		p.lows = min(len(p.low), len(geom.Clip(p.low[:0], c[:], geom.Vec{Z: 1}, 0)))
	}
	p.pass = s.Transmittance * s.BeamShare
	p.spread = s.Transmittance - p.pass
	p.side = [2]Surface{s.A, s.B}
	p.fed = s.Fed
	p.reflects = s.A.Diffuse+s.A.Specular+s.B.Diffuse+s.B.Specular > 0
}

// at is the place on the panel at u, v of its sides from the first corner.
func (p *panel) at(u, v float64) geom.Vec {
	c := &p.corner
	return c[0].Add(c[1].Sub(c[0]).Scale(u)).Add(c[3].Sub(c[0]).Scale(v))
}

// give is the exitance of both sides by the light on them. The specular share of the sky's light counts as spread.
func (p *panel) give(l *Lit) {
	sky := [2]float64{l.sky * (1 + p.normal.Z) / 2, l.sky * (1 - p.normal.Z) / 2}
	leave := func(got [2]float64) (out [2]float64) {
		for i := range p.side {
			o := 1 - i
			out[i] = p.side[i].Diffuse*got[i] + (p.side[i].Diffuse+p.side[i].Specular)*sky[i] + p.spread*(got[o]+sky[o])
		}
		return out
	}
	p.exitance, p.base = leave(p.got), leave(p.even)
	cells := l.cellsOf(p)
	for i := range cells {
		cells[i].exitance = leave(cells[i].got)
	}
}

// Face returns the light on a small face at p with the unit normal n.
func (l *Lit) Face(p, n geom.Vec) Level {
	l.eye.look(l, p, false)
	return l.eye.face(l, n)
}

// LitShare returns the mean over a panel's area of what reaches it straight of a hard source: 1 where nothing stands
// between, whichever side the source is on. A panel without an area has 0.
func (l *Lit) LitShare(panel, hard int) float64 { return l.lit[panel*len(l.hard)+hard] }

// Exitance returns what the sides of a panel give back and let through spread, in lux: lumens from each square metre.
func (l *Lit) Exitance(panel int) (a, b float64) {
	e := l.panels[panel].exitance
	return e[0], e[1]
}

// SourceDeg returns how large what gives light to p of a panel looks from there: the whole of a panel that glows, of a
// specular one the lit spot, whichever is more light; the full angle in degrees of a circular cone. The spot never
// looks smaller than the source that it mirrors. It is 0 for a panel that gives p no light.
func (l *Lit) SourceDeg(p geom.Vec, panel int) float64 {
	g := &l.eye
	g.look(l, p, false)
	// The contour vector's length is the view factor for the face that has most of it.
	var glow geom.Vec
	for i := range g.forms {
		if f := &g.forms[i]; f.panel == panel && f.lux[ofGlow] > 0 {
			glow = glow.Add(g.all(f).Scale(f.lux[ofGlow]))
		}
	}
	best, size := glow.Len(), 0.0
	if best > 0 {
		size = ApparentDeg(p, l.panels[panel].corner)
	}
	for i := range g.spots {
		s := &g.spots[i]
		lx := s.light.Len()
		if l.beams[s.beam].panel != panel || !(lx > best) {
			continue
		}
		spot := math.Atan(math.Sqrt(s.size/math.Pi)) * 360 / math.Pi
		best, size = lx, math.Max(spot, 2*l.beams[s.beam].half)
	}
	return size
}
