package oracle

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// CheckWorkable holds an option to what it says of itself: workable where every piece holds the gust asked, no limit is passed and the
// softening that is required is done, else not; the limits that it breaks, all of them and each with a note; and its state by these and
// by what of the look it gives up.
func CheckWorkable(s *Scene, o sizing.Option, stock *catalog.Snapshot, on catalog.Date) []Violation {
	var bad []Violation
	var lacks []string
	filed := 0
	over := func(told bool, format string, args ...any) {
		what := fmt.Sprintf(format, args...)
		lacks = append(lacks, what)
		if filed++; !told {
			bad = append(bad, broken(RuleWorkable, 1, "%s: %s, and it does not say so among what is broken and in a note", o.Label, what))
		}
	}
	topM := map[finding.Role]float64{}
	all := everyPiece(&o)
	for _, p := range all {
		if !bearsAsked(s, p, stock) {
			if p.Role == finding.RoleCameraShade {
				bad = append(bad, broken(RuleWorkable, 1, "%s: a lens shade that does not hold the gust is not left out", o.Label))
			}
			told := breaks(&o, func(n finding.NotHeld) bool {
				return n.Role == p.Role && n.AskedMS == s.Shot.GustMS && n.LowerAtMS == p.Hold.LowerAtMS
			})
			over(told, "the %s holds %.3f m/s, asked %.3f m/s", p.Role, p.Hold.LowerAtMS, s.Shot.GustMS)
		}
	}
	limits := s.Shot.Limits
	if l := limits.Crew; l != nil && o.Crew.Total > *l {
		over(breaks(&o, func(n finding.OverCrew) bool { return n.People == o.Crew.Total && n.Limit == *l }), "%d people, the limit is %d", o.Crew.Total, *l)
	}
	if l := limits.MassKg; l != nil && o.Load.MassKg > *l {
		over(breaks(&o, func(n finding.OverMass) bool { return n.MassKg == o.Load.MassKg && n.LimitKg == *l }), "%.3f kg, the limit is %.3f kg", o.Load.MassKg, *l)
	}
	if l := limits.RigHeightM; l != nil {
		for _, p := range all {
			if top := highest(p); top > *l+placeTolM {
				topM[p.Role] = top
				over(breaks(&o, func(n finding.OverHeight) bool { return n.Role == p.Role && n.LimitM == *l }), "%s %.3f m high, the limit is %.3f m", p.Role, top, *l)
			}
		}
	}
	price := func(limit *currency.Amount, is currency.Amount, told func(limit, got currency.Amount) bool) {
		if limit == nil {
			return
		}
		cost, okCost := minorUnits(is)
		most, okMost := minorUnits(*limit)
		if okCost && okMost && cost.Cmp(most) > 0 {
			over(told(*limit, is), "%s a day, the limit is %s", is, *limit)
		}
	}
	price(limits.PricePerDay, o.Kit.PerDay, func(limit, got currency.Amount) bool {
		return breaks(&o, func(n finding.OverPrice) bool { return n.Limit.Equal(limit) && n.Got.Equal(got) })
	})
	price(limits.TotalPerDay, o.TotalPerDay, func(limit, got currency.Amount) bool {
		return breaks(&o, func(n finding.OverTotal) bool { return n.Limit.Equal(limit) && n.Got.Equal(got) })
	})
	if sku := limits.VehicleSKU; sku != "" && !oneLoad(&o, sku, stock) {
		over(breaks(&o, func(n finding.OverVehicle) bool { return n.Vehicle.SKU == sku }), "more than one load of %s", sku)
	}
	if len(o.Broken) != filed {
		bad = append(bad, broken(RuleWorkable, 1, "%s files %d limits as broken, %d are: %v", o.Label, len(o.Broken), filed, lacks))
	}
	bad = append(bad, checkShadeWithinLimits(s, o, stock, on)...)
	doubtful := false
	if s.Shot.Look.Soften == shot.SoftenRequired {
		for _, src := range s.softened() {
			if slices.ContainsFunc(softeners(o), func(p sizing.Piece) bool { return slices.Contains(p.Covers, src.Label) }) {
				continue
			}
			if src.Doubtful {
				doubtful = true
				continue
			}
			lacks = append(lacks, src.Label+" is not softened")
			if !has[finding.SofteningLeftOut](&o) {
				bad = append(bad, broken(RuleWorkable, 1, "%s: %q is not softened, and no note says so", o.Label, src.Label))
			}
		}
	}
	switch {
	case o.Workable && len(lacks) > 0:
		bad = append(bad, broken(RuleWorkable, float64(len(lacks)), "%s is said to be workable: %s", o.Label, strings.Join(lacks, "; ")))
	case !o.Workable && len(lacks) == 0 && !doubtful:
		bad = append(bad, broken(RuleWorkable, 1, "%s holds, keeps the limits and softens, and is said not to be workable: %q", o.Label, o.Notes))
	}
	want := finding.DoesIt
	if filed > 0 {
		want = finding.OverLimit
	} else if len(o.GivesUp) > 0 {
		want = finding.DoesLess
	}
	if o.State != want {
		bad = append(bad, broken(RuleWorkable, 1, "%s is called %s, not %s", o.Label, o.State, want))
	}
	return bad
}

