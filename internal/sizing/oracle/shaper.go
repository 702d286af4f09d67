package oracle

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// stepOffM is the least distance from the sheets and lamps that shape the light to the people, metres.
const stepOffM = 0.3

// checkShaper holds a piece that shapes light beside the overheads to its place, its view and its supports.
func checkShaper(s *Scene, p sizing.Piece, found parts, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	pl := plateIn(p, found)
	switch {
	case found.lamp != nil:
		if p.Lamp == nil {
			return []Violation{broken(RuleFrame, 1, "%s has no place", p.Role)}
		}
		bad = append(bad, checkOuter(p, 0)...)
	case found.board != nil:
		b := found.board
		bad = append(bad, checkCorners(p, b.WidthM, b.HeightM)...)
		bad = append(bad, checkOuter(p, b.WidthM*b.HeightM)...)
		if p.Face != b.FaceA && p.Face != b.FaceB {
			bad = append(bad, broken(RuleFabric, 1, "face %q is neither %q nor %q", p.Face, b.FaceA, b.FaceB))
		}
	default:
		f := found.frame
		bad = append(bad, checkCorners(p, f.OpeningWidthM, f.OpeningHeightM)...)
		bad = append(bad, checkOuter(p, f.OuterWidthM*f.OuterHeightM)...)
		bad = append(bad, CheckFabric(p, found)...)
	}
	bad = append(bad, checkLow(s, p, pl, found)...)
	bad = append(bad, checkStepOff(s, p, pl)...)
	bad = append(bad, CheckView(s, p, pl)...)
	bad = append(bad, checkShaperSupports(s, p, pl, found, stock)...)
	if p.Role != finding.RoleNet && p.MarginM != 0 {
		bad = append(bad, broken(RuleMargin, math.Abs(p.MarginM), "%s tells a margin of %.4f m", p.Role, p.MarginM))
	}
	return bad
}

// plateIn is where a piece's sheet lies, with the tubes of its frame around it if it has one; nothing for a lamp.
func plateIn(p sizing.Piece, found parts) plate {
	switch {
	case found.lamp != nil:
		return plate{}
	case found.frame != nil:
		return plateOf(p, found.frame)
	}
	return sheetOf(p)
}

// checkLow holds a frame with fabric to the head room, a net and a board to the ground, a lamp to above it. A middle
// that is further than a frame may stand is too far here, too.
func checkLow(s *Scene, p sizing.Piece, pl plate, found parts) []Violation {
	var bad []Violation
	var low float64
	what := "sheet"
	switch {
	case found.lamp != nil:
		low, what = p.Lamp.Position.Z, "lamp"
	case found.frame != nil && p.Role != finding.RoleNet:
		return CheckHead(s, p, pl)
	default:
		low = lowest(pl.outline())
	}
	if low < -placeTolM {
		bad = append(bad, broken(RuleHead, -low, "%s: the %s is %.4f m under the ground", p.Role, what, -low))
	}
	return append(bad, checkArms(s, p)...)
}

// checkStepOff keeps sheets and lamps off the people, as seen from above.
func checkStepOff(s *Scene, p sizing.Piece, pl plate) []Violation {
	var bad []Violation
	outline := pl.outline()
	if p.Lamp != nil {
		outline = []vec{fromGeom(p.Lamp.Position)}
	}
	for _, z := range s.zones() {
		if d := z.off(outline); d < stepOffM-placeTolM {
			bad = append(bad, broken(RuleApart, stepOffM-d, "%s stands %.4f m from zone %s, wanted %.2f m", p.Role, d, z.label, stepOffM))
		}
	}
	return bad
}

// off is how far a convex outline is from the zone, both as seen from above; 0 where they overlap.
func (z Zone) off(outline []vec) float64 {
	inside := outline
	for _, side := range z.walls() {
		inside = clipBelow(inside, func(p vec) float64 { return p.minus(z.over).dot(side.dir) - side.half })
	}
	if len(inside) > 0 {
		return 0
	}
	// The nearest point of an outline to a rectangle is on an edge of either.
	least := math.Inf(1)
	var plan []vec
	for _, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		c := z.at(s[0], s[1], 0)
		plan = append(plan, vec{c.x, c.y, 0})
	}
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		for k, c := range plan {
			least = math.Min(least, segmentsApart(vec{a.x, a.y, 0}, vec{b.x, b.y, 0}, c, plan[(k+1)%4]))
		}
	}
	return least
}

