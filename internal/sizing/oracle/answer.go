package oracle

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// CheckPiece holds one piece to every rule of a piece that stands by itself: an overhead or side to its cover, any piece
// to its place, its view, its supports.
func CheckPiece(s *Scene, p sizing.Piece, stock *catalog.Snapshot, rng *rand.Rand) []Violation {
	found, bad := partsOf(p, stock)
	if !found.fit(p.Role) {
		return bad
	}
	bad = append(bad, checkCameraRoom(s, p)...)
	if !softens(p.Role) {
		return append(bad, checkShaper(s, p, found, stock)...)
	}
	bad = append(bad, CheckFrame(s, p, found.frame)...)
	pl := plateOf(p, found.frame)
	bad = append(bad, CheckCover(s, p, pl, rng)...)
	bad = append(bad, CheckHead(s, p, pl)...)
	if len(p.HeldBy) > 0 {
		return append(append(bad, CheckByHand(s, p, pl, found)...), CheckFabric(p, found)...)
	}
	bad = append(bad, CheckView(s, p, pl)...)
	bad = append(bad, CheckSupports(s, p, pl, found, stock)...)
	return append(bad, CheckFabric(p, found)...)
}

// CheckResult holds a whole answer to every rule but those of levels, which [CheckLight] does with many rays, and that of
// the smallest frame, which [CheckSmallest] does, slowly.
// Rates are those of the given date.
func CheckResult(res sizing.Result, stock *catalog.Snapshot, on catalog.Date, rng *rand.Rand) []Violation {
	bad := CheckWithoutHolds(res, stock, on, rng)
	for _, o := range res.Options {
		for k := range o.Parts() {
			part := o.Part(k)
			s := SceneFor(res.Shot, &part)
			for _, p := range part.Pieces {
				bad = append(bad, CheckHold(s, p, stock)...)
			}
		}
	}
	return bad
}

// CheckWithoutHolds is [CheckResult] but for what the wind does to each piece, which takes most of the time.
func CheckWithoutHolds(res sizing.Result, stock *catalog.Snapshot, on catalog.Date, rng *rand.Rand) []Violation {
	shot := res.Shot
	s := NewScene(shot, shot.Window.From, shot.Window.To)
	bad := CheckSources(s, res.Sources, shot.Window.From, shot.Window.To)
	bad = append(bad, CheckBackground(s, res.Background, "the shot")...)
	then := 0 // at the hour asked
	for _, o := range res.Options {
		if o.Label != sizing.LabelOtherHour {
			then++
		}
	}
	for _, o := range res.Options {
		at := s
		if o.Window.From != shot.Window.From || o.Window.To != shot.Window.To || len(o.SwitchOff) > 0 || o.Label == sizing.LabelHandHeld {
			at = SceneFor(shot, &o)
		}
		bad = append(bad, CheckSwitchedOff(&shot, &o)...)
		bad = append(bad, CheckLampSides(at, &o)...)
		bad = append(bad, checkOption(at, o, then > 1, stock, on, rng)...)
	}
	bad = append(bad, checkOptions(s, res, stock)...)
	return append(bad, CheckRuledOut(s, res, stock)...)
}

// checkOption holds an option to every rule of one; beside reports whether there are others at the hour asked.
func checkOption(s *Scene, o sizing.Option, beside bool, stock *catalog.Snapshot, on catalog.Date, rng *rand.Rand) []Violation {
	bad := CheckMoves(s, &o)
	for k := range o.Parts() {
		at, part := s, o.Part(k)
		if o.Parts() > 1 {
			at = SceneFor(s.Shot, &part)
		}
		bad = append(bad, checkStanding(at, part, beside, stock, rng)...)
	}
	bad = append(bad, CheckKit(o, stock, on)...)
	bad = append(bad, CheckCrew(s, o, stock)...)
	bad = append(bad, CheckLabour(o, stock, on)...)
	bad = append(bad, CheckTransport(o, stock, on)...)
	bad = append(bad, CheckTotal(o)...)
	bad = append(bad, CheckWorkable(s, o, stock, on)...)
	return append(bad, CheckWind(s, o, stock)...)
}

