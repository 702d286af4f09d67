package lighting

import (
	"context"
	"math"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/overhead"
	"kitspan/internal/scene"
)

// Setup is one option as it grows: the overheads, then the pieces that shape the light, each clear of those before it.
type Setup struct {
	Light   *scene.Light
	gear    *gear
	stock   *catalog.Snapshot
	Holding *anchorage.Planner
	Rigs    []*overhead.Rig
	Pieces  []*Piece
	// taken counts what the pieces use of each item.
	taken map[string]int
	// hung are the cloths that the rigs are tried with; nil for their own.
	hung       []*catalog.Item
	zones      []geom.Box // the main one first
	safety     float64
	bearingDeg float64 // of the lens
	lit, solo  *light.Lit
	known      *[]*alone
	scene      light.Scene
	soloPanels []light.Panel
	soloLamps  []light.Lamp
}

// Piece is one placed board, framed cloth or lamp besides the overheads, in the camera's frame.
type Piece struct {
	Role      finding.Role
	Face      string
	Serves    string
	Lights    finding.Lit // of a lamp and of the diffuser before it
	Covers    []string
	Items     []catalog.Count
	Sheet     geom.Rect // what works; a lamp has none
	Outer     geom.Rect
	panel     light.Panel
	Lamp      *light.Lamp
	Masts     []anchorage.Mast
	AreaM2    float64
	OuterM2   float64
	MassKg    float64
	MarginM   float64
	PowerW    float64
	framed    bool                // a cloth on a frame
	sunny     bool                // works by the driver's light
	Aim       *geom.Vec           // where a sheet that throws a beam sends it
	Goal      *geom.Vec           // the same of one that is aimed anew as the sun moves
	Anchorage anchorage.Anchorage // what holds it in the wind, once braced
}

// Mirrors reports whether the piece throws the sun, or what else drives it, as a mirror does more than all around.
func (p *Piece) Mirrors() bool {
	return p.sunny && math.Max(p.panel.A.Specular-p.panel.A.Diffuse, p.panel.B.Specular-p.panel.B.Diffuse) > 0
}

// NewSetup returns a setup with nothing up but some overheads. It uses the planner's working memory: see [Planner.Clone].
func NewSetup(pl *Planner, sc *scene.Light, rigs []*overhead.Rig) *Setup {
	s := &Setup{
		Light: sc, gear: pl.gear, stock: pl.stock, Holding: pl.holding, Rigs: slices.Clone(rigs), taken: map[string]int{}, safety: pl.shot.SafetyFactor, bearingDeg: pl.shot.Camera.BearingDeg,
		lit: pl.lit, solo: pl.solo, known: pl.known, zones: []geom.Box{sc.Stage.Zone()},
	}
	s.zones = append(s.zones, sc.Stage.Others...)
	for _, n := range overhead.CountAll(rigs) {
		s.taken[n.SKU] += n.Quantity
	}
	return s
}

// Remaining returns how many of an item the house has besides what the setup takes.
func (s *Setup) Remaining(sku string) int { return s.stock.Item(sku).Owned - s.taken[sku] }

// add puts pieces into the setup.
func (s *Setup) add(list []*Piece) {
	for _, p := range list {
		s.Pieces = append(s.Pieces, p)
		s.take(p, 1)
	}
}

// drop takes the pieces out again that came after the first n.
func (s *Setup) drop(n int) {
	for _, p := range s.Pieces[n:] {
		s.take(p, -1)
	}
	s.Pieces = s.Pieces[:n]
}

func (s *Setup) take(p *Piece, sign int) {
	for _, c := range p.Counts() {
		s.taken[c.SKU] += sign * c.Quantity
	}
}

// Counts returns a piece's items with its supports and what holds them.
func (p *Piece) Counts() []catalog.Count {
	out := slices.Clone(p.Items)
	for i := range p.Masts {
		out = append(out, catalog.Count{SKU: p.Masts[i].Support.Item.SKU, Quantity: 1})
	}
	return append(out, p.Anchorage.Counts()...)
}

// Counts returns the items of everything that is up.
func (s *Setup) Counts() []catalog.Count {
	out := overhead.CountAll(s.Rigs)
	for _, p := range s.Pieces {
		out = append(out, p.Counts()...)
	}
	return out
}

// light fills the scene with everything that is up and works out what it gives.
func (s *Setup) light() {
	s.open(s.Light.Hard)
	s.lit.Set(&s.scene)
}

// open fills the scene under some hard sources without working it out.
func (s *Setup) open(hard []light.Hard) {
	s.scene.SkyLx, s.scene.GroundReflectance, s.scene.Hard = s.Light.SkyLx, s.Light.GroundReflectance, hard
	s.scene.Panels, s.scene.Lamps = s.scene.Panels[:0], s.scene.Lamps[:0]
	for i, ch := range s.Rigs {
		cloth := ch.Candidate.Fabric
		if s.hung != nil && s.hung[i] != nil {
			cloth = s.hung[i]
		}
		s.scene.Panels = append(s.scene.Panels, ch.PanelOf(cloth))
	}
	for _, p := range s.Pieces {
		if p.Lamp != nil {
			s.scene.Lamps = append(s.scene.Lamps, *p.Lamp)
			continue
		}
		s.scene.Panels = append(s.scene.Panels, p.panel)
	}
}

