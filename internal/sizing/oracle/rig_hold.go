package oracle

import (
	"crypto/sha256"
	"fmt"
	"math"
	"slices"
	"sync"

	"kitspan/internal/catalog"
	"kitspan/internal/rigging"
	statics "kitspan/internal/rigging/oracle"
	"kitspan/internal/sizing"
)

// CheckHold holds what the wind does to a piece, and up to which gust it says it stands, to the same worked out from its
// corners, its supports and what holds them.
func CheckHold(s *Scene, p sizing.Piece, stock *catalog.Snapshot) []Violation {
	if len(p.HeldBy) > 0 {
		return checkHeldByHand(s, p, stock)
	}
	r, ok := rig(s, p, stock)
	if !ok {
		return []Violation{broken(RuleWind, 1, "%s: what holds it is not to be read: %v, lines %v", p.Role, p.Supports, p.Lines)}
	}
	bad := r.checkForce(s.Shot.GustMS)
	bad = append(bad, r.checkShares()...)
	bad = append(bad, r.checkGusts()...)
	bad = append(bad, r.checkFirst()...)
	bad = append(bad, r.checkBallast(s.Shot, stock)...)
	return append(bad, r.checkRopes(s)...)
}

// lowerShare is of the gust at which a piece goes, when it is to be down, and watchShare of that, when somebody watches (the event
// guide of Cardiff council: 80 % and 60 % of the limit).
const lowerShare, watchShare = 0.8, 0.75

// setLimit is a gust that somebody allows, whatever the balance says.
type setLimit struct {
	gustMS  float64
	governs rigging.Governs
	support int
}

// limits are those of the house and of the machines' makers.
func (r *rigged) limits() (list []setLimit) {
	if r.houseLimitMS > 0 {
		list = append(list, setLimit{r.houseLimitMS, rigging.GovernsHouseLimit, -1})
	}
	for i, m := range r.masts {
		if m.isMachine {
			list = append(list, setLimit{machineGustMS, rigging.GovernsSupport, i})
		}
	}
	return list
}

// checkShares holds the gusts told to each other: when to lower it is the least of the safe one, of four fifths of the one at which it
// goes, and of what the house and the makers allow, and it is watched from three quarters of that.
func (r *rigged) checkShares() []Violation {
	var bad []Violation
	h, role := r.piece.Hold, r.piece.Role
	wrong := func(by float64, format string, args ...any) {
		bad = append(bad, broken(RuleGust, by, "%s: "+format, append([]any{role}, args...)...))
	}
	lower := r.bearsMS()
	var set []setLimit
	for _, l := range r.limits() {
		if l.gustMS < lower*(1+sameShare) {
			set = append(set, l)
		}
	}
	for _, l := range set {
		lower = math.Min(lower, l.gustMS)
	}
	if !alike(h.LowerAtMS, lower) {
		wrong(math.Abs(h.LowerAtMS-lower), "lower at %.6f m/s as told, %.6f m/s by safe to %.6f, goes at %.6f and %v", h.LowerAtMS, lower, h.SafeToMS, h.GoesAtMS, set)
	}
	if watch := watchShare * lower; !alike(h.WatchAtMS, watch) {
		wrong(math.Abs(h.WatchAtMS-watch), "watch at %.6f m/s as told, %.6f m/s found", h.WatchAtMS, watch)
	}
	if !(h.SafeToMS >= 0 && h.SafeToMS <= h.GoesAtMS*(1+sameShare) && h.GoesAtMS <= mostGustMS) {
		wrong(1, "safe to %.6f m/s, goes at %.6f m/s", h.SafeToMS, h.GoesAtMS)
	}
	if lower < r.bearsMS()*(1-sameShare) {
		named := slices.ContainsFunc(set, func(l setLimit) bool {
			return l.governs == h.Governs && l.support == h.Support && l.gustMS <= lower*(1+sameShare)
		})
		if !named {
			wrong(1, "%s of support %d says when to lower it as told, %v do", h.Governs, h.Support, set)
		}
	}
	return bad
}

// bearsMS is up to which gust it may be up by what it tells of its balance, but for limits that somebody sets.
func (r *rigged) bearsMS() float64 {
	return math.Min(r.piece.Hold.SafeToMS, lowerShare*r.piece.Hold.GoesAtMS)
}