// breaks reports whether an option files a limit as broken, and notes it.
func breaks[N finding.Note](o *sizing.Option, is func(N) bool) bool {
	return noted(o, is) && slices.ContainsFunc(o.Broken, func(n finding.Note) bool { v, ok := n.(N); return ok && is(v) })
}

// oneLoad reports whether an option has its whole kit brought by one vehicle of a kind on one trip: which takes its mass and, packed, its
// volume, and no machine, which comes by itself.
func oneLoad(o *sizing.Option, sku string, stock *catalog.Snapshot) bool {
	if len(o.Kit.Lines) == 0 {
		return true
	}
	for _, l := range o.Kit.Lines {
		if sp, ok := stock.Item(l.SKU).Spec.(*catalog.Support); ok && sp.Class == catalog.ClassMachine {
			return false
		}
	}
	return len(o.Haul) == 1 && o.Haul[0].SKU == sku && o.Haul[0].Quantity == 1 && o.Haul[0].Trips == 1
}

// bearsAsked reports whether a piece may be up in the gust asked by what it tells, and bears by its balance what it is made for in a
// calm.
func bearsAsked(s *Scene, p sizing.Piece, stock *catalog.Snapshot) bool {
	if len(p.HeldBy) > 0 { // told by CheckHold
		return p.Hold.LowerAtMS >= s.Shot.GustMS*(1-gustTolerance)
	}
	r, ok := rig(s, p, stock)
	return ok && p.Hold.LowerAtMS >= s.Shot.GustMS*(1-gustTolerance) && r.isHeld(s.Shot.GustMS)
}

// checkShadeWithinLimits keeps a lens shade from breaking a limit on price, mass or people that the rest keeps.
func checkShadeWithinLimits(s *Scene, o sizing.Option, stock *catalog.Snapshot, on catalog.Date) []Violation {
	rest, limits := unshaded(o, stock), s.Shot.Limits
	if len(rest.Pieces) == len(o.Pieces) {
		return nil
	}
	var bad []Violation
	wrong := func(what string) {
		bad = append(bad, broken(RuleWorkable, 1, "%s: the lens shade alone breaks the limit on %s", o.Label, what))
	}
	if l := limits.Crew; l != nil && o.Crew.Total > *l {
		if _, most := people(s, o, stock); most <= *l {
			wrong("people")
		}
	}
	if l := limits.MassKg; l != nil && o.Load.MassKg > *l && rest.Load.MassKg <= *l {
		wrong("mass")
	}
	if l := limits.PricePerDay; l != nil {
		whole, okWhole := minorUnits(o.Kit.PerDay)
		plain, okPlain := plainHire(o, stock, on)
		if most, ok := minorUnits(*l); ok && okWhole && okPlain && whole.Cmp(most) > 0 && plain.Cmp(most) <= 0 {
			wrong("price")
		}
	}
	return bad
}

// highest is how high the highest part of a piece is.
func highest(p sizing.Piece) float64 {
	top := 0.0
	for _, sp := range p.Supports {
		top = math.Max(top, sp.HeightM)
	}
	if p.Lamp != nil {
		return math.Max(top, p.Lamp.Position.Z)
	}
	for _, c := range p.Corners {
		top = math.Max(top, c.Z)
	}
	return top
}

// gustTolerance is the relative difference below which a gust asked and a limit count as the same: rounding, common practice, no
// source.
const gustTolerance = 1e-9

// curveMS are the gusts of the wind curve.
var curveMS = []float64{3, 4, 5, 6, 8, 10, 12}

