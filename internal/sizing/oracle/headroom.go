package oracle

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// Head room is wanted for whatever hangs over the zone's plan grown by this much on every side, metres.
const headGrowM = 0.5

// lowestEdgeM is how high the lowest edge of a frame stands anywhere, metres.
const lowestEdgeM = 0.3

// clipBelow keeps the part of a convex polygon (or of a segment, two points) with f <= 0.
func clipBelow(poly []vec, f func(vec) float64) []vec {
	var kept []vec
	n := len(poly)
	for i, a := range poly {
		b := poly[(i+1)%n]
		fa, fb := f(a), f(b)
		if fa <= 0 {
			kept = append(kept, a)
		}
		if fa < 0 && fb > 0 || fa > 0 && fb < 0 {
			kept = append(kept, a.along(b.minus(a), fa/(fa-fb)))
		}
	}
	return kept
}

// wall is a side of a zone's plan: which way it looks, and how far from the middle it is.
type wall struct {
	dir  vec
	half float64
}

func (z Zone) walls() [4]wall {
	return [4]wall{{z.right, z.halfW}, {z.right.times(-1), z.halfW}, {z.ahead, z.halfD}, {z.ahead.times(-1), z.halfD}}
}

// overPeople is the part of a flat convex outline that hangs over the zone grown by headGrowM.
func (z Zone) overPeople(outline []vec) []vec {
	for _, side := range z.walls() {
		outline = clipBelow(outline, func(p vec) float64 { return p.minus(z.over).dot(side.dir) - side.half - headGrowM })
	}
	return outline
}

func lowest(points []vec) float64 {
	low := math.Inf(1)
	for _, p := range points {
		low = math.Min(low, p.z)
	}
	return low
}

// headOver is how high whatever hangs over a zone's people has to be: as asked, and over a further zone no lower than its top.
func headOver(s *Scene, z *Zone) float64 {
	if z.label == mainZone {
		return s.Shot.Allowance.HeadM
	}
	return math.Max(s.Shot.Allowance.HeadM, z.top)
}

// CheckHead holds a piece to its head room: what hangs over the people of any zone at least as high as asked, the rest of the frame
// off the ground.
func CheckHead(s *Scene, p sizing.Piece, pl plate) []Violation {
	var bad []Violation
	for _, z := range s.zones() {
		want := headOver(s, z)
		if over := lowest(z.overPeople(pl.outline())); over < want-placeTolM {
			bad = append(bad, broken(RuleHead, want-over, "%s: the frame hangs %.4f m high over the people of zone %s, wanted %.4f m", p.Role, over, z.label, want))
		}
	}
	if low := lowest(pl.outline()); low < lowestEdgeM-placeTolM {
		bad = append(bad, broken(RuleHead, lowestEdgeM-low, "%s: the lowest edge is %.4f m up", p.Role, low))
	}
	return append(bad, checkArms(s, p)...)
}

// walkM is how high an edge hangs under which people walk upright, and leanDeg the least lean by which a frame hangs over ground (common
// practice, no source).
const walkM, leanDeg = 2.0, 20

// CheckLowEdges wants a note of the lowest edge under which nobody walks upright, of a frame on several stands that leans.
func CheckLowEdges(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	low, role, tightM := math.Inf(1), finding.Role(""), 0.02 // of what two ways of finding an edge differ
	for _, p := range o.Pieces {
		found, _ := partsOf(p, stock)
		if p.Lamp != nil || len(p.Supports) < 2 || !found.fit(p.Role) {
			continue
		}
		pl := plateIn(p, found)
		if math.Asin(math.Min(1, math.Abs(pl.normal.z)))*180/math.Pi <= leanDeg {
			continue
		}
		for i, c := range p.Corners {
			if z := (c.Z + p.Corners[(i+1)%4].Z) / 2; z < low {
				low, role = z, p.Role
			}
		}
	}
	told := noted(&o, func(n finding.LowEdge) bool { return n.Role == role && math.Abs(n.LowM-low) < tightM })
	switch {
	case low < walkM-tightM && !told:
		return []Violation{broken(RuleHead, walkM-low, "%s: an edge of the %s is %.3f m up and no note says so", o.Label, role, low)}
	case low > walkM+tightM && has[finding.LowEdge](&o):
		return []Violation{broken(RuleHead, low-walkM, "%s: a note of a low edge, the lowest is %.3f m up", o.Label, low)}
	}
	return nil
}

// checkArms holds the arms of a piece's supports to the head room.
func checkArms(s *Scene, p sizing.Piece) []Violation {
	var bad []Violation
	for i, sp := range p.Supports {
		if sp.Arm == nil {
			continue
		}
		arm := []vec{fromGeom(sp.Arm[0]), fromGeom(sp.Arm[1])}
		for _, z := range s.zones() {
			want := headOver(s, z)
			if over := lowest(z.overPeople(arm)); over < want-placeTolM {
				bad = append(bad, broken(RuleHead, want-over, "%s: the arm of support %d is %.4f m high over the people of zone %s, wanted %.4f m",
					p.Role, i+1, over, z.label, want))
			}
		}
	}
	return bad
}