const (
	// nearShare is how far the second way of finding a balance may be off: cones whose sides lie otherwise differ by up to 0.5 % in
	// force, and where an arm twists a stand, the ratio by which that counts is searched for.
	nearShare, nearArmShare = 0.015, 0.02
	// lostShare is by how much more a rig may stand than is told where the frame can twist its stands: the engine's search for that ratio
	// takes it on the careful side, and finds the best of it by no means always.
	lostShare = 0.25
	// nearMS is the same near no wind at all.
	nearMS = 0.05
	// casesOneIn is one of how many cases is looked at on several stands or with ropes, other ones of each piece.
	casesOneIn = 16
)

// near returns by how much less and more than what is told the second way may find.
func (r *rigged) near() (less, more float64) {
	switch n := len(r.masts); {
	case !slices.ContainsFunc(r.masts, func(m mast) bool { return m.sp.Arm != nil }):
		// Ears at two heights twist stands as well.
		if n == 2 && math.Abs(r.masts[0].sp.HeightM-r.masts[1].sp.HeightM) > levelTolM {
			return nearArmShare, lostShare
		}
		return nearShare, nearShare
	case n == 1 && len(r.ropes) == 0: // nothing is searched for
		return nearArmShare, nearArmShare
	}
	return nearArmShare, lostShare
}

// checkGusts holds the gusts up to which it is safe and stands to the balance of the whole rig: a little under them it stands and
// a little over it does not.
func (r *rigged) checkGusts() []Violation {
	var bad []Violation
	h := r.piece.Hold
	less, more := r.near()
	wrong := func(format string, args ...any) {
		bad = append(bad, broken(RuleGust, 1, "%s: "+format, append([]any{r.piece.Role}, args...)...))
	}
	under := func(gust float64) float64 { return math.Min(gust*(1-less), math.Max(0, gust-nearMS)) }
	over := func(gust, share float64) float64 { return math.Max(gust*(1+share), gust+nearMS) }
	if h.GoesAtMS == 0 {
		// It may not stand in calm air.
		if r.fails(nearMS, r.safety) == statics.None {
			wrong("stands in no wind as told, in %.2f m/s as found", nearMS)
		}
		return bad
	}
	first := statics.None
	if h.SafeToMS < mostGustMS/(1+more) {
		first = r.fails(over(h.SafeToMS, less), r.safety)
		if first == statics.None && (less == more || r.fails(over(h.SafeToMS, more), r.safety) == statics.None) {
			wrong("safe to %.4f m/s as told, to %.4f m/s as found", h.SafeToMS, over(h.SafeToMS, more))
		}
	}
	// Without the factor every limit is as tight as with it at the same factored pressure, or tighter: what fails with it fails without it,
	// and what stands without it stands with it, but for still air.
	byFactor := math.Abs(h.SafeToMS-h.GoesAtMS/math.Sqrt(r.safety)) <= 1e-3*h.GoesAtMS && r.safety > 1
	if !byFactor && h.GoesAtMS < mostGustMS/(1+more) && r.fails(over(h.GoesAtMS, more), 1) == statics.None {
		wrong("goes at %.4f m/s as told, stands in %.4f m/s as found", h.GoesAtMS, over(h.GoesAtMS, more))
	}
	if !r.stands(under(h.GoesAtMS), 1, first) {
		wrong("goes at %.4f m/s as told, and in %.4f m/s as found", h.GoesAtMS, under(h.GoesAtMS))
	}
	switch {
	case h.SafeToMS == 0:
	case !r.calm():
		wrong("safe to %.4f m/s as told, in still air as found", h.SafeToMS)
	case !byFactor && !r.stands(under(h.SafeToMS), r.safety, first):
		wrong("safe to %.4f m/s as told, not to %.4f m/s as found", h.SafeToMS, under(h.SafeToMS))
	}
	return bad
}

// known keeps what the balance of a rig was found to be: the same piece stands in several options.
var known sync.Map

// remembered is of, worked out once for a structure under a question.
func (r *rigged) remembered(of func() float64, question ...any) float64 {
	key := sha256.Sum256(fmt.Append(nil, r.rig, r.ballastKg(), question))
	once, _ := known.LoadOrStore(key, sync.OnceValue(of))
	return once.(func() float64)()
}

