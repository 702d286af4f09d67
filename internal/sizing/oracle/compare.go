package oracle

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// CheckNotSmaller holds the answer to a greater demand to that of the lesser: its overhead is no smaller. Answers that share
// sources among several frames are left out, because one frame is preferred to a sharing whatever their areas, answers that
// prefer something else than the smallest, and those to the greater demand that do not meet it: what is shown where nothing holds
// the gust or keeps the price is no more than the best of its kind, and those where the lesser demand rules the frame out for the
// wind. compared reports whether there was something to compare.
func CheckNotSmaller(less, more sizing.Result, stock *catalog.Snapshot, what string) (bad []Violation, compared bool) {
	for _, r := range []sizing.Result{less, more} {
		if r.Shot.Prefer != shot.PreferSmallest {
			return nil, false
		}
		if o := onStands(r, stock); o != nil && len(softeners(*o)) > 1 {
			return nil, false
		}
	}
	if o := onStands(more, stock); o != nil && (noted(o, func(n finding.NotHeld) bool { return n.Role == finding.RoleOverhead }) || has[finding.OverPrice](o)) {
		return nil, false
	}
	skuLess, areaLess, _ := Overhead(less, stock)
	skuMore, areaMore, ok := Overhead(more, stock)
	// Where the greater demand puts a frame it may hold a gust that it does not hold in the first place found without it: a place that
	// holds is looked for in a few more, and not in all.
	for _, r := range less.RuledOut {
		if r.SKU == skuMore && r.Because == finding.Windy {
			return nil, false
		}
	}
	if ok && areaMore < areaLess-1e-9 {
		bad = append(bad, broken(RuleMonotone, areaLess-areaMore, "%s: %s of %.3f m² does, yet without it the answer is %q of %.3f m²; the larger demand's placement: %s",
			what, skuMore, areaMore, skuLess, areaLess, placement(more, stock)))
	}
	return bad, true
}

// CheckNotDearer holds the overhead for a gust to the one for a greater gust, which holds the lesser as well: in the order of
// what is smallest, it does not come after it. A violation is by the share of the hire that it is
// over, or by 1 where the area is the reason. compared is false where either answer has no
// frame that holds its gust alone, or prefers something else.
func CheckNotDearer(less, more sizing.Result, stock *catalog.Snapshot) (bad []Violation, compared bool) {
	type rig struct {
		areaM2 float64
		hire   *big.Int
	}
	var rigs [2]rig
	for i, r := range []sizing.Result{less, more} {
		o := onStands(r, stock)
		if o == nil || len(softeners(*o)) != 1 || o.Pieces[0].Hold.LowerAtMS < r.Shot.GustMS {
			return nil, false
		}
		hire, err := Hire(o.Pieces[0], stock, r.Shot.Window.Date)
		if err != nil {
			return []Violation{broken(RuleKit, 1, "%v", err)}, true
		}
		_, area, _ := Overhead(r, stock)
		rigs[i] = rig{area, hire}
	}
	if less.Shot.Prefer != shot.PreferSmallest {
		return nil, false // of the frontier another rig may be the cheapest in all
	}
	calm, windy := rigs[0], rigs[1]
	area, hire := cmp.Compare(calm.areaM2, windy.areaM2), calm.hire.Cmp(windy.hire)
	order := cmp.Or(area, hire)
	if area == 0 && hire > 0 && evened(less, calm.hire, windy.hire, stock) {
		order = 0
	}
	if order > 0 {
		by := 1.0
		if hire > 0 && area == 0 {
			by, _ = new(big.Rat).SetFrac(new(big.Int).Sub(calm.hire, windy.hire), windy.hire).Float64()
		}
		bad = append(bad, broken(RuleMonotone, by, "%.2f m² for %s minor units a day hold %.2f m/s, and at %.2f m/s %.2f m² for %s are taken",
			windy.areaM2, windy.hire, more.Shot.GustMS, less.Shot.GustMS, calm.areaM2, calm.hire))
	}
	return bad, true
}

// evened reports whether one hire is over another by no more than two units of the ballast that lies on the stands: so much may be laid
// more for alike stands to be laid alike.
func evened(r sizing.Result, hire, other *big.Int, stock *catalog.Snapshot) bool {
	const evenUnits = 2
	for _, sp := range onStands(r, stock).Pieces[0].Supports {
		if sp.Ballast.Quantity == 0 {
			continue
		}
		rate, ok := stock.Item(sp.Ballast.SKU).RateOn(r.Shot.Window.Date)
		if each, exact := minorUnits(rate); ok && exact {
			over := new(big.Int).Sub(hire, other)
			return over.Cmp(each.Mul(each, big.NewInt(evenUnits))) <= 0
		}
	}
	return false
}

// placement is a short account of where an answer's first piece stands.
func placement(res sizing.Result, stock *catalog.Snapshot) string {
	o := onStands(res, stock)
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
	// Where left and right are exchanged, such a search goes the other way round and may end at another best miss.
	otherShortM      = 0.25
	otherWidestShare = 0.02
)

