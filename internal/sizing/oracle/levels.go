package oracle

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
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

// estimate is a level in lux, and by how many mired its light is warmer than the sun, with their standard errors.
type estimate struct{ lx, err, mired, miredErr float64 }

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

// Where a lamp at a position is nearer to a sheet than nearLampM, that is lit unevenly, and what it glows with may be off by unevenShare:
// as the documentation of the light says.
const nearLampM, unevenShare = 1.2, 0.1

// unevenly reports whether a lamp at a position is so near to an overhead or side.
func (l *lights) unevenly() bool {
	for _, p := range softeners(l.o) {
		found, _ := partsOf(p, l.stock)
		if found.frame == nil {
			continue
		}
		pl := plateOf(p, found.frame)
		for i := range l.s.Shot.Lamps {
			at := l.s.Shot.Lamps[i].Position
			if at == nil {
				continue
			}
			to := fromGeom(*at).minus(pl.centre)
			far := func(along, half float64) float64 { return math.Max(0, math.Abs(along)-half) }
			d := vec{far(to.dot(pl.e1), pl.half1), far(to.dot(pl.e2), pl.half2), to.dot(pl.normal)}
			if d.length() < nearLampM {
				return true
			}
		}
	}
	return false
}

// face estimates the light on a face with some pieces up.
func (l *lights) face(pieces []sizing.Piece, at vec, ways ...geom.Vec) []estimate {
	scene := lit(l.s, pieces, l.stock)
	look := rays.Look(&scene, l.n.Face, l.seed)
	var list []estimate
	for _, n := range ways {
		r := look.Face(toGeom(at), n)
		list = append(list, estimate{r.Level.Total(), r.TotalError, r.ShiftMired, r.ShiftError})
	}
	return list
}

// CheckLight holds the levels of an answer's options to those that rays find, and what options say that they do to it.
// The same seed throws the same rays.
func CheckLight(res sizing.Result, stock *catalog.Snapshot, n Rays, seed uint64) []Violation {
	var bad []Violation
	for _, whole := range res.Options {
		for k := range whole.Parts() {
			o := whole.Part(k)
			l := &lights{s: SceneFor(res.Shot, &o), o: o, stock: stock, n: n, seed: seed}
			found := l.check()
			if len(found) > 0 && n.Again > 0 {
				again := &lights{s: l.s, o: o, stock: stock, n: Rays{Face: n.Again * n.Face, Lattice: n.Again * n.Lattice}, seed: seed + 1}
				found = again.check()
			}
			bad = append(bad, found...)
		}
	}
	return bad
}

func (l *lights) check() []Violation {
	bad := l.checkLevels()
	bad = append(bad, l.checkSpread()...)
	bad = append(bad, l.checkSoftness()...)
	bad = append(bad, l.checkColour()...)
	bad = append(bad, l.checkTrim()...)
	bad = append(bad, l.checkReaim()...)
	bad = append(bad, l.checkEffects()...)
	bad = append(bad, l.checkStrength()...)
	bad = append(bad, l.checkGains()...)
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
	key, fill, back := faces(s)
	main := l.face(o.Pieces, s.Zone.middle, key, fill, back)
	if l.unevenly() {
		for i := range main {
			main[i].err += unevenShare / levelErrors * main[i].lx
		}
	}
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
	key, fill, _ := faces(s)
	without := func(role finding.Role) (k, f estimate, some bool) {
		rest := slices.DeleteFunc(slices.Clone(o.Pieces), func(p sizing.Piece) bool { return p.Role == role })
		if len(rest) == len(o.Pieces) {
			return k, f, false
		}
		list := l.face(rest, s.Zone.middle, key, fill)
		return list[0], list[1], true
	}
	if _, f, some := without(finding.RoleFill); some && l.fill.lx <= f.lx {
		bad = append(bad, broken(RuleEffect, f.lx-l.fill.lx, "%s: with the fill the fill face has %.1f lx, without %.1f lx", o.Label, l.fill.lx, f.lx))
	}
	if k, f, some := without(finding.RoleBlack); some {
		if l.fill.lx >= f.lx {
			bad = append(bad, broken(RuleEffect, l.fill.lx-f.lx, "%s: with the black the fill face has %.1f lx, without %.1f lx", o.Label, l.fill.lx, f.lx))
		}
		if with, bare := l.key.lx/l.fill.lx, k.lx/f.lx; with <= bare {
			bad = append(bad, broken(RuleEffect, math.Log2(bare/with), "%s: with the black the contrast is %.3f stops, without %.3f", o.Label, math.Log2(with), math.Log2(bare)))
		}
	}
	return bad
}