// CheckWind holds the wind curve: its gusts, what the option itself takes in the gust that was asked, that more wind never takes less,
// that what holds a gust, by the option's own figures and in less wind than was asked, is not down in it, and that what holds it by
// nothing is.
func CheckWind(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	if len(o.Wind) != len(curveMS) {
		return []Violation{broken(RuleCurve, 1, "%s: %d steps, not %v", o.Label, len(o.Wind), curveMS)}
	}
	asked := s.Shot.GustMS
	planKg := 0.0
	for k := range o.Parts() {
		planKg = math.Max(planKg, ballastKg(o.Part(k), stock))
	}
	all := everyPiece(&o)
	planTotal, _ := minorUnits(o.TotalPerDay)
	var lastTotal *big.Int
	for i := range o.Wind {
		step := &o.Wind[i]
		wrong := func(by float64, format string, args ...any) {
			bad = append(bad, broken(RuleCurve, by, "%s at %.0f m/s: "+format, append([]any{o.Label, step.GustMS}, args...)...))
		}
		if step.GustMS != curveMS[i] {
			wrong(math.Abs(step.GustMS-curveMS[i]), "in place of %.0f m/s", curveMS[i])
		}
		total, ok := minorUnits(step.TotalPerDay)
		if !ok || step.BallastKg < 0 || step.People < 0 {
			wrong(1, "%v kg, %d people, %s", step.BallastKg, step.People, step.TotalPerDay)
			continue
		}
		if i > 0 {
			if last := &o.Wind[i-1]; step.BallastKg < last.BallastKg || step.People < last.People || !within(last.Down, step.Down) {
				wrong(1, "%v kg, %d people, down %v, after %v kg, %d people, down %v", step.BallastKg, step.People, step.Down, last.BallastKg, last.People, last.Down)
			}
			if lastTotal != nil && total.Cmp(lastTotal) < 0 {
				wrong(1, "%s a day, less than in less wind", step.TotalPerDay)
			}
		}
		lastTotal = total
		// On which side of the plan the step lies, for all three numbers.
		side := cmp.Compare(step.GustMS, asked)
		for _, n := range []struct {
			what string
			is   int
		}{
			{"ballast", sign(step.BallastKg - planKg)}, {"people", cmp.Compare(step.People, o.Crew.Total)}, {"the total", total.Cmp(planTotal)},
		} {
			if side == 0 && n.is != 0 || n.is*side < 0 {
				wrong(1, "%s is not that of the plan for %.1f m/s, nor on its side: %+v, planned %.3f kg, %d people, %s", n.what, asked, *step, planKg, o.Crew.Total, o.TotalPerDay)
			}
		}
		for _, role := range step.Down {
			if !slices.ContainsFunc(all, func(p sizing.Piece) bool { return p.Role == role && !stays(p, step.GustMS, asked) }) {
				wrong(1, "no %s need be down, the plan holds it", role)
			}
		}
		for _, p := range all {
			if step.GustMS > asked && !slices.Contains(step.Down, p.Role) && holdsNever(s, p, step.GustMS, stock) {
				wrong(1, "the %s is not down, and nothing holds it", p.Role)
			}
		}
		if step.GustMS != asked {
			continue
		}
		for _, p := range all {
			if !stays(p, asked, asked) && !slices.Contains(step.Down, p.Role) {
				wrong(1, "the %s is not down, it is to be lowered at %.3f m/s", p.Role, p.Hold.LowerAtMS)
			}
		}
	}
	return bad
}

// stays reports whether a piece surely stays up in a gust: as planned it holds that, or more than was asked of it for less.
func stays(p sizing.Piece, gustMS, asked float64) bool {
	upToMS := p.Hold.LowerAtMS * (1 + gustTolerance)
	return upToMS >= gustMS || gustMS <= asked && upToMS >= asked
}

// holdsNever reports whether a piece surely holds a gust by nothing: over what the house or a maker allows, or, on one stand and not to be
// roped, under as much ballast as goes on it.
func holdsNever(s *Scene, p sizing.Piece, gustMS float64, stock *catalog.Snapshot) bool {
	r, ok := rig(s, p, stock)
	if !ok {
		return false
	}
	for _, l := range r.limits() {
		if l.gustMS < gustMS*(1-gustTolerance) {
			return true
		}
	}
	if len(r.masts) != 1 || r.found.lamp != nil || r.masts[0].isMachine {
		return false
	}
	heaviest := 0.0
	for i := range stock.Items() {
		if item := &stock.Items()[i]; item.Kind() == catalog.KindBallast && handCarried(item.MassKg) {
			heaviest = math.Max(heaviest, item.MassKg)
		}
	}
	m := r.masts[0]
	m.unitKg, m.sp.Ballast.Quantity = math.Min(mostBallast*heaviest, r.mostKg(s.Shot.Allowance)), 1
	r.masts = []mast{m}
	return !r.holdsAt(gustMS * (1 - nearShare))
}

// within reports whether all of some roles are among others.
func within(some, others []finding.Role) bool {
	return !slices.ContainsFunc(some, func(r finding.Role) bool { return !slices.Contains(others, r) })
}

// sign is -1, 0 or 1, with numbers that differ by rounding alone the same.
func sign(v float64) int {
	const sameKg = 1e-6
	switch {
	case v > sameKg:
		return 1
	case v < -sameKg:
		return -1
	}
	return 0
}

// ballastKg is all that lies on the bases and at the feet of ropes.
func ballastKg(o sizing.Option, stock *catalog.Snapshot) (kg float64) {
	add := func(c catalog.Count) {
		item := stock.Item(c.SKU)
		if item == nil || c.Quantity <= 0 {
			return
		}
		if a, ok := item.Spec.(*catalog.Anchor); !ok || a.Form != catalog.FormStake {
			kg += float64(c.Quantity) * item.MassKg
		}
	}
	for _, p := range o.Pieces {
		for _, sp := range p.Supports {
			add(sp.Ballast)
		}
		for _, l := range p.Lines {
			add(l.Anchor)
		}
	}
	return kg
}
