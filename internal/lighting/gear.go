package lighting

import (
	"cmp"
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/light"
	"kitspan/internal/overhead"
	"kitspan/internal/placement"
	"kitspan/internal/price"
	"kitspan/internal/shot"
)

// gear is what a house has to shape light with besides its overheads.
type gear struct {
	emitters  []*emitter // boards and framed cloths that give light back
	blacks    []*emitter // boards and framed cloths that take it away
	lamps     []*emitter
	diffusers []*framedFabric // framed diffusion to put before a reflector or a lamp
	nets      []*framedFabric
	flags     []*emitter          // opaque and black, held by one stand, smallest first
	stands    []anchorage.Support // every stand, cheapest first
}

// emitter is one kind of item that an array of one or more is made of: a board, a framed cloth or a lamp.
type emitter struct {
	item  *catalog.Item
	cloth *catalog.Item // what the frame carries; nil for a board or a lamp
	frame *catalog.Frame
	lamp  *catalog.Lamp
	face  string // the colour of the side that works
	front light.Surface
	back  light.Surface
	// transmittance, beamShare and shiftMired, of what passes, are a cloth's.
	transmittance, beamShare, shiftMired float64

	sheet  placement.Size // half-sizes as the item lies: width along u
	areaM2 float64
	massKg float64
	owned  int
	minor  int64
}

// framedFabric is a frame with a cloth in it.
type framedFabric struct {
	frame  *catalog.Item
	spec   *catalog.Frame
	cloth  *catalog.Item
	fabric *catalog.Fabric
	sheet  placement.Size
	areaM2 float64
	massKg float64
	owned  int
	minor  int64
}

const (
	// dullest is the share of the light that a surface must give back to be looked at as a reflector, darkest the share
	// that a black one may at most. Common practice, no source.
	dullest = 0.2
	darkest = 0.1
	// blackBack is the reflectance of the back of a cloth that the catalogue calls black, whose own figure is the
	// front's: that of black cloth (common practice, no source).
	blackBack = 0.04
)

// uprightSupports is the most supports that a frame may ask for and still be stood upright beside the people: one that
// wants four is a sail (common practice, no source).
const uprightSupports = 2

// newGear sorts what a house offers by what it does.
func newGear(s *shot.Shot, prices *price.Desk) *gear {
	g := &gear{}
	var frames []*catalog.Item
	cloths := map[string]overhead.Fabrics{}
	for _, o := range prices.Offers() {
		item, minor := o.Item, o.Minor
		switch spec := item.Spec.(type) {
		case *catalog.Frame:
			frames = append(frames, item)
		case *catalog.Fabric:
			if cloths[spec.Use] == nil {
				cloths[spec.Use] = map[[2]int][]*catalog.Item{}
			}
			cloths[spec.Use].Add(item, spec)
		case *catalog.Reflector:
			g.board(item, spec, minor)
		case *catalog.Lamp:
			g.lamps = append(g.lamps, &emitter{item: item, lamp: spec, massKg: item.MassKg, owned: item.Owned, minor: minor})
		case *catalog.Support:
			if spec.Class == catalog.ClassStand {
				g.stands = append(g.stands, anchorage.SupportOf(o, 1, s.Limits.TopM()))
			}
		}
	}
	for _, item := range frames {
		g.framed(item, cloths, prices)
	}
	g.emitters, g.blacks = distinct(g.emitters), distinct(g.blacks)
	bySize := func(a, b *emitter) int {
		return cmp.Or(cmp.Compare(a.areaM2, b.areaM2), cmp.Compare(a.minor, b.minor), cmp.Compare(a.item.SKU, b.item.SKU), cmp.Compare(a.face, b.face))
	}
	slices.SortStableFunc(g.emitters, bySize)
	slices.SortStableFunc(g.blacks, bySize)
	slices.SortStableFunc(g.lamps, func(a, b *emitter) int { return cmp.Compare(a.minor, b.minor) })
	for _, l := range g.blacks {
		if l.transmittance == 0 && (l.frame == nil || l.frame.SupportsMin == 1) {
			g.flags = append(g.flags, l)
		}
	}
	for _, list := range [][]*framedFabric{g.diffusers, g.nets} {
		slices.SortStableFunc(list, func(a, b *framedFabric) int {
			return cmp.Or(cmp.Compare(a.areaM2, b.areaM2), cmp.Compare(a.minor, b.minor), cmp.Compare(a.cloth.SKU, b.cloth.SKU))
		})
	}
	slices.SortStableFunc(g.stands, func(a, b anchorage.Support) int { return cmp.Compare(a.Minor, b.Minor) })
	return g
}

// distinct leaves out what another does as well for no more money and in no smaller number.
func distinct(list []*emitter) []*emitter {
	var out []*emitter
	for i, l := range list {
		twin := func(k int) bool {
			o := list[k]
			same := o.sheet == l.sheet && o.front == l.front && o.frame == nil && l.frame == nil && o.massKg <= l.massKg
			return same && o.owned >= l.owned && (o.minor < l.minor || o.minor == l.minor && k < i)
		}
		better := false
		for k := range list {
			better = better || k != i && twin(k)
		}
		if !better {
			out = append(out, l)
		}
	}
	return out
}

