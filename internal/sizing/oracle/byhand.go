package oracle

import (
	"math"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// What people do who hold a frame: common practice, no source, but for the pull (7 kgf, HSE, to keep a load moving, women) and the lift
// (7 kg at shoulder height close to the body, HSE's filter for women, from memory).
const (
	holders                 = 2
	holdSideM               = 2.0 // the longest side, outer
	holdGustMS              = 5.0
	holdMinutes             = 10
	holdFromM, holdToM      = 0.9, 2.2
	armM, bodyRadiusM       = 0.4, 0.25
	headTopM                = 1.9
	pullKgf, raisedKg       = 7.0, 7.0
	wayStepM                = 0.05
	clearanceGivenAwayM     = 0.3 // by which a person may be told nearer to the view than they are
	bodySides, bodyHeightsN = 24, 12
)

// alongWay are places of the way, ends included, as shifts from its middle; nothing but that where nothing is carried along.
func (s *Scene) alongWay() []vec {
	if !s.carried || s.way.length() == 0 {
		return []vec{{}}
	}
	n := 2 * int(math.Ceil(s.way.length()/wayStepM))
	var out []vec
	for i := range n + 1 {
		out = append(out, s.way.times(2*float64(i)/float64(n)-1))
	}
	return out
}

// moved returns a plate moved by a vector.
func (p plate) moved(by vec) plate {
	p.centre = p.centre.plus(by)
	return p
}

// CheckByHand holds a frame that people hold to what they can: a small one, one of them at each of two sides, off everybody, and all of it
// out of the picture wherever it is carried.
func CheckByHand(s *Scene, p sizing.Piece, pl plate, found parts) []Violation {
	var bad []Violation
	wrong := func(by float64, format string, args ...any) {
		bad = append(bad, broken(RuleByHand, by, format, args...))
	}
	f := found.frame
	if side := math.Max(f.OuterWidthM, f.OuterHeightM); side > holdSideM+1e-9 {
		wrong(side-holdSideM, "a frame of %.3f m is held by hand", side)
	}
	if found.massKg > holders*raisedKg {
		wrong(found.massKg-holders*raisedKg, "%.2f kg are held by hand", found.massKg)
	}
	if len(p.HeldBy) != holders || len(p.Supports)+len(p.Lines) > 0 {
		wrong(1, "%d people hold it, with %d stands and %d ropes", len(p.HeldBy), len(p.Supports), len(p.Lines))
		return bad
	}
	hands := []vec{fromGeom(p.HeldBy[0].Holds), fromGeom(p.HeldBy[1].Holds)}
	gap := math.Inf(1)
	for _, ends := range attachments(pl, holders) {
		gap = math.Min(gap, worstHold(ends, hands))
	}
	if gap > placeTolM {
		wrong(gap, "a hand is %.4f m from the middle of a side", gap)
	}
	least := math.Inf(1)
	for _, on := range s.alongWay() {
		c := pl.moved(on).corner(-1, -1, true)
		least = math.Min(least, s.View.leastOnPlate(c, pl.e1.times(2*pl.outer1), pl.e2.times(2*pl.outer2)))
	}
	for i, h := range p.HeldBy {
		at, hand := fromGeom(h.Stands), hands[i]
		if hand.z < holdFromM-placeTolM || hand.z > holdToM+placeTolM {
			wrong(math.Max(holdFromM-hand.z, hand.z-holdToM), "hands %.3f m up", hand.z)
		}
		if far := at.far(vec{hand.x, hand.y, 0}); far > armM+placeTolM || at.z != 0 {
			wrong(far, "a person stands %.3f m from the side, %.3f m up", far, at.z)
		}
		if out := s.Zone.beyond(at); out < bodyRadiusM-placeTolM {
			wrong(bodyRadiusM-out, "a person stands %.3f m from the people", out)
		}
		top := at
		top.z = math.Max(headTopM, hand.z)
		if pl.cutBy(at, top) {
			wrong(1, "a person stands in the frame")
		}
		for _, on := range s.alongWay() {
			if off := s.View.offCamera(at.plus(on), bodyRadiusM); off < -placeTolM {
				wrong(-off, "a person comes within %.3f m of the camera or its operator", -off)
			}
			for k := range s.Others {
				if out := s.Others[k].beyond(at.plus(on)); out < bodyRadiusM-placeTolM {
					wrong(bodyRadiusM-out, "a person comes %.3f m near to zone %s", out, s.Others[k].label)
				}
			}
			for n := range bodySides * bodyHeightsN { // the skin of a body
				turn := 2 * math.Pi * float64(n%bodySides) / bodySides
				skin := at.plus(on).plus(vec{math.Cos(turn), math.Sin(turn), 0}.times(bodyRadiusM))
				skin.z = top.z * float64(n/bodySides) / (bodyHeightsN - 1)
				if d, ok := s.View.clear(skin); ok {
					least = math.Min(least, d)
				}
			}
			least = math.Min(least, s.View.leastOnSegment(top.plus(on), hand.plus(on)))
		}
	}
	if want := s.Shot.Allowance.ViewM; least < want-placeTolM {
		bad = append(bad, broken(RuleInView, want-least, "%s: what is held, or who holds it, is %.4f m from the view on its way, wanted %.4f m", p.Role, least, want))
	}
	if told := p.ViewClearanceM; least < behindM && (told > least+clearanceTolM || told < least-clearanceGivenAwayM) {
		bad = append(bad, broken(RuleClearance, math.Abs(told-least), "%s tells a clearance of %.4f m on its way, found %.4f m", p.Role, told, least))
	}
	return bad
}

// checkHeldByHand holds what the wind does to a piece in people's hands: they pull against all of it, with the safety factor, and hold
// nothing in more than they agree on.
func checkHeldByHand(s *Scene, p sizing.Piece, stock *catalog.Snapshot) []Violation {
	found, bad := partsOf(p, stock)
	if !found.fit(p.Role) || found.frame == nil {
		return bad
	}
	r := rigged{piece: p, found: found, solidity: 1, safety: s.Shot.SafetyFactor, sheet: plateIn(p, found)}
	r.areaM2 = 4 * r.sheet.outer1 * r.sheet.outer2
	r.tiltDeg = math.Acos(math.Min(1, math.Abs(r.sheet.normal.z))) * 180 / math.Pi
	bad = append(bad, r.checkForce(s.Shot.GustMS)...)
	perPa := r.coefficient() * r.catalogueM2()
	pullN := float64(len(p.HeldBy)) * pullKgf * gravityMS2
	gust := func(n float64) float64 { return math.Min(mostGustMS, math.Sqrt(2*n/perPa/airKgM3)) }
	h := p.Hold
	safe, goes := gust(pullN/s.Shot.SafetyFactor), gust(pullN)
	lower := math.Min(holdGustMS, math.Min(safe, lowerShare*goes))
	const nearly = 1e-3 // corners are printed to a tenth of a millimetre
	for _, c := range []struct {
		what       string
		told, want float64
	}{{"safe to", h.SafeToMS, safe}, {"goes at", h.GoesAtMS, goes}, {"lower at", h.LowerAtMS, lower}, {"watch from", h.WatchAtMS, watchShare * lower}} {
		if math.Abs(c.told-c.want) > nearly*math.Max(1, c.want) {
			bad = append(bad, broken(RuleGust, math.Abs(c.told-c.want), "%s in people's hands: %s %.4f m/s told, %.4f m/s found", p.Role, c.what, c.told, c.want))
		}
	}
	return bad
}

// checkHandHeld holds an option of a frame that is held to its window and its wind, to a note of both, and to nothing that would be right in
// one place alone of a way.
func checkHandHeld(s *Scene, o *sizing.Option) []Violation {
	var bad []Violation
	frames := softeners(*o)
	if len(frames) != 1 || len(frames[0].HeldBy) == 0 {
		return []Violation{broken(RuleByHand, 1, "%s has %d overheads and sides, one is to be held", o.Label, len(frames))}
	}
	p := &frames[0]
	if s.To.Sub(s.From) > holdMinutes*time.Minute || p.Hold.LowerAtMS < s.Shot.GustMS {
		bad = append(bad, broken(RuleByHand, 1, "held for %s in gusts of %.1f m/s, up to %.2f m/s", s.To.Sub(s.From), s.Shot.GustMS, p.Hold.LowerAtMS))
	}
	carried := s.way.length() > 0
	if !noted(o, func(n finding.HandHeld) bool {
		return n.People == len(p.HeldBy) && n.Minutes == holdMinutes && n.UpToMS == p.Hold.LowerAtMS && n.Carried == carried
	}) {
		bad = append(bad, broken(RuleByHand, 1, "no note says who holds it, for how long and up to which gust: %q", o.Notes))
	}
	if carried && len(o.Pieces) > 1 {
		bad = append(bad, broken(RuleByHand, float64(len(o.Pieces)-1), "%d pieces stand where people walk away from them", len(o.Pieces)-1))
	}
	return bad
}