func toNumber(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

// calm reports whether the rig stands in still air with its factor.
func (r *rigged) calm() bool {
	return r.remembered(func() float64 { return toNumber(statics.StandsCalm(&r.rig, r.ballastKg(), r.safety)) }, "calm") > 0
}

// stands reports whether the rig stands up to a gust, with a factor: on several stands in a given case and in a part of the others.
func (r *rigged) stands(gustMS, factor float64, given statics.Case) bool {
	return r.remembered(func() float64 {
		oneIn := 1
		if len(r.masts)+len(r.ropes) > 1 && !Full() {
			oneIn = casesOneIn
		}
		return toNumber(statics.StandsPartly(&r.rig, r.ballastKg(), gustMS, factor, given, oneIn, int(r.lot()%casesOneIn)))
	}, "stands", gustMS, factor, given) > 0
}

// lot is a number as good as at random, and always the same for a piece.
func (r *rigged) lot() uint64 {
	return math.Float64bits(r.rig.Frame.Center.X+r.rig.Frame.Center.Z) >> 8
}

// fails is a case in which the rig does not stand in a gust, with a factor.
func (r *rigged) fails(gustMS, factor float64) statics.Case {
	return statics.Case(r.remembered(func() float64 { return float64(statics.Fails(&r.rig, r.ballastKg(), gustMS, factor)) }, "fails", gustMS, factor))
}

// holdsAt reports whether the rig may be up in a gust.
func (r *rigged) holdsAt(gustMS float64) bool {
	return r.calm() && r.fails(gustMS, r.safety) == statics.None && r.fails(gustMS/lowerShare, 1) == statics.None
}

// checkFirst holds what goes first: a word that can be, of what is there. A single stand without ropes has one thing that goes first, and
// goes at the same gust whatever the others bear.
func (r *rigged) checkFirst() []Violation {
	h := r.piece.Hold
	wrong := func(format string, args ...any) []Violation {
		return []Violation{broken(RuleGust, 1, "%s: %s of support %d goes first as told: "+format, append([]any{r.piece.Role, h.Governs, h.Support}, args...)...)}
	}
	if h.LowerAtMS < r.bearsMS()*(1-sameShare) {
		return nil // what somebody allows, see checkShares
	}
	switch h.Governs {
	case rigging.GovernsOverturning, rigging.GovernsSliding, rigging.GovernsSupport:
		if h.Support < 0 && h.GoesAtMS > 0 || h.Support >= len(r.masts) {
			return wrong("there is none")
		}
	case rigging.GovernsLine, rigging.GovernsAnchor:
		if len(r.ropes) == 0 || h.Support != -1 {
			return wrong("with %d ropes", len(r.ropes))
		}
		return nil
	case rigging.GovernsNone:
		if h.GoesAtMS < mostGustMS*(1-nearShare) {
			return wrong("goes at %.4f m/s", h.GoesAtMS)
		}
		return nil
	default:
		return wrong("nothing of the kind is in the balance")
	}
	_, more := r.near()
	if len(r.masts) > 1 || len(r.ropes) > 0 || h.GoesAtMS == 0 || h.GoesAtMS >= mostGustMS/(1+more) {
		return nil
	}
	// More than enough of the rest: of what keeps it from tipping by more legs, so that it is turned on its feet as easily as before.
	ample := *r
	ample.rig.Stands = slices.Clone(r.rig.Stands)
	st := &ample.rig.Stands[0]
	if h.Governs != rigging.GovernsOverturning {
		const legs = 24
		st.FootprintM *= math.Sin(math.Pi/float64(st.Legs)) / math.Sin(math.Pi/legs)
		st.Legs = legs
	}
	if h.Governs != rigging.GovernsSliding {
		ample.rig.Friction = 10
	}
	if h.Governs != rigging.GovernsSupport {
		st.SafeLoadKg *= 100
	}
	if over := math.Max(h.GoesAtMS*(1+more), h.GoesAtMS+nearMS); ample.fails(over, 1) == statics.None {
		return wrong("with more than enough of the rest it stands %.4f m/s", over)
	}
	return nil
}
