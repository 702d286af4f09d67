package oracle

import (
	"math"
	"slices"
	"strings"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	rays "kitspan/internal/light/oracle"
	"kitspan/internal/sizing"
)

// Tolerances of levels: a tenth of the third of a stop that a plan promises, and so many standard errors of the
// estimate; where it is all but dark, a lux.
const (
	levelTolShare = 0.03
	levelErrors   = 3
	levelTolLx    = 1
)

// The spread told is of a lattice as coarse as that which rays are thrown at here, but of another: it may miss a little,
// and it may find more where an edge of light passes between points.
const (
	spreadOverStops  = 0.15
	spreadUnderStops = 0.6
	unevenStops      = 4 // from here on a part of the zone is dark, and how dark says nothing more
)

// Rays is how many are thrown at a face.
type Rays struct {
	Face, Lattice int
	// Again is how many times as many are thrown once more where these find something wrong, 0 for none: few rays hit a
	// small bright sheet, and then their spread is no measure of how far off they are.
	Again int
}

// The rays of every test run, and many more.
var (
	FewRays  = Rays{Face: 4096, Lattice: 1024, Again: 16}
	ManyRays = Rays{Face: 32768, Lattice: 8192, Again: 4}
)

// estimate is a level in lux with its standard error.
type estimate struct{ lx, err float64 }

// stops is the estimate against a level in stops, and how far off it may be.
func (e estimate) stops(reference float64) (stops, tol float64) {
	lx := math.Max(e.lx, noLightLx)
	return math.Log2(lx / reference), math.Log2((lx*(1+levelTolShare) + levelErrors*e.err) / lx)
}

// away is by how much a told level is off the estimate beyond what it may be; not over 0 where it is not.
func (e estimate) away(toldLx float64) float64 {
	off := math.Abs(toldLx-e.lx) - levelErrors*e.err - math.Max(levelTolShare*e.lx, levelTolLx)
	if math.IsNaN(off) {
		return math.Inf(1)
	}
	return off
}

// lights is an option's light, estimated by rays.
type lights struct {
	s         *Scene
	o         sizing.Option
	stock     *catalog.Snapshot
	n         Rays
	seed      uint64
	key, fill estimate
	back      estimate
	others    []estimate
}

// face estimates the light on a face with some pieces up.
func (l *lights) face(pieces []sizing.Piece, at vec, ways ...geom.Vec) []estimate {
	scene := l.s.lit(pieces, l.stock)
	look := rays.Look(&scene, l.n.Face, l.seed)
	var list []estimate
	for _, n := range ways {
		r := look.Face(toGeom(at), n)
		list = append(list, estimate{r.Level.Total(), r.TotalError})
	}
	return list
}

// CheckLight holds the levels of an answer's options to those that rays find, and what options say that they do to it.
// The same seed throws the same rays.
func CheckLight(res sizing.Result, stock *catalog.Snapshot, n Rays, seed uint64) []Violation {
	var bad []Violation
	for _, o := range res.Options {
		l := &lights{s: NewScene(res.Shot, o.Window.From, o.Window.To), o: o, stock: stock, n: n, seed: seed}
		found := l.check()
		if len(found) > 0 && n.Again > 0 {
			again := &lights{s: l.s, o: o, stock: stock, n: Rays{Face: n.Again * n.Face, Lattice: n.Again * n.Lattice}, seed: seed + 1}
			found = again.check()
		}
		bad = append(bad, found...)
	}
	return bad
}

func (l *lights) check() []Violation {
	bad := l.checkLevels()
	bad = append(bad, l.checkSpread()...)
	bad = append(bad, l.checkTrim()...)
	bad = append(bad, l.checkReaim()...)
	bad = append(bad, l.checkEffects()...)
	return append(bad, l.checkServes()...)
}

// checkLevels estimates the levels on the subject and on every further zone and holds those told to them.
func (l *lights) checkLevels() []Violation {
	var bad []Violation
	s, o := l.s, l.o
	told := o.Levels
	wrong := func(by float64, format string, args ...any) {
		bad = append(bad, broken(RuleLevel, by, "%s: "+format, append([]any{o.Label}, args...)...))
	}
	if !told.At.Equal(s.mid()) {
		wrong(told.At.Sub(s.mid()).Minutes(), "levels are of %v, mid-window is %v", told.At, s.mid())
	}
	key, fill, back := s.faces()
	main := l.face(o.Pieces, s.Zone.middle, key, fill, back)
	l.key, l.fill, l.back = main[0], main[1], main[2]
	reference := o.Background.ReferenceLx
	for _, c := range []struct {
		what string
		told float64
		own  estimate
	}{{"key", told.KeyLx, l.key}, {"fill", told.FillLx, l.fill}, {"back", told.BackLx, l.back}} {
		if by := c.own.away(c.told); by > 0 {
			wrong(by, "%s %.1f lx, by rays %.1f ± %.1f lx", c.what, c.told, c.own.lx, c.own.err)
		}
	}
	l.checkStops(wrong, "key_stops", told.KeyStops, told.KeyLx, reference)
	l.checkStops(wrong, "contrast_stops", told.ContrastStops, told.KeyLx, math.Max(told.FillLx, noLightLx))
	if len(told.OtherZones) != len(s.Others) {
		wrong(1, "%d further zones, the shot has %d", len(told.OtherZones), len(s.Others))
		return bad
	}
	for i, z := range s.Others {
		own := l.face(o.Pieces, z.middle, key)[0]
		l.others = append(l.others, own)
		t := told.OtherZones[i]
		if t.Label != z.label {
			wrong(1, "zone %d is %q, the shot's is %q", i+1, t.Label, z.label)
		}
		if by := own.away(t.KeyLx); by > 0 {
			wrong(by, "zone %s: key %.1f lx, by rays %.1f ± %.1f lx", z.label, t.KeyLx, own.lx, own.err)
		}
		l.checkStops(wrong, "zone "+z.label+": key_stops", t.KeyStops, t.KeyLx, reference)
	}
	return bad
}