// board adds both sides of a board to the reflectors or the blacks, whichever they are.
func (g *gear) board(item *catalog.Item, spec *catalog.Reflector, minor int64) {
	a := light.Surface{Diffuse: spec.DiffuseA, Specular: spec.SpecularA, LobeDeg: spec.LobeADeg, ShiftMired: spec.ColourShiftAMired}
	b := light.Surface{Diffuse: spec.DiffuseB, Specular: spec.SpecularB, LobeDeg: spec.LobeBDeg, ShiftMired: spec.ColourShiftBMired}
	half := placement.Size{HalfU: spec.WidthM / 2, HalfV: spec.HeightM / 2, OutU: spec.WidthM / 2, OutV: spec.HeightM / 2}
	base := emitter{item: item, sheet: half, areaM2: spec.WidthM * spec.HeightM, massKg: item.MassKg, owned: item.Owned, minor: minor}
	for i, side := range [2]struct {
		face        string
		front, back light.Surface
	}{{spec.FaceA, a, b}, {spec.FaceB, b, a}} {
		if i == 1 && side.front == side.back {
			break
		}
		one := base
		one.face, one.front, one.back = side.face, side.front, side.back
		switch whole := side.front.Diffuse + side.front.Specular; {
		case whole >= dullest:
			g.emitters = append(g.emitters, &one)
		case whole <= darkest && side.front.Specular == 0:
			g.blacks = append(g.blacks, &one)
		}
	}
}

// framed adds a frame with each cloth that fits it.
func (g *gear) framed(item *catalog.Item, byUse map[string]overhead.Fabrics, prices *price.Desk) {
	spec := item.Spec.(*catalog.Frame)
	half := placement.Size{HalfU: spec.OpeningWidthM / 2, HalfV: spec.OpeningHeightM / 2, OutU: spec.OuterWidthM / 2, OutV: spec.OuterHeightM / 2}
	for _, use := range []string{catalog.UseBounce, catalog.UseSolid, catalog.UseDiffusion, catalog.UseNet} {
		for _, cloth := range byUse[use].Fitting(spec) {
			f := cloth.Spec.(*catalog.Fabric)
			minor, ok := prices.Minor([]catalog.Count{{SKU: item.SKU, Quantity: 1}, {SKU: cloth.SKU, Quantity: 1}})
			if !ok {
				continue
			}
			v := &framedFabric{
				frame: item, spec: spec, cloth: cloth, fabric: f, sheet: half, areaM2: spec.OpeningWidthM * spec.OpeningHeightM,
				massKg: item.MassKg + cloth.MassKg, owned: min(item.Owned, cloth.Owned), minor: minor,
			}
			sides := spec.SupportsMax >= 2 // one stand would be in the light
			switch use {
			case catalog.UseDiffusion:
				if sides {
					g.diffusers = append(g.diffusers, v)
				}
			case catalog.UseNet:
				if sides {
					g.nets = append(g.nets, v)
				}
			case catalog.UseSolid:
				if spec.SupportsMin <= uprightSupports {
					g.blacks = append(g.blacks, v.emitter())
				}
			default:
				if spec.SupportsMin <= uprightSupports {
					g.emitters = append(g.emitters, v.emitter())
				}
			}
		}
	}
}

// emitter returns the framed cloth as something to give light with, its first face to the work.
func (v *framedFabric) emitter() *emitter {
	front := light.Surface{Diffuse: v.fabric.Reflectance, ShiftMired: v.fabric.ColourShiftMired}
	back := front
	if v.fabric.FaceB == "black" {
		back.Diffuse = min(back.Diffuse, blackBack)
	}
	return &emitter{
		item: v.frame, cloth: v.cloth, frame: v.spec, face: v.fabric.FaceA, front: front, back: back,
		transmittance: v.fabric.Transmittance, beamShare: v.fabric.BeamShare, shiftMired: v.fabric.ColourShiftMired,
		sheet: v.sheet, areaM2: v.areaM2, massKg: v.massKg, owned: v.owned, minor: v.minor,
	}
}

// counts returns the items of one, supports apart.
func (l *emitter) counts() []catalog.Count {
	out := []catalog.Count{{SKU: l.item.SKU, Quantity: 1}}
	if l.cloth != nil {
		out = append(out, catalog.Count{SKU: l.cloth.SKU, Quantity: 1})
	}
	return out
}

// specular reports whether the working side throws a beam.
func (l *emitter) specular() bool { return l.front.Specular > l.front.Diffuse }

func (v *framedFabric) counts() []catalog.Count {
	return []catalog.Count{{SKU: v.frame.SKU, Quantity: 1}, {SKU: v.cloth.SKU, Quantity: 1}}
}

// panel returns the framed cloth as package light takes it, without its corners.
func (v *framedFabric) panel(fed bool) light.Panel {
	s := light.Surface{Diffuse: v.fabric.Reflectance, ShiftMired: v.fabric.ColourShiftMired}
	return light.Panel{
		A: s, B: s, Transmittance: v.fabric.Transmittance, BeamShare: v.fabric.BeamShare, Fed: fed, ShiftMired: v.fabric.ColourShiftMired,
	}
}