// level returns the light on a face of the setup as it stands; light must have been called since it changed.
func (s *Setup) level(p, n geom.Vec) float64 {
	l := s.lit.Face(overGround(p), n)
	return l.Total()
}

// keyLevels returns the key face's levels at the middle and the corners of all zones, as the setup stands.
func (s *Setup) keyLevels() []float64 {
	s.light()
	var out []float64
	for i := range s.zones {
		zone := &s.zones[i]
		out = append(out, s.level(zone.Mid, s.Light.Key))
		for _, p := range zone.Corners() {
			out = append(out, s.level(p, s.Light.Key))
		}
	}
	return out
}

// keeps reports whether none of the key's levels has fallen by more than a sixth of a stop since.
func (s *Setup) keeps(before []float64) bool {
	for i, now := range s.keyLevels() {
		if now < keptShare*before[i] {
			return false
		}
	}
	return true
}

// keptShare is what a piece that comes later leaves of the key anywhere: a sixth of a stop less (common practice, no
// source).
const keptShare = 0.89089872

// overGround lifts a point that lies on the ground a little off it: on it, a face sees none of the shadows around.
func overGround(p geom.Vec) geom.Vec {
	p.Z = math.Max(p.Z, overGroundM)
	return p
}

const overGroundM = 1e-3

// FaceLevels returns the key, fill and back levels, in lux, at a place in the camera's frame.
func (s *Setup) FaceLevels(at geom.Vec) (key, fill, back float64) {
	s.light()
	return s.level(at, s.Light.Key), s.level(at, s.Light.Fill), s.level(at, s.Light.Back)
}

// spread returns by how many stops the key face's level differs over a zone: a lattice of spreadAcross points across the
// picture, so that none of several beams side by side is missed, and three in depth and in height.
func (s *Setup) spread(ctx context.Context, mid, half geom.Vec) float64 {
	least, most := math.Inf(1), 0.0
	for i := range spreadAcross {
		if ctx.Err() != nil {
			break
		}
		for k := range 9 {
			p := mid.Add(geom.Vec{
				X: half.X * (2*float64(i)/(spreadAcross-1) - 1), Y: half.Y * float64(k%3-1), Z: half.Z * float64(k/3-1),
			})
			l := s.level(p, s.Light.Key)
			least, most = math.Min(least, l), math.Max(most, l)
		}
	}
	return light.Stops(math.Max(most, scene.DarkestLx), math.Max(least, scene.DarkestLx))
}

const spreadAcross = 9

// clearOf reports whether a piece stands clear of all that is up, except one piece (nil for none).
func (s *Setup) clearOf(p, but *Piece) bool {
	for _, ch := range s.Rigs {
		if p.meets(ch.Placed.Outer, ch.Masts(), false) || p.inRopes(&ch.Anchorage) || p.inHandsWay(ch) {
			return false
		}
	}
	for _, o := range s.Pieces {
		if o != but && (p.meets(o.Outer, o.Masts, o.Lamp != nil) || p.inRopes(&o.Anchorage)) {
			return false
		}
	}
	return true
}

// inHandsWay reports whether a piece stands where people hold a frame, or its sheet hangs there.
func (p *Piece) inHandsWay(ch *overhead.Rig) bool {
	for i := range p.Masts {
		if ch.CrowdedBy(&p.Masts[i]) {
			return true
		}
	}
	for i := range ch.Hands {
		if person := ch.Hands[i].Person(); p.Lamp == nil && p.Outer.CutBy(person[0], person[1]) {
			return true
		}
	}
	return false
}

// inRopes reports whether a rope that runs already is in a piece's way, or in the heat of a lamp.
func (p *Piece) inRopes(f *anchorage.Anchorage) bool {
	if p.Lamp != nil {
		return f.HeatedBy(p.Lamp.At) || f.Obstructs(nil, p.Masts)
	}
	return f.Obstructs(&p.Outer, p.Masts)
}

// meets reports whether a piece is in the way of another: sheet through sheet, a mast or an arm through a sheet, or feet
// in the middle of other feet.
func (p *Piece) meets(outer geom.Rect, masts []anchorage.Mast, lamp bool) bool {
	if p.Lamp == nil && !lamp && p.Outer.Meets(outer) {
		return true
	}
	for i := range masts {
		m := &masts[i]
		if p.Lamp == nil && (p.Outer.CutBy(m.Base, m.Top()) || p.Outer.CutBy(m.Top(), m.Held)) {
			return true
		}
		for k := range p.Masts {
			if m.Crowds(&p.Masts[k]) {
				return true
			}
		}
	}
	if lamp {
		return false
	}
	for i := range p.Masts {
		m := &p.Masts[i]
		if outer.CutBy(m.Base, m.Top()) || outer.CutBy(m.Top(), m.Held) {
			return true
		}
	}
	return false
}

// TopM returns the height, in metres, of a piece's highest part; a lamp's that of its head.
func (p *Piece) TopM() float64 {
	if p.Lamp != nil {
		return p.Lamp.At.Z
	}
	return anchorage.TopM(&p.Outer)
}