func (l *lights) checkStops(wrong func(float64, string, ...any), what string, told, lx, reference float64) {
	if off := math.Abs(told - math.Log2(math.Max(lx, noLightLx)/reference)); !(off <= 1e-3) {
		wrong(off, "%s %.4f, of %.1f lx over %.1f lx", what, told, lx, reference)
	}
}

// latticeOf are so many points across, in depth and in height of a zone, corners among them.
func latticeOf(z *Zone, across, deep, high int) []vec {
	var list []vec
	at := func(i, n int) float64 { return float64(i) / float64(n-1) }
	for i := range across {
		for j := range deep {
			for k := range high {
				list = append(list, z.at(2*at(i, across)-1, 2*at(j, deep)-1, at(k, high)))
			}
		}
	}
	return list
}

// spread is by how many stops the key face's level differs over points, and its standard error.
func (l *lights) spread(look *rays.Scene, points []vec) (stops, err float64) {
	key, _, _ := l.s.faces()
	least, most := estimate{lx: math.Inf(1)}, estimate{}
	for _, p := range points {
		r := look.Face(toGeom(p), key)
		e := estimate{math.Max(r.Level.Total(), noLightLx), r.TotalError}
		if e.lx < least.lx {
			least = e
		}
		if e.lx > most.lx {
			most = e
		}
	}
	return math.Log2(most.lx / least.lx), math.Hypot(least.err/least.lx, most.err/most.lx) / math.Ln2
}

// checkSpread holds the spread told of every zone to that over a coarse lattice of other points; where it is told much
// greater, to a fine one, which finds the shadow of a board's edge as well.
func (l *lights) checkSpread() []Violation {
	var bad []Violation
	scene := l.s.lit(l.o.Pieces, l.stock)
	look := rays.Look(&scene, l.n.Lattice, l.seed)
	for i, z := range l.s.zones() {
		told := l.o.Levels.UniformityStops
		if i > 0 {
			if i > len(l.o.Levels.OtherZones) {
				break
			}
			told = l.o.Levels.OtherZones[i-1].UniformityStops
		}
		own, err := l.spread(look, latticeOf(z, 4, 2, 3))
		if own < told-spreadUnderStops-levelErrors*err {
			own, err = l.spread(look, latticeOf(z, 17, 5, 5))
			if own > told {
				own = told // more may be between the points
			}
		}
		if own > unevenStops && told > unevenStops {
			continue
		}
		if own > told+spreadOverStops+levelErrors*err || own < told-spreadUnderStops-levelErrors*err || math.IsNaN(told) {
			bad = append(bad, broken(RuleEven, math.Abs(own-told), "%s: zone %s is told even to %.3f stops, by rays over other points it is to %.3f ± %.3f",
				l.o.Label, z.label, told, own, err))
		}
	}
	return bad
}

// checkTrim holds the table of distances to the plan: nearest first, the plan's own in it.
func (l *lights) checkTrim() []Violation {
	var bad []Violation
	o := l.o
	if len(o.Trim) == 0 {
		return nil
	}
	own := false
	for i, t := range o.Trim {
		if i > 0 && t.DistanceM < o.Trim[i-1].DistanceM {
			bad = append(bad, broken(RuleTrim, o.Trim[i-1].DistanceM-t.DistanceM, "%s: %.3f m after %.3f m", o.Label, t.DistanceM, o.Trim[i-1].DistanceM))
		}
		if off := math.Abs(t.KeyStops - math.Log2(math.Max(t.KeyLx, noLightLx)/o.Background.ReferenceLx)); !(off <= 1e-3) {
			bad = append(bad, broken(RuleTrim, off, "%s: at %.3f m %.1f lx are %.4f stops", o.Label, t.DistanceM, t.KeyLx, t.KeyStops))
		}
		own = own || math.Abs(t.KeyLx-o.Levels.KeyLx) <= 1e-6*o.Levels.KeyLx && math.Abs(t.ContrastStops-o.Levels.ContrastStops) < 1e-6
	}
	if !own {
		bad = append(bad, broken(RuleTrim, 1, "%s: the plan's own distance is not in the table", o.Label))
	}
	return bad
}

