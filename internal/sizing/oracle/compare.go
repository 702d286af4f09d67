package oracle

import (
	"fmt"
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// CheckNotSmaller holds the answer to a greater demand to that of the lesser: its overhead is no smaller. Answers that share
// sources among several frames are left out, because one frame is preferred to a sharing whatever their areas; compared says
// whether there was something to compare.
func CheckNotSmaller(less, more sizing.Result, stock *catalog.Snapshot, what string) (bad []Violation, compared bool) {
	for _, r := range []sizing.Result{less, more} {
		if o := onStands(r); o != nil && len(softeners(*o)) > 1 {
			return nil, false
		}
	}
	skuLess, areaLess, _ := Overhead(less, stock)
	skuMore, areaMore, ok := Overhead(more, stock)
	if ok && areaMore < areaLess-1e-9 {
		bad = append(bad, broken(RuleMonotone, areaLess-areaMore, "%s: %s of %.3f m² does, yet without it the answer is %q of %.3f m²; the larger demand's placement: %s",
			what, skuMore, areaMore, skuLess, areaLess, placement(more)))
	}
	return bad, true
}

// placement is a short account of where an answer's first piece stands.
func placement(res sizing.Result) string {
	o := onStands(res)
	if o == nil || len(o.Pieces) == 0 {
		return "none"
	}
	p := o.Pieces[0]
	return fmt.Sprintf("corners %.3f, margin %.4f, clearance %.4f", p.Corners, p.MarginM, p.ViewClearanceM)
}

// sameTolM is how far two answers to the same scene seen from elsewhere may lie apart, metres.
const sameTolM = 0.01

// A shortfall and the widest zone are the outcome of a search for the best miss, not of a placement that somebody will
// rig: they may differ by what such a search leaves open, which grows with the miss.
const (
	sameShortM      = 0.05
	sameShortShare  = 0.03
	sameWidestShare = 0.01
)

// CheckSame holds the answers to two scenes that are the same but for a movement (a turn or a mirroring) to one
// another: the same options with the same frames, the same reasons; with moved not nil, the same corners when moved.
func CheckSame(a, b sizing.Result, moved func(geom.Vec) geom.Vec) []Violation {
	var bad []Violation
	if len(a.Options) != len(b.Options) {
		return []Violation{broken(RuleSymmetry, 1, "%d options, then %d", len(a.Options), len(b.Options))}
	}
	for i, o := range a.Options {
		other := b.Options[i]
		if o.Label != other.Label || len(o.Pieces) != len(other.Pieces) {
			bad = append(bad, broken(RuleSymmetry, 1, "option %d: %s with %d pieces, then %s with %d", i+1, o.Label, len(o.Pieces), other.Label, len(other.Pieces)))
			continue
		}
		for k, p := range o.Pieces {
			q := other.Pieces[k]
			if !slices.Equal(p.Items, q.Items) || p.Role != q.Role {
				bad = append(bad, broken(RuleSymmetry, 1, "%s: %s %v, then %s %v", o.Label, p.Role, p.Items, q.Role, q.Items))
				continue
			}
			if moved == nil {
				continue
			}
			if off := cornersApart(p, q, moved); off > sameTolM {
				bad = append(bad, broken(RuleSymmetry, off, "%s: the corners of %s are %.3f, then %.3f", o.Label, p.Items[0].SKU, p.Corners, q.Corners))
			}
		}
	}
	reasons := func(r sizing.Result) map[string]sizing.RuledOut {
		m := map[string]sizing.RuledOut{}
		for _, x := range r.RuledOut {
			m[string(x.Role)+" "+x.SKU] = x
		}
		return m
	}
	ra, rb := reasons(a), reasons(b)
	for key, x := range ra {
		y, ok := rb[key]
		if !ok || x.Because != y.Because || math.Abs(x.ShortByM-y.ShortByM) > sameShortM+sameShortShare*x.ShortByM {
			bad = append(bad, broken(RuleSymmetry, math.Abs(x.ShortByM-y.ShortByM), "%s is ruled out because %s (%.4f m), then %q (%.4f m)", key, x.Because, x.ShortByM, y.Because, y.ShortByM))
		}
	}
	if len(ra) != len(rb) {
		bad = append(bad, broken(RuleSymmetry, 1, "%d frames are ruled out, then %d", len(ra), len(rb)))
	}
	if off := math.Abs(a.WidestZoneM - b.WidestZoneM); off > sameTolM+sameWidestShare*a.WidestZoneM {
		bad = append(bad, broken(RuleSymmetry, off, "the widest zone is %.4f m, then %.4f m", a.WidestZoneM, b.WidestZoneM))
	}
	return bad
}

// cornersApart is the greatest distance from a moved corner of one piece to the nearest corner of the other.
func cornersApart(p, q sizing.Piece, moved func(geom.Vec) geom.Vec) float64 {
	worst := 0.0
	for _, c := range p.Corners {
		at, nearest := fromGeom(moved(c)), math.Inf(1)
		for _, d := range q.Corners {
			nearest = math.Min(nearest, at.far(fromGeom(d)))
		}
		worst = math.Max(worst, nearest)
	}
	return worst
}

// TurnPoint turns a point clockwise about the origin's vertical, as [Turned] turns a scene.
func TurnPoint(p geom.Vec, deg float64) geom.Vec {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return geom.Vec{X: p.X*cos + p.Y*sin, Y: p.Y*cos - p.X*sin, Z: p.Z}
}