// checkStanding holds what stands in an option, or in a part of its window, to every rule of a place and of the light.
func checkStanding(s *Scene, o sizing.Option, beside bool, stock *catalog.Snapshot, rng *rand.Rand) []Violation {
	var bad []Violation
	covered := map[string]bool{}
	machines, overheads, lamps := 0, 0, 0
	for _, p := range o.Pieces {
		bad = append(bad, CheckPiece(s, p, stock, rng)...)
		if !s.has(p.Serves) || softens(p.Role) && p.Serves != mainZone {
			bad = append(bad, broken(RuleOptions, 1, "%s: %s serves %q", o.Label, p.Role, p.Serves))
		}
		if len(p.HeldBy) > 0 && o.Label != sizing.LabelHandHeld {
			bad = append(bad, broken(RuleByHand, 1, "%s: the %s is held by hand", o.Label, p.Role))
		}
		for _, label := range p.Covers {
			covered[label] = covered[label] || softens(p.Role)
		}
		if p.Role == finding.RoleOverhead {
			overheads++
		}
		if p.Role == finding.RoleLamp {
			lamps++
		}
		for _, sp := range p.Supports {
			if item := stock.Item(sp.SKU); item != nil {
				if spec, ok := item.Spec.(*catalog.Support); ok && spec.Class == catalog.ClassMachine {
					machines++
				}
			}
		}
	}
	hard := s.softened()
	if s.Shot.Look.Soften == shot.SoftenRequired && o.Workable || s.Shot.Look.Soften != shot.SoftenOff && o.Serves() {
		for _, src := range hard {
			if !covered[src.Label] && !src.Doubtful {
				bad = append(bad, broken(RuleCovered, 1, "%s: no piece stops %q", o.Label, src.Label))
			}
		}
		if len(hard) > 0 && overheads != 1 {
			bad = append(bad, broken(RuleOptions, float64(overheads), "%s: %d overheads", o.Label, overheads))
		}
	}
	switch o.Label {
	case sizing.LabelOverhead:
		if machines > 0 {
			bad = append(bad, broken(RuleOptions, float64(machines), "%s stands on %d machines", o.Label, machines))
		}
	case sizing.LabelOnLift:
		if machines == 0 {
			bad = append(bad, broken(RuleOptions, 1, "%s has no machine", o.Label))
		}
	case sizing.LabelReflectors:
		if n := len(softeners(o)); n > 0 {
			bad = append(bad, broken(RuleOptions, float64(n), "%s has %d overheads and sides", o.Label, n))
		}
		if beside && !o.Has(finding.RoleReflector, finding.RoleFill, finding.RoleBlack) && s.Shot.Look.Soften != shot.SoftenOff {
			bad = append(bad, broken(RuleOptions, 1, "%s has none, beside other options", o.Label))
		}
	case sizing.LabelLamps:
		if lamps == 0 {
			bad = append(bad, broken(RuleOptions, 1, "%s has no lamp", o.Label))
		}
	case sizing.LabelMoved:
		if machines > 0 || lamps > 0 {
			bad = append(bad, broken(RuleOptions, 1, "%s moves %d machines and %d lamps", o.Label, machines, lamps))
		}
	case sizing.LabelOtherHour:
	case sizing.LabelHandHeld:
		bad = append(bad, checkHandHeld(s, &o)...)
	default:
		bad = append(bad, broken(RuleOptions, 1, "label %q is none of the known", o.Label))
	}
	bad = append(bad, CheckLinesApart(o, stock)...)
	bad = append(bad, CheckHeat(o)...)
	bad = append(bad, CheckApart(o, stock)...)
	bad = append(bad, CheckReflectors(s, o, stock)...)
	bad = append(bad, CheckBeamsPass(s, o, stock)...)
	bad = append(bad, CheckVeils(s, o, stock)...)
	bad = append(bad, CheckLensShades(s, o, stock)...)
	bad = append(bad, CheckFlare(s, o, stock)...)
	bad = append(bad, CheckNets(s, o, stock)...)
	bad = append(bad, CheckBackground(s, o.Background, string(o.Label))...)
	bad = append(bad, CheckEven(s, o, stock)...)
	return append(bad, CheckLowEdges(s, o, stock)...)
}

// checkOptions holds the list of options: by state, what softens first in each, then by how much they do less, then by what is
// preferred; another hour last of those that do as much, and of the same length.
func checkOptions(s *Scene, res sizing.Result, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	bad = append(bad, checkMachines(res, stock)...)
	bad = append(bad, CheckFrontier(res, stock)...)
	for i, o := range res.Options {
		if i > 0 {
			last := res.Options[i-1]
			other := last.Label == sizing.LabelOtherHour
			switch {
			case class(last) > class(o):
				bad = append(bad, broken(RuleOptions, 1, "%s stands before %s, which does more of what is asked", last.Label, o.Label))
			case class(last) == class(o) && missedStops(last) == missedStops(o) && other && o.Label != sizing.LabelOtherHour:
				bad = append(bad, broken(RuleOptions, 1, "%s stands before %s of its class", last.Label, o.Label))
			case class(last) == class(o) && missedStops(last) > missedStops(o):
				bad = append(bad, broken(RuleOptions, 1, "%s stands before %s, which misses less", last.Label, o.Label))
			case class(last) == class(o) && missedStops(last) == missedStops(o) && other == (o.Label == sizing.LabelOtherHour):
				if by := byPreference(s, last, o, stock); by > 0 {
					bad = append(bad, broken(RuleOptions, by, "%s, by %.3f m², minor units or kg less what is preferred, stands before %s", last.Label, by, o.Label))
				}
			}
		}
		if o.Label == sizing.LabelOtherHour {
			bad = append(bad, checkOtherHour(s, res.Shot.Window, o.Window)...)
		}
	}
	return bad
}