// checkEffects takes fills and blacks out: without the fills the fill face is darker, without the blacks it is brighter and
// the contrast less.
func (l *lights) checkEffects() []Violation {
	var bad []Violation
	s, o := l.s, l.o
	key, fill, _ := s.faces()
	without := func(role sizing.Role) (k, f estimate, some bool) {
		rest := slices.DeleteFunc(slices.Clone(o.Pieces), func(p sizing.Piece) bool { return p.Role == role })
		if len(rest) == len(o.Pieces) {
			return k, f, false
		}
		list := l.face(rest, s.Zone.middle, key, fill)
		return list[0], list[1], true
	}
	if _, f, some := without(sizing.RoleFill); some && l.fill.lx <= f.lx {
		bad = append(bad, broken(RuleEffect, f.lx-l.fill.lx, "%s: with the fill the fill face has %.1f lx, without %.1f lx", o.Label, l.fill.lx, f.lx))
	}
	if k, f, some := without(sizing.RoleBlack); some {
		if l.fill.lx >= f.lx {
			bad = append(bad, broken(RuleEffect, l.fill.lx-f.lx, "%s: with the black the fill face has %.1f lx, without %.1f lx", o.Label, l.fill.lx, f.lx))
		}
		if with, bare := l.key.lx/l.fill.lx, k.lx/f.lx; with <= bare {
			bad = append(bad, broken(RuleEffect, math.Log2(bare/with), "%s: with the black the contrast is %.3f stops, without %.3f", o.Label, math.Log2(with), math.Log2(bare)))
		}
	}
	return bad
}

// miss is one thing that the look asks and by how many stops an option misses it.
type miss struct {
	what string
	// by is over 0 where it is missed for certain, under 0 where it is kept for certain, 0 where it is too near to say.
	by float64
	// words, one of which a note must have that tells of it.
	words []string
}

// missed is a level against what is asked: beyond a third of a stop for certain, within, or too near to say.
func missed(what string, own estimate, reference, asked float64, words ...string) miss {
	stops, tol := own.stops(reference)
	off := math.Abs(stops - asked)
	m := miss{what: what, words: words}
	if off > thirdStop+tol {
		m.by = off - thirdStop
	} else if off < thirdStop-tol {
		m.by = off - thirdStop
	}
	return m
}

// misses holds an option to all that the look asks.
func (l *lights) misses() []miss {
	look, reference := l.s.Shot.Look, l.o.Background.ReferenceLx
	list := []miss{missed("key", l.key, reference, look.KeyStops, "asked")}
	contrast := l.key
	contrast.err = l.key.lx * math.Hypot(l.key.err/math.Max(l.key.lx, noLightLx), l.fill.err/math.Max(l.fill.lx, noLightLx))
	list = append(list, missed("contrast", contrast, math.Max(l.fill.lx, noLightLx), look.ContrastStops, "ontrast"))
	if look.BackStops != nil {
		list = append(list, missed("back", l.back, reference, *look.BackStops, "air and shoulders"))
	}
	for i, e := range l.others {
		list = append(list, missed("zone "+l.s.Others[i].label, e, reference, l.s.Shot.OtherZones[i].KeyStops, l.s.Others[i].label))
	}
	net := miss{what: "net", by: -1, words: []string{"net "}}
	if look.NetStops > thirdStop+stopsTol && !slices.ContainsFunc(l.o.Pieces, func(p sizing.Piece) bool { return p.Role == sizing.RoleNet }) {
		net.by = 1
	}
	soft := miss{what: "softening", by: -1, words: []string{"oftening"}}
	if look.Soften != sizing.SoftenOff {
		for _, src := range l.s.softened() {
			stopped := slices.ContainsFunc(softeners(l.o), func(p sizing.Piece) bool { return slices.Contains(p.Covers, src.Label) })
			switch {
			case stopped:
			case src.Doubtful:
				soft.by = math.Max(soft.by, 0)
			default:
				soft.by = 1
			}
		}
	}
	return append(list, net, soft)
}

// checkServes holds an option to what it says it does: all that the look asks, or not, with a note of what it misses or
// one that there is nothing to match.
func (l *lights) checkServes() []Violation {
	var bad []Violation
	all := true
	notes := strings.ToLower(strings.Join(l.o.Notes, "\n"))
	dark := strings.Contains(notes, "no light on the background")
	for _, m := range l.misses() {
		all = all && m.by < 0
		if !(m.by > 0) {
			continue
		}
		if l.o.Serves {
			bad = append(bad, broken(RuleServes, m.by, "%s is said to serve; by rays it misses the %s by %.3f stops more than a third", l.o.Label, m.what, m.by))
		}
		if !dark && !slices.ContainsFunc(m.words, func(w string) bool { return strings.Contains(notes, strings.ToLower(w)) }) {
			bad = append(bad, broken(RuleServes, m.by, "%s misses the %s and no note says so", l.o.Label, m.what))
		}
	}
	if all && !l.o.Serves {
		bad = append(bad, broken(RuleServes, 1, "%s does all that the look asks and is said not to: %q", l.o.Label, l.o.Notes))
	}
	return bad
}