// sameFrames holds the smallest frames on stands of two answers to one another.
func sameFrames(a, b sizing.Result) []Violation {
	smallest := func(r sizing.Result) (frames []string) {
		least := math.Inf(1)
		for _, o := range r.Options {
			areaM2, items := 0.0, []string{}
			for _, p := range softeners(o) {
				areaM2, items = areaM2+p.OuterAreaM2, append(items, p.Items[0].SKU)
			}
			if o.Label == sizing.LabelOverhead && areaM2 < least {
				least, frames = areaM2, items
			}
		}
		slices.Sort(frames)
		return frames
	}
	if fa, fb := smallest(a), smallest(b); !slices.Equal(fa, fb) {
		return []Violation{broken(RuleSymmetry, 1, "the smallest overhead is %v, then %v", fa, fb)}
	}
	return nil
}

// CheckSame holds the answers to two scenes that are the same but for a movement (a turn or a mirroring) to one
// another: the same options with the same pieces, the same reasons; with firm, the same corners when moved. Without,
// a place may be another as good (left for right): then what shapes the light around it may differ, too, and which
// options are shown, so that only the smallest overhead on stands is compared.
func CheckSame(a, b sizing.Result, moved func(geom.Vec) geom.Vec, firm bool) []Violation {
	var bad []Violation
	if firm && len(a.Options) != len(b.Options) {
		return []Violation{broken(RuleSymmetry, 1, "%d options, then %d", len(a.Options), len(b.Options))}
	}
	if !firm {
		bad = sameFrames(a, b)
	} else {
		for i, o := range a.Options {
			k := slices.IndexFunc(b.Options, func(other sizing.Option) bool { return other.Name == o.Name })
			if k != i {
				bad = append(bad, broken(RuleSymmetry, 1, "option %d: %s, then %d", i+1, o.Name, k+1))
			}
			if k >= 0 {
				bad = append(bad, samePieces(o.Label, o.Pieces, b.Options[k].Pieces, moved)...)
			}
		}
	}
	reasons := func(r sizing.Result) map[string]finding.RuledOut {
		m := map[string]finding.RuledOut{}
		for _, x := range r.RuledOut {
			m[string(x.Role)+" "+x.SKU] = x
		}
		return m
	}
	ra, rb := reasons(a), reasons(b)
	shortM, widestShare := sameShortM, sameWidestShare
	if !firm {
		shortM, widestShare = otherShortM, otherWidestShare
	}
	for key, x := range ra {
		y, ok := rb[key]
		geometric := !firm && x.ShortByM > 0 && y.ShortByM > 0
		if !ok || x.Because != y.Because && !geometric || math.Abs(x.ShortByM-y.ShortByM) > shortM+sameShortShare*x.ShortByM {
			bad = append(bad, broken(RuleSymmetry, math.Abs(x.ShortByM-y.ShortByM), "%s is ruled out because %s (%.4f m), then %q (%.4f m)", key, x.Because, x.ShortByM, y.Because, y.ShortByM))
		}
	}
	if len(ra) != len(rb) {
		bad = append(bad, broken(RuleSymmetry, 1, "%d frames are ruled out, then %d", len(ra), len(rb)))
	}
	if off := math.Abs(a.WidestZoneM - b.WidestZoneM); off > sameTolM+widestShare*a.WidestZoneM {
		bad = append(bad, broken(RuleSymmetry, off, "the widest zone is %.4f m, then %.4f m", a.WidestZoneM, b.WidestZoneM))
	}
	return bad
}

func samePieces(label sizing.Label, first, second []sizing.Piece, moved func(geom.Vec) geom.Vec) []Violation {
	if len(first) != len(second) {
		return []Violation{broken(RuleSymmetry, 1, "%s: %d pieces, then %d", label, len(first), len(second))}
	}
	var bad []Violation
	for k, p := range first {
		q := second[k]
		if !slices.Equal(p.Items, q.Items) || p.Role != q.Role {
			bad = append(bad, broken(RuleSymmetry, 1, "%s: %s %v, then %s %v", label, p.Role, p.Items, q.Role, q.Items))
			continue
		}
		// Of several alike in a row the first may have become the last.
		off := math.Inf(1)
		for _, q := range second {
			if slices.Equal(p.Items, q.Items) && p.Role == q.Role {
				off = math.Min(off, cornersApart(p, q, moved))
			}
		}
		if off > sameTolM {
			bad = append(bad, broken(RuleSymmetry, off, "%s: the %s of %s at %.3f is %.3f m off the nearest of the other", label, p.Role, p.Items[0].SKU, placesOf(p), off))
		}
	}
	return bad
}

// placesOf is where a piece is: its corners, or a lamp's position.
func placesOf(p sizing.Piece) []geom.Vec {
	if p.Lamp != nil {
		return []geom.Vec{p.Lamp.Position}
	}
	return p.Corners[:]
}

// cornersApart is the greatest distance from a moved corner (or lamp) of one piece to the nearest of the other.
func cornersApart(p, q sizing.Piece, moved func(geom.Vec) geom.Vec) float64 {
	worst := 0.0
	for _, c := range placesOf(p) {
		at, nearest := fromGeom(moved(c)), math.Inf(1)
		for _, d := range placesOf(q) {
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

// MirrorPoint exchanges left and right of a lens that looks along a bearing, as [Mirrored] does with a scene.
func MirrorPoint(p geom.Vec, bearingDeg float64) geom.Vec {
	right := vec{math.Cos(bearingDeg * math.Pi / 180), -math.Sin(bearingDeg * math.Pi / 180), 0}
	v := fromGeom(p)
	return toGeom(v.along(right, -2*v.dot(right)))
}