// checkOtherHour holds a window to what another hour of a day is: as long as the one asked and not that, of the same date, the sun up when
// it begins and when it ends, and in mid-window not in front of the people, within 60° of the way that they look, where it is not then.
func checkOtherHour(s *Scene, asked, w shot.Window) []Violation {
	var bad []Violation
	wrong := func(what string) {
		bad = append(bad, broken(RuleOptions, 1, "another hour, %s to %s, in place of %s to %s: %s", w.From, w.To, asked.From, asked.To, what))
	}
	if w.To.Sub(w.From) != asked.To.Sub(asked.From) || w.Date != asked.Date || w.From.Equal(asked.From) {
		wrong("not as long, of another day, or the same")
	}
	for _, at := range [2]time.Time{w.From, w.To} {
		if _, lx, _ := s.sunAt(at); lx <= 0 {
			wrong("no sun at " + at.String())
		}
	}
	const frontalDeg = 60
	frontal := func(w shot.Window) bool {
		toward, lx, _ := s.sunAt(w.Mid())
		turn := math.Remainder(math.Atan2(toward.x, toward.y)*180/math.Pi-s.Shot.Camera.BearingDeg-180, 360)
		return lx > 0 && math.Abs(turn) <= frontalDeg
	}
	if frontal(w) && !frontal(asked) {
		wrong("the sun is in front of the people")
	}
	return bad
}

// byMachine reports whether machines hold a piece.
func byMachine(p sizing.Piece, stock *catalog.Snapshot) bool {
	return slices.ContainsFunc(p.Supports, func(sp sizing.Support) bool {
		item := stock.Item(sp.SKU)
		if item == nil {
			return false
		}
		spec, ok := item.Spec.(*catalog.Support)
		return ok && spec.Class == catalog.ClassMachine
	})
}

// class is the number of the class of options that one belongs to, the best first: by what it does, and whether it softens.
func class(o sizing.Option) int {
	of := map[finding.State]int{finding.DoesIt: 0, finding.DoesLess: 2, finding.OverLimit: 4}[o.State]
	if slices.ContainsFunc(o.GivesUp, func(s finding.Shortfall) bool { return s.What == finding.Softening }) {
		of++
	}
	return of
}

// missedStops is by how many whole stops, rounded up, an option says that it misses what it misses most, but for softening,
// and half a stop more where it is not as warm as is asked.
func missedStops(o sizing.Option) (stops float64) {
	colour := 0.0
	for _, s := range o.GivesUp {
		switch {
		case s.What == finding.Softening:
		case s.What == finding.Colour:
			colour = 0.5
		case s.ByStops == nil:
			stops = math.Max(stops, 1)
		default:
			stops = math.Max(stops, math.Ceil(math.Abs(*s.ByStops)))
		}
	}
	return stops + colour
}

// largestOnStandsM2 is the outer area up to which a frame that holds on stands is not offered on machines.
const largestOnStandsM2 = 13.5

// checkMachines keeps machines for what stands do not do: where every overhead and side on stands holds the gust and is no larger
// than 12 × 12 ft, none are offered.
func checkMachines(res sizing.Result, stock *catalog.Snapshot) []Violation {
	o := onStands(res, stock)
	lift := slices.ContainsFunc(res.Options, func(o sizing.Option) bool { return o.Label == sizing.LabelOnLift })
	if o == nil || !lift {
		return nil
	}
	for _, p := range softeners(*o) {
		found, _ := partsOf(p, stock)
		if p.Hold.LowerAtMS < res.Shot.GustMS || found.frame != nil && found.frame.OuterWidthM*found.frame.OuterHeightM > largestOnStandsM2 {
			return nil
		}
	}
	return []Violation{broken(RuleOptions, 1, "machines are offered where stands do and no frame is over %.1f m²", largestOnStandsM2)}
}

// onStands is the option with its overhead on stands: of several that of the smallest frame that holds the gust, or the first; nil where
// there is none.
func onStands(res sizing.Result, stock *catalog.Snapshot) (found *sizing.Option) {
	holds, least := false, math.Inf(1)
	for i := range res.Options {
		o := &res.Options[i]
		if len(o.SwitchOff) > 0 && len(softeners(*o)) == 0 {
			continue // nothing is left to soften
		}
		if o.Label != sizing.LabelOverhead && (o.Label != sizing.LabelLamps || len(softeners(*o)) == 0 || byMachine(softeners(*o)[0], stock)) {
			continue
		}
		areaM2, up := 0.0, true
		for _, p := range softeners(*o) {
			areaM2, up = areaM2+p.OuterAreaM2, up && p.Hold.LowerAtMS >= res.Shot.GustMS
		}
		if found == nil || up && (!holds || areaM2 < least) {
			found, holds, least = o, up, areaM2
		}
	}
	return found
}

