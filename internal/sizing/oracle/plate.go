package oracle

import (
	"fmt"
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// plate is a frame in its place: the opening as a rectangle about its centre, e1 and e2 unit vectors along its sides,
// normal square to both, half lengths of the opening and of the tubes' outer edge along each.
type plate struct {
	centre, e1, e2, normal vec
	half1, half2           float64
	outer1, outer2         float64
}

// corner is a corner of the outer edge (or of the opening) at signs s1, s2 along the sides.
func (p plate) corner(s1, s2 float64, outer bool) vec {
	h1, h2 := p.half1, p.half2
	if outer {
		h1, h2 = p.outer1, p.outer2
	}
	return p.centre.along(p.e1, s1*h1).along(p.e2, s2*h2)
}

// outline is the outer edge's corners in order around it.
func (p plate) outline() []vec {
	return []vec{p.corner(-1, -1, true), p.corner(1, -1, true), p.corner(1, 1, true), p.corner(-1, 1, true)}
}

// parts are a piece's items, looked up: a frame with its fabric, a board, or a lamp.
type parts struct {
	frame      *catalog.Frame
	fabric     *catalog.Fabric
	board      *catalog.Reflector
	lamp       *catalog.Lamp
	frameItem  *catalog.Item
	fabricItem *catalog.Item
	// massKg is that of all items together.
	massKg float64
}

func partsOf(p sizing.Piece, stock *catalog.Snapshot) (parts, []Violation) {
	var found parts
	var bad []Violation
	for _, c := range p.Items {
		item := stock.Item(c.SKU)
		switch {
		case item == nil:
			bad = append(bad, broken(RuleStock, 1, "%s: the house has no item %s", p.Role, c.SKU))
			continue
		case c.Quantity != 1:
			bad = append(bad, broken(RuleKit, math.Abs(float64(c.Quantity-1)), "%s takes %d of %s, not 1", p.Role, c.Quantity, c.SKU))
		}
		switch spec := item.Spec.(type) {
		case *catalog.Frame:
			if found.frame != nil {
				bad = append(bad, broken(RuleKit, 1, "%s has two frames", p.Role))
			}
			found.frame, found.frameItem = spec, item
		case *catalog.Fabric:
			if found.fabric != nil {
				bad = append(bad, broken(RuleKit, 1, "%s has two fabrics", p.Role))
			}
			found.fabric, found.fabricItem = spec, item
		case *catalog.Reflector:
			if found.board != nil {
				bad = append(bad, broken(RuleKit, 1, "%s has two boards", p.Role))
			}
			found.board = spec
		case *catalog.Lamp:
			if found.lamp != nil {
				bad = append(bad, broken(RuleKit, 1, "%s has two lamps", p.Role))
			}
			found.lamp = spec
		default:
			bad = append(bad, broken(RuleKit, 1, "%s lists %s, which is no part of a piece", p.Role, c.SKU))
		}
		found.massKg += item.MassKg
	}
	if !found.fit(p.Role) {
		bad = append(bad, broken(RuleKit, 1, "%s is made of %v", p.Role, p.Items))
	}
	return found, bad
}

// fit reports whether a piece of a role can be made of the parts: boards and framed cloths reflect, darken and shade, framed cloths
// alone do everything else that a sheet does, and a lamp is a lamp.
func (f parts) fit(role finding.Role) bool {
	cloth := f.frame != nil && f.fabric != nil && f.board == nil && f.lamp == nil
	board := f.board != nil && f.frame == nil && f.fabric == nil && f.lamp == nil
	lamp := f.lamp != nil && f.frame == nil && f.fabric == nil && f.board == nil
	switch role {
	case finding.RoleLamp:
		return lamp
	case finding.RoleReflector, finding.RoleFill, finding.RoleBlack, finding.RoleCameraShade:
		return cloth || board
	default:
		return cloth
	}
}

// plateOf reads the corners of a piece on a frame, without judging them, and puts the tubes around.
func plateOf(p sizing.Piece, f *catalog.Frame) plate {
	pl := sheetOf(p)
	tubeW, tubeH := (f.OuterWidthM-f.OpeningWidthM)/2, (f.OuterHeightM-f.OpeningHeightM)/2
	if math.Abs(2*pl.half1-f.OpeningWidthM) > math.Abs(2*pl.half1-f.OpeningHeightM) {
		tubeW, tubeH = tubeH, tubeW
	}
	pl.outer1, pl.outer2 = pl.half1+tubeW, pl.half2+tubeH
	return pl
}

// sheetOf reads the corners of a piece, without judging them: sides from the first corner's two edges.
func sheetOf(p sizing.Piece) plate {
	c0, c1, c2, c3 := fromGeom(p.Corners[0]), fromGeom(p.Corners[1]), fromGeom(p.Corners[2]), fromGeom(p.Corners[3])
	s1, s2 := c1.minus(c0), c3.minus(c0)
	pl := plate{
		centre: c0.plus(c1).plus(c2).plus(c3).times(0.25),
		e1:     s1.unit(), e2: s2.unit(),
		half1: s1.length() / 2, half2: s2.length() / 2,
	}
	pl.normal = pl.e1.cross(pl.e2).unit()
	pl.outer1, pl.outer2 = pl.half1, pl.half2
	return pl
}

// reachM is how far from the zone's middle a frame's own may stand, metres: a rule of the job.
const reachM = 12

// CheckFrame holds an overhead's or a side's corners to the frame that it names: a flat rectangle of the opening's size, in order
// around it, one pair of edges level, its middle within 12 m of the zone's.
func CheckFrame(s *Scene, p sizing.Piece, f *catalog.Frame) []Violation {
	bad := checkCorners(p, f.OpeningWidthM, f.OpeningHeightM)
	if away := sheetOf(p).centre.far(s.Zone.middle); away > reachM+placeTolM {
		bad = append(bad, broken(RuleFrame, away-reachM, "%s: the middle is %.3f m from the zone's", p.Role, away))
	}
	return append(bad, checkOuter(p, f.OuterWidthM*f.OuterHeightM)...)
}

func checkOuter(p sizing.Piece, outerM2 float64) []Violation {
	if off := math.Abs(outerM2 - p.OuterAreaM2); !(off <= 1e-6) {
		return []Violation{broken(RuleFrame, off, "%s: outer area %.6f m², the catalogue's is %.6f m²", p.Role, p.OuterAreaM2, outerM2)}
	}
	return nil
}

// checkCorners holds a piece's corners to a flat rectangle of a width and a height, in order around it, one pair of edges level.
func checkCorners(p sizing.Piece, w, h float64) []Violation {
	var bad []Violation
	c := [4]vec{}
	for i := range c {
		c[i] = fromGeom(p.Corners[i])
		if math.IsNaN(c[i].dot(c[i])) || math.IsInf(c[i].dot(c[i]), 0) {
			return []Violation{broken(RuleFrame, math.Inf(1), "%s: corner %d is %v", p.Role, i, c[i])}
		}
	}
	s1, s2 := c[1].minus(c[0]), c[3].minus(c[0])
	if gap := c[2].far(c[0].plus(s1).plus(s2)); gap > placeTolM {
		bad = append(bad, broken(RuleFrame, gap, "%s: the third corner is %.4f m off the parallelogram of the others", p.Role, gap))
	}
	// The foot of one side's end on the other side: how far from square.
	if skew := math.Abs(s1.dot(s2)) / math.Max(s1.length(), s2.length()); skew > placeTolM {
		bad = append(bad, broken(RuleFrame, skew, "%s: the corners are %.4f m off square", p.Role, skew))
	}
	off := func(a, b float64) float64 {
		return math.Max(math.Abs(s1.length()-a), math.Abs(s2.length()-b))
	}
	if miss := math.Min(off(w, h), off(h, w)); miss > placeTolM {
		bad = append(bad, broken(RuleFrame, miss, "%s: sides %.4f and %.4f m, the catalogue has %.4f by %.4f m",
			p.Role, s1.length(), s2.length(), w, h))
	}
	if fall := math.Min(math.Abs(s1.z), math.Abs(s2.z)); fall > placeTolM {
		bad = append(bad, broken(RuleFrame, fall, "%s: no pair of edges is level (falls %.4f and %.4f m)", p.Role, s1.z, s2.z))
	}
	return bad
}

// clothUse is what a cloth must be sewn for to do what a role asks.
func clothUse(r finding.Role) string {
	switch r {
	case finding.RoleNet:
		return catalog.UseNet
	case finding.RoleBlack, finding.RoleCameraShade:
		return catalog.UseSolid
	case finding.RoleReflector, finding.RoleFill:
		return catalog.UseBounce
	default:
		return catalog.UseDiffusion
	}
}

// CheckFabric holds a piece's cloth to its frame and its role: sewn for the opening, and of the use that the role asks.
func CheckFabric(p sizing.Piece, found parts) []Violation {
	var bad []Violation
	f, c := found.frame, found.fabric
	fits := func(w, h float64) float64 {
		return math.Max(math.Abs(c.FitsWidthM-w), math.Abs(c.FitsHeightM-h))
	}
	miss := math.Min(fits(f.OpeningWidthM, f.OpeningHeightM), fits(f.OpeningHeightM, f.OpeningWidthM))
	if miss > placeTolM {
		bad = append(bad, broken(RuleFabric, miss, "%s is sewn for %.3f by %.3f m, the opening is %.3f by %.3f m",
			found.fabricItem.SKU, c.FitsWidthM, c.FitsHeightM, f.OpeningWidthM, f.OpeningHeightM))
	}
	if use := clothUse(p.Role); c.Use != use {
		bad = append(bad, broken(RuleFabric, 1, "%s is for %s, a %s takes %s", found.fabricItem.SKU, c.Use, p.Role, use))
	}
	if p.Face != c.FaceA && p.Face != c.FaceB {
		bad = append(bad, broken(RuleFabric, 1, "face %q is neither %q nor %q", p.Face, c.FaceA, c.FaceB))
	}
	return bad
}

func (p plate) String() string {
	return fmt.Sprintf("%.2f×%.2f m at (%.2f, %.2f, %.2f)", 2*p.half1, 2*p.half2, p.centre.x, p.centre.y, p.centre.z)
}