// segmentsApart is the distance between two segments that do not cross.
func segmentsApart(a, b, c, d vec) float64 {
	return math.Min(math.Min(fromSegment(a, c, d), fromSegment(b, c, d)), math.Min(fromSegment(c, a, b), fromSegment(d, a, b)))
}

// fromSegment is how far a point is from a segment.
func fromSegment(p, a, b vec) float64 {
	along := b.minus(a)
	t := 0.0
	if l := along.dot(along); l > 0 {
		t = math.Min(1, math.Max(0, p.minus(a).dot(along)/l))
	}
	return p.far(a.along(along, t))
}

// checkShaperSupports holds a shaper's supports to what they can do and to where it is held: a board or a lamp at its middle
// by one, a frame at its middle by one, where nothing is to pass there, or at its two upright sides alike by as many as it takes. A
// lens shade is on one, with a bag or two.
func checkShaperSupports(s *Scene, p sizing.Piece, pl plate, found parts, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	n := len(p.Supports)
	gap := math.Inf(1)
	switch {
	case found.frame != nil:
		f := found.frame
		if n < f.SupportsMin || n > f.SupportsMax {
			bad = append(bad, broken(RuleSupport, float64(n), "%s: %d supports, the frame takes %d to %d", p.Role, n, f.SupportsMin, f.SupportsMax))
		}
		if gap = uprightGap(p, pl); n == 1 {
			gap = hold(p.Supports[0]).far(pl.centre)
		}
	case n == 1 && found.lamp != nil:
		gap = hold(p.Supports[0]).far(fromGeom(p.Lamp.Position))
	case n == 1:
		gap = hold(p.Supports[0]).far(pl.centre)
	}
	if through := p.Role == finding.RoleNet || p.Role == finding.RoleReflectorDiffuser || p.Role == finding.RoleLampDiffuser; through && n == 1 {
		bad = append(bad, broken(RuleSupport, 1, "%s: its one stand is in the middle of what is to pass through it", p.Role))
	}
	if p.Role == finding.RoleCameraShade {
		bad = append(bad, checkShadeStand(p, stock)...)
	}
	return append(bad, checkHeld(s, p, found, gap, stock)...)
}

// mostShadeBags is how many sand bags hold a lens shade at most.
const mostShadeBags = 2

// checkShadeStand holds a lens shade to one stand with a bag or two, nothing heavier, and no line.
func checkShadeStand(p sizing.Piece, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	if n := len(p.Supports) + len(p.Lines); n != 1 {
		bad = append(bad, broken(RuleSupport, math.Abs(float64(n-1)), "the lens shade is on %d stands with %d lines", len(p.Supports), len(p.Lines)))
	}
	for _, sp := range p.Supports {
		if sp.Ballast.Quantity == 0 {
			continue
		}
		if item := stock.Item(sp.Ballast.SKU); sp.Ballast.Quantity > mostShadeBags || item != nil && item.Spec.(*catalog.Ballast).Form != catalog.FormBag {
			bad = append(bad, broken(RuleSupport, float64(sp.Ballast.Quantity), "the lens shade is held by %d of %s", sp.Ballast.Quantity, sp.Ballast.SKU))
		}
	}
	return bad
}

// uprightGap is by how much the worst support misses the side that it holds, of a frame held by its two sides that are
// not level, as many supports at each; +Inf where the numbers differ.
func uprightGap(p sizing.Piece, pl plate) float64 {
	best := math.Inf(1)
	for _, way := range [2]struct {
		along, up   vec
		reach, half float64
	}{{pl.e1, pl.e2, pl.outer1, pl.outer2}, {pl.e2, pl.e1, pl.outer2, pl.outer1}} {
		if math.Abs(way.along.z) > levelTolM {
			continue
		}
		worst, left, right := 0.0, 0, 0
		for _, sp := range p.Supports {
			at := hold(sp)
			side := pl.centre.along(way.along, math.Copysign(way.reach, at.minus(pl.centre).dot(way.along)))
			if at.minus(pl.centre).dot(way.along) < 0 {
				left++
			} else {
				right++
			}
			worst = math.Max(worst, fromSegment(at, side.along(way.up, -way.half), side.along(way.up, way.half)))
		}
		if left == right && left > 0 {
			best = math.Min(best, worst)
		}
	}
	return best
}