// Overhead returns the overhead of the option on stands: its frame's SKU and opening area; ok is false where no frame on
// stands serves.
func Overhead(res sizing.Result, stock *catalog.Snapshot) (sku string, areaM2 float64, ok bool) {
	o := onStands(res, stock)
	if o == nil {
		return "", math.Inf(1), false
	}
	for _, p := range o.Pieces {
		if found, _ := partsOf(p, stock); p.Role == finding.RoleOverhead && found.frame != nil {
			return found.frameItem.SKU, found.frame.OpeningWidthM * found.frame.OpeningHeightM, true
		}
	}
	return "", math.Inf(1), false
}

// OneFrame reports whether one frame alone softens in the shot's own window: on stands, or on anything the house has.
func OneFrame(res sizing.Result) (onStands, onAnything bool) {
	for _, o := range res.Options {
		if len(softeners(o)) == 1 && o.Label != sizing.LabelOtherHour && o.Label != sizing.LabelHandHeld {
			onAnything = true
			onStands = onStands || o.Label == sizing.LabelOverhead
		}
	}
	return onStands, onAnything
}

// CheckRuledOut holds the list of what does not do: exactly the frames with a smaller opening than the overhead on
// stands, or every frame where none serves or that one does not hold the gust, each once, with a shortfall where the reason
// is one of geometry.
func CheckRuledOut(s *Scene, res sizing.Result, stock *catalog.Snapshot) []Violation {
	if len(s.softened()) == 0 || res.Shot.Look.Soften == shot.SoftenOff {
		return nil
	}
	var bad []Violation
	_, chosen, _ := Overhead(res, stock)
	if o := onStands(res, stock); o != nil && slices.ContainsFunc(o.Pieces, func(p sizing.Piece) bool {
		return p.Role == finding.RoleOverhead && p.Hold.LowerAtMS < res.Shot.GustMS
	}) {
		chosen = math.Inf(1)
	}
	listed := map[string]bool{}
	for _, r := range res.RuledOut {
		if r.Role != finding.RoleOverhead {
			continue
		}
		if listed[r.SKU] {
			bad = append(bad, broken(RuleRuledOut, 1, "%s is listed twice", r.SKU))
		}
		listed[r.SKU] = true
		switch r.Because {
		case finding.TooSmall, finding.InView, finding.TooHigh, finding.TooLow:
			if !(r.ShortByM > 0) || math.IsInf(r.ShortByM, 0) {
				bad = append(bad, broken(RuleRuledOut, r.ShortByM, "%s is %s by %v m", r.SKU, r.Because, r.ShortByM))
			}
		case finding.TooHeavy, finding.NoSupport, finding.NoStock, finding.PriceOver, finding.CrewOver, finding.Windy:
			if r.ShortByM != 0 {
				bad = append(bad, broken(RuleRuledOut, r.ShortByM, "%s is %s, yet short by %v m", r.SKU, r.Because, r.ShortByM))
			}
		default:
			bad = append(bad, broken(RuleRuledOut, 1, "%s is ruled out because %q", r.SKU, r.Because))
		}
		if wind, _ := r.Obstacle.(finding.NotInWind); r.Because == finding.Windy && wind.AskedMS != res.Shot.GustMS {
			bad = append(bad, broken(RuleRuledOut, 1, "%s is ruled out by a gust of %.1f m/s, and does not say so: %+v", r.SKU, res.Shot.GustMS, r.Obstacle))
		}
		if r.Obstacle == nil {
			bad = append(bad, broken(RuleRuledOut, 1, "%s is ruled out without a word", r.SKU))
		}
	}
	for _, item := range stock.Items() {
		f, ok := item.Spec.(*catalog.Frame)
		if !ok {
			continue
		}
		area := f.OpeningWidthM * f.OpeningHeightM
		switch want := area < chosen-1e-9; {
		case want && !listed[item.SKU]:
			bad = append(bad, broken(RuleRuledOut, chosen-area, "%s of %.3f m² is smaller than the overhead that does, of %.3f m², and not listed", item.SKU, area, chosen))
		case !want && listed[item.SKU]:
			bad = append(bad, broken(RuleRuledOut, area-chosen, "%s of %.3f m² is listed, the overhead has %.3f m²", item.SKU, area, chosen))
		}
		delete(listed, item.SKU)
	}
	for sku := range listed {
		bad = append(bad, broken(RuleRuledOut, 1, "%s is listed and no frame of the house", sku))
	}
	return bad
}
