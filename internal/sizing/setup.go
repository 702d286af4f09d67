package sizing

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

// setup is one option as it grows: the overheads, then the pieces that shape the light, each clear of those before it.
type setup struct {
	sc      *scene.Light
	gear    *gear
	stock   *catalog.Snapshot
	ties    *anchorage.Planner
	choices []*overhead.Rig
	pieces  []*piece
	// taken counts what the pieces use of each item.
	taken      map[string]int
	zones      []geom.Box // the main one first
	safety     float64
	lit, solo  *light.Lit
	scene      light.Scene
	soloPanels []light.Panel
	soloLamps  []light.Lamp
}

// piece is one placed thing beside the overheads, in the camera's frame.
type piece struct {
	role      finding.Role
	face      string
	serves    string
	covers    []string
	items     []catalog.Count
	sheet     geom.Rect // what works; a lamp has none
	outer     geom.Rect
	panel     light.Panel
	lamp      *light.Lamp
	masts     []anchorage.Mast
	areaM2    float64
	outerM2   float64
	massKg    float64
	marginM   float64
	powerW    float64
	framed    bool                // a cloth on a frame, held at both ends
	sunny     bool                // works by the driver's light
	goal      *geom.Vec           // of a sheet that is aimed anew as the sun moves
	anchorage anchorage.Anchorage // what holds it in the wind, once braced
}

func (pl *lightPlanner) newSetup(sc *scene.Light, choices []*overhead.Rig) *setup {
	s := &setup{
		sc: sc, gear: pl.gear, stock: pl.stock, ties: pl.ties, choices: choices, taken: map[string]int{}, safety: pl.shot.SafetyFactor,
		lit: pl.lit, solo: pl.solo, zones: []geom.Box{sc.St.Zone()},
	}
	s.zones = append(s.zones, sc.St.Others...)
	for _, n := range overhead.CountAll(choices) {
		s.taken[n.SKU] += n.Quantity
	}
	return s
}

// left is how many of an item the house has beside what the setup takes.
func (s *setup) left(sku string) int { return s.stock.Item(sku).Owned - s.taken[sku] }

// add puts pieces into the setup.
func (s *setup) add(list []*piece) {
	for _, p := range list {
		s.pieces = append(s.pieces, p)
		s.take(p, 1)
	}
}

// drop takes the pieces out again that came after the first n.
func (s *setup) drop(n int) {
	for _, p := range s.pieces[n:] {
		s.take(p, -1)
	}
	s.pieces = s.pieces[:n]
}

func (s *setup) take(p *piece, sign int) {
	for _, c := range p.counts() {
		s.taken[c.SKU] += sign * c.Quantity
	}
}

// counts are a piece's items with its supports.
func (p *piece) counts() []catalog.Count {
	out := slices.Clone(p.items)
	for i := range p.masts {
		out = append(out, catalog.Count{SKU: p.masts[i].Support.Item.SKU, Quantity: 1})
	}
	return append(out, p.anchorage.Counts()...)
}

// counts are the items of everything that is up.
func (s *setup) counts() []catalog.Count {
	out := overhead.CountAll(s.choices)
	for _, p := range s.pieces {
		out = append(out, p.counts()...)
	}
	return out
}

// light fills the scene with everything that is up and works out what it gives.
func (s *setup) light() {
	s.open(s.sc.Hard)
	s.lit.Set(&s.scene)
}

// open fills the scene under some hard sources without working it out.
func (s *setup) open(hard []light.Hard) {
	s.scene.SkyLx, s.scene.GroundReflectance, s.scene.Hard = s.sc.SkyLx, s.sc.Ground, hard
	s.scene.Panels, s.scene.Lamps = s.scene.Panels[:0], s.scene.Lamps[:0]
	for _, ch := range s.choices {
		s.scene.Panels = append(s.scene.Panels, ch.Panel())
	}
	for _, p := range s.pieces {
		if p.lamp != nil {
			s.scene.Lamps = append(s.scene.Lamps, *p.lamp)
			continue
		}
		s.scene.Panels = append(s.scene.Panels, p.panel)
	}
}

// level is the light on a face of the setup as it stands; light must have been called since it changed.
func (s *setup) level(p, n geom.Vec) float64 {
	l := s.lit.Face(overGround(p), n)
	return l.Total()
}

// keyLevels are the key face's levels at the middle and the corners of all zones, as the setup stands.
func (s *setup) keyLevels() []float64 {
	s.light()
	var out []float64
	for i := range s.zones {
		zone := &s.zones[i]
		out = append(out, s.level(zone.Mid, s.sc.Key))
		for _, p := range zone.Corners() {
			out = append(out, s.level(p, s.sc.Key))
		}
	}
	return out
}

// keeps says whether none of the key's levels has fallen by more than a sixth of a stop since.
func (s *setup) keeps(before []float64) bool {
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

// faces are the key, fill and back levels at a place.
func (s *setup) faces(at geom.Vec) (key, fill, back float64) {
	s.light()
	return s.level(at, s.sc.Key), s.level(at, s.sc.Fill), s.level(at, s.sc.Back)
}

// spread is by how many stops the key face's level differs over a zone: a lattice of spreadAcross points across the
// picture, so that none of several beams side by side is missed, and three in depth and in height.
func (s *setup) spread(ctx context.Context, mid, half geom.Vec) float64 {
	least, most := math.Inf(1), 0.0
	for i := range spreadAcross {
		if ctx.Err() != nil {
			break
		}
		for k := range 9 {
			p := mid.Add(geom.Vec{
				X: half.X * (2*float64(i)/(spreadAcross-1) - 1), Y: half.Y * float64(k%3-1), Z: half.Z * float64(k/3-1),
			})
			l := s.level(p, s.sc.Key)
			least, most = math.Min(least, l), math.Max(most, l)
		}
	}
	return light.Stops(math.Max(most, scene.DarkestLx), math.Max(least, scene.DarkestLx))
}

const spreadAcross = 9

// clearOf says whether a piece stands clear of all that is up, but for one piece (nil for none).
func (s *setup) clearOf(p, but *piece) bool {
	sheet := &p.outer
	if p.lamp != nil {
		sheet = nil
	}
	for _, ch := range s.choices {
		if p.meets(ch.Placed.Outer, ch.Masts(), false) || ch.Anchorage.Blocks(sheet, p.masts) {
			return false
		}
	}
	for _, o := range s.pieces {
		if o != but && (p.meets(o.outer, o.masts, o.lamp != nil) || o.anchorage.Blocks(sheet, p.masts)) {
			return false
		}
	}
	return true
}

// meets says whether a piece is in the way of another: sheet through sheet, a mast or an arm through a sheet, or feet
// in the middle of other feet.
func (p *piece) meets(outer geom.Rect, masts []anchorage.Mast, lamp bool) bool {
	if p.lamp == nil && !lamp && p.outer.Meets(outer) {
		return true
	}
	for i := range masts {
		m := &masts[i]
		if p.lamp == nil && (p.outer.CutBy(m.Base, m.Top()) || p.outer.CutBy(m.Top(), m.Held)) {
			return true
		}
		for k := range p.masts {
			if m.Crowds(&p.masts[k]) {
				return true
			}
		}
	}
	if lamp {
		return false
	}
	for i := range p.masts {
		m := &p.masts[i]
		if outer.CutBy(m.Base, m.Top()) || outer.CutBy(m.Top(), m.Held) {
			return true
		}
	}
	return false
}

// topM is the height of a piece's highest part.
func (p *piece) topM() float64 {
	if p.lamp != nil {
		return p.lamp.At.Z
	}
	return anchorage.TopOf(&p.outer)
}
