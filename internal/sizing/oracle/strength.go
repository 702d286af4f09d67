package oracle

import (
	"fmt"
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// The least that a weaker cloth, or a piece on the fill side, brings, and how much of that what is lit later and rounding may take: a
// piece is set where it brings what is asked with all that stood by then.
const (
	leastGainStops = 1.0 / 6
	gainTolStops   = 0.06
	// preferredStops is how far off a back may be that is only preferred.
	preferredStops = 1.0
	// passShare is the most of the light on key and fill face that may pass the frame straight, and passDoubt how near to it a cloth
	// may be for it or against.
	passShare = 1.0 / 8
	passDoubt = 0.1
)

// checkStrength hangs every other diffusion of the house that fits an option's one frame in its place, nothing else up but a net, and
// holds the cloth chosen to be about as near to the back and the contrast asked as any.
func (l *lights) checkStrength() []Violation {
	look := l.s.Shot.Look
	frames := softeners(l.o)
	if look.BackStops == nil || len(frames) != 1 || len(l.s.softened()) != 1 || has[finding.DarkBackground](&l.o) {
		return nil // of several each is chosen with the others as they hang
	}
	var bare []sizing.Piece
	for _, p := range l.o.Pieces {
		if softens(p.Role) || p.Role == finding.RoleNet {
			bare = append(bare, p)
		}
	}
	at := slices.IndexFunc(bare, func(p sizing.Piece) bool { return softens(p.Role) })
	chosen, tol, soft := l.offLook(bare)
	if soft > 1+passDoubt && l.weakened(frames[0]) {
		return []Violation{broken(RuleStrength, soft-1, "%s: %.2f times as much of the sun as may passes %s straight onto a face", l.o.Label, soft, clothOf(frames[0]))}
	}
	var bad []Violation
	for _, item := range l.fitting(frames[0]) {
		if item.SKU == clothOf(frames[0]) {
			continue
		}
		hung := slices.Clone(bare)
		hung[at].Items = slices.Clone(hung[at].Items)
		for i, n := range hung[at].Items {
			if n.SKU == clothOf(frames[0]) {
				hung[at].Items[i].SKU = item.SKU
			}
		}
		hung[at].Face = item.Spec.(*catalog.Fabric).FaceA
		off, offTol, soft := l.offLook(hung)
		if soft > 1-passDoubt {
			continue
		}
		if by := chosen - off - leastGainStops - tol - offTol; by > 0 && l.lighter(item, frames[0]) {
			bad = append(bad, broken(RuleStrength, by, "%s: hung with %s back and contrast are off by %.2f stops, with %s by %.2f", l.o.Label, clothOf(frames[0]), chosen, item.SKU, off))
		}
	}
	return bad
}

// offLook is by how many stops back and contrast are off beyond what may be, how far off that is, and how much of what may pass straight
// onto a face does.
func (l *lights) offLook(pieces []sizing.Piece) (off, tol, soft float64) {
	look, reference := l.s.Shot.Look, l.o.Background.ReferenceLx
	key, fill, back := faces(l.s)
	list := l.face(pieces, l.s.Zone.middle, key, fill, back)
	may := thirdStop
	if look.Back == shot.BackPreferred {
		may = preferredStops
	}
	wanted := math.Max(list[0].lx, reference*math.Exp2(look.KeyStops))
	behind, _ := list[2].stops(reference)
	dark, _ := list[1].stops(reference)
	contrast := math.Log2(wanted/reference) - dark
	off = math.Max(0, math.Abs(behind-*look.BackStops)-may) + math.Max(0, math.Abs(contrast-look.ContrastStops)-thirdStop)
	for _, p := range pieces {
		found, _ := partsOf(p, l.stock)
		if !softens(p.Role) || found.fabric == nil {
			continue
		}
		for _, src := range l.s.softened() {
			for i, face := range []vec{fromGeom(key), fromGeom(fill)} {
				for _, m := range src.Moments {
					straight := found.fabric.Transmittance * found.fabric.BeamShare * l.midLux(src.Label) * math.Max(0, face.dot(m.Toward))
					soft = math.Max(soft, straight/(passShare*math.Max(list[i].lx, noLightLx)))
				}
			}
		}
	}
	return off, list[2].errStops() + list[1].errStops() + gainTolStops/2, soft
}

// midLux is what a source gives in mid-window, facing it.
func (l *lights) midLux(label string) float64 {
	for _, h := range l.s.hardAt(l.s.mid()) {
		if h.label == label {
			return h.lux
		}
	}
	return 0
}

// fitting lists the diffusions of the house that fit a piece's frame and that it can spare.
func (l *lights) fitting(p sizing.Piece) (list []*catalog.Item) {
	found, _ := partsOf(p, l.stock)
	items := l.stock.Items()
	for i := range items {
		c, ok := items[i].Spec.(*catalog.Fabric)
		if !ok || c.Use != catalog.UseDiffusion || items[i].Owned < 1 || len(items[i].Rates) == 0 {
			continue
		}
		same := func(a, b float64) bool { return math.Abs(a-b) <= fitTolM }
		f := found.frame
		if same(c.FitsWidthM, f.OpeningWidthM) && same(c.FitsHeightM, f.OpeningHeightM) || same(c.FitsWidthM, f.OpeningHeightM) && same(c.FitsHeightM, f.OpeningWidthM) {
			list = append(list, &items[i])
		}
	}
	return list
}

// fitTolM is how far a cloth's size may be off the opening that it surely fits.
const fitTolM = 0.004

func clothOf(p sizing.Piece) string { return p.Items[1].SKU }

// weakened reports whether a frame hangs with another cloth than its strongest.
func (l *lights) weakened(p sizing.Piece) bool {
	own := l.stock.Item(clothOf(p)).Spec.(*catalog.Fabric)
	return slices.ContainsFunc(l.fitting(p), func(o *catalog.Item) bool { return o.Spec.(*catalog.Fabric).BeamShare < own.BeamShare })
}

// lighter reports whether a frame surely holds with another cloth as it does with its own: that is no lighter, so that the wind lifts it no
// sooner, or the frame is hung with a still lighter one. A lighter cloth may be left for what it does to the statics.
func (l *lights) lighter(item *catalog.Item, p sizing.Piece) bool {
	return item.MassKg >= l.stock.Item(clothOf(p)).MassKg || p.Hold.GoesAtMS > 1.05*l.s.Shot.GustMS*math.Sqrt(l.s.Shot.SafetyFactor)
}

// checkGains takes each fill and each black out, and all of a role together: one piece is to bring a sixth of a stop of contrast, where the
// others stand and where they do not.
func (l *lights) checkGains() []Violation {
	var bad []Violation
	key, fill, _ := faces(l.s)
	with, withTol := contrastOf(l.key, l.fill)
	hold := func(what string, rest []sizing.Piece, least float64) {
		list := l.face(rest, l.s.Zone.middle, key, fill)
		without, tol := contrastOf(list[0], list[1])
		if gain := math.Abs(with - without); gain < least-gainTolStops-withTol-tol {
			bad = append(bad, broken(RuleGain, least-gain, "%s: without %s the contrast changes by %.3f stops", l.o.Label, what, gain))
		}
	}
	for _, role := range []finding.Role{finding.RoleFill, finding.RoleBlack} {
		one := func(p sizing.Piece) bool { return p.Role == role && p.Serves == shot.MainLabel }
		rest := slices.DeleteFunc(slices.Clone(l.o.Pieces), one)
		n := len(l.o.Pieces) - len(rest)
		if n == 0 {
			continue
		}
		hold(fmt.Sprintf("%d of %s", n, role), rest, leastGainStops)
		for i := range l.o.Pieces {
			if n > 1 && one(l.o.Pieces[i]) {
				hold(fmt.Sprintf("a %s of %d", role, n), slices.Concat(l.o.Pieces[:i], l.o.Pieces[i+1:]), leastGainStops)
			}
		}
	}
	return bad
}

// contrastOf is a contrast in stops and its standard error: two of the same rays differ by less.
func contrastOf(key, fill estimate) (stops, tol float64) {
	k, _ := key.stops(1)
	f, _ := fill.stops(1)
	return k - f, key.errStops() + fill.errStops()
}

func (e estimate) errStops() float64 { return math.Log2(1 + e.err/math.Max(e.lx, noLightLx)) }
