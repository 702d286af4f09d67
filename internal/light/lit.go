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
	hard        []Hard
	panels      []panel
	sunk        bool // some panels reach below the ground
	lamps       []lamp
	lit         []float64 // by panel, then hard source: the share of its area reached straight
	beams       []beam
	eye, feed   sight
	prisms      []prism
	buf         []geom.Vec
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
	got      [2]float64 // on each side from hard sources and lamps, and for a fed panel from reflectors
	exitance [2]float64
}

func (p *panel) void() bool { return p.area == 0 }

// facing is the outward normal of side 0 (A) or 1 (B).
func (p *panel) facing(side int) geom.Vec {
	if side == 0 {
		return p.normal
	}
	return p.normal.Scale(-1)
}

// beam is what a specular side throws of one hard source.
type beam struct {
	panel  int
	normal geom.Vec // of the side
	dir    geom.Vec // from a lit point toward where the light seems to come from
	e1, e2 geom.Vec // with dir a right-handed frame
	corner [4][2]float64
	cos    float64 // between normal and the source
	tan    float64 // of the lobe's and the source's radius together
	half   float64 // angular radius of the source in degrees
	lux    float64 // where it comes whole, facing it
}

// grazing is the cosine to a panel's normal below which a source throws no beam: less than a millionth of its light
// falls on the panel.
const grazing = 1e-6

// Light works out a scene.
func Light(s *Scene) *Lit {
	l := new(Lit)
	l.Set(s)
	return l
}

// Set works out another scene, in the memory of the last one. Nothing of s is kept.
func (l *Lit) Set(s *Scene) {
	l.eye.have, l.feed.have = false, false
	l.sky, l.ground = s.SkyLx, s.GroundReflectance
	l.hard = append(l.hard[:0], s.Hard...)
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
	l.lit = l.lit[:0]
	l.beams = l.beams[:0]
	for k := range l.panels {
		p := &l.panels[k]
		for h := range l.hard {
			share := l.shadeless(k, h)
			l.lit = append(l.lit, share)
			l.shine(k, h, share)
		}
		for i := range l.lamps {
			p.lamp(&l.lamps[i])
		}
		p.give(l.sky)
	}
	for k := range l.panels {
		if l.panels[k].fed && !l.panels[k].void() {
			l.feedPanel(k)
		}
	}
}

// onGroundM is how near the ground a corner counts as standing on it: what rounding makes of nothing would else cut a
// panel that stands on it.
const onGroundM = 1e-9

func (p *panel) set(s *Panel) {
	*p = panel{corner: s.Corners}
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

// toward is the direction of a hard source from p and its lux there, facing it.
func (h *Hard) toward(p geom.Vec) (dir geom.Vec, lx float64) {
	if h.At == nil {
		return h.Dir, h.NormalLx
	}
	d := h.At.Sub(p)
	d2 := d.Dot(d)
	if !(d2 > 0) {
		return geom.Vec{}, 0
	}
	return d.Scale(1 / math.Sqrt(d2)), h.IntensityCd / d2
}

// shine puts the light of a hard source on panel k and keeps the beam that comes of it.
func (l *Lit) shine(k, h int, share float64) {
	p := &l.panels[k]
	if p.void() || share <= 0 {
		return
	}
	s, lx := l.hard[h].toward(p.center)
	cos := p.normal.Dot(s)
	side := 0
	if cos < 0 {
		side, cos = 1, -cos
	}
	p.got[side] += lx * cos * share
	surface := p.side[side]
	if surface.Specular <= 0 || cos < grazing {
		return
	}
	n := p.facing(side)
	half := math.Max(0, l.hard[h].RadiusDeg)
	spread := math.Min(math.Max(0, surface.LobeDeg)+half, 89) * math.Pi / 180
	b := beam{panel: k, normal: n, dir: s.Sub(n.Scale(2 * cos)), cos: cos, tan: math.Tan(spread), half: half,
		lux: surface.Specular * lx * share}
	b.e1, b.e2 = frame(b.dir)
	for i, c := range p.corner {
		b.corner[i] = [2]float64{b.e1.Dot(c), b.e2.Dot(c)}
	}
	l.beams = append(l.beams, b)
}

// frame is two unit vectors square to the unit vector d and to each other.
func frame(d geom.Vec) (e1, e2 geom.Vec) {
	if math.Abs(d.Z) < 0.9 {
		e1 = geom.Vec{X: -d.Y, Y: d.X}.Unit()
	} else {
		e1 = geom.Vec{Y: -d.Z, Z: d.Y}.Unit()
	}
	return e1, d.Cross(e1)
}

// at is the place on the panel at u, v of its sides from the first corner.
func (p *panel) at(u, v float64) geom.Vec {
	c := &p.corner
	return c[0].Add(c[1].Sub(c[0]).Scale(u)).Add(c[3].Sub(c[0]).Scale(v))
}

// lamp adds the mean of a placed lamp's light over the panel, which falls on one side of it.
func (p *panel) lamp(l *lamp) {
	if p.void() {
		return
	}
	side := 0
	if p.normal.Dot(l.at) < p.offset {
		side = 1
	}
	n := p.facing(side)
	for _, u := range gauss4 {
		for _, v := range gauss4 {
			dir, lx := l.lux(p.at(u[0], v[0]))
			p.got[side] += u[1] * v[1] * lx * math.Max(0, n.Dot(dir))
		}
	}
}

// give is the exitance of both sides by the light on them. The specular share of the sky's light counts as spread.
func (p *panel) give(skyLx float64) {
	sky := [2]float64{skyLx * (1 + p.normal.Z) / 2, skyLx * (1 - p.normal.Z) / 2}
	for i := range p.side {
		o := 1 - i
		p.exitance[i] = p.side[i].Diffuse*p.got[i] + (p.side[i].Diffuse+p.side[i].Specular)*sky[i] +
			p.spread*(p.got[o]+sky[o])
	}
}

// feedPanel adds to a fed panel the mean over it of what the other panels that reflect give it.
func (l *Lit) feedPanel(k int) {
	p := &l.panels[k]
	for _, u := range gauss3 {
		for _, v := range gauss3 {
			l.feed.look(l, p.at(u[0], v[0]), true)
			w := u[1] * v[1]
			for i := range p.side {
				got := l.feed.face(p.facing(i))
				p.got[i] += w * (got.Glow + got.Beam)
			}
		}
	}
	p.give(l.sky)
}

// Face is the light on a small face at p with the unit normal n.
func (l *Lit) Face(p, n geom.Vec) Level {
	l.eye.look(l, p, false)
	return l.eye.face(n)
}

// LitShare is the mean over a panel's area of what reaches it straight of a hard source: 1 where nothing stands
// between, whichever side the source is on. A panel without an area has 0.
func (l *Lit) LitShare(panel, hard int) float64 { return l.lit[panel*len(l.hard)+hard] }

// Exitance is what the sides of a panel give back and let through spread, in lux: lumens from each square metre.
func (l *Lit) Exitance(panel int) (a, b float64) {
	e := l.panels[panel].exitance
	return e[0], e[1]
}
