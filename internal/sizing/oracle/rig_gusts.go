package oracle

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/rigging"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// CheckWorkable holds an option to what it says of itself: workable where every piece holds the gust asked, no limit is
// passed and the softening that is required is done; else not, with a note of each.
func CheckWorkable(s *Scene, o sizing.Option, stock *catalog.Snapshot, on catalog.Date) []Violation {
	var bad []Violation
	var lacks []string
	lack := func(told bool, format string, args ...any) {
		what := fmt.Sprintf(format, args...)
		lacks = append(lacks, what)
		if !told {
			bad = append(bad, broken(RuleWorkable, 1, "%s: %s, and no note says so", o.Label, what))
		}
	}
	topM := math.Inf(-1)
	for _, p := range o.Pieces {
		if !bearsAsked(s, p, stock) {
			if p.Role == finding.RoleCameraShade {
				bad = append(bad, broken(RuleWorkable, 1, "%s: a lens shade that does not hold the gust is not left out", o.Label))
			}
			told := noted(&o, func(n finding.NotHeld) bool { return n.Role == p.Role && n.AskedMS == s.Shot.GustMS })
			lack(told, "the %s holds %.3f m/s, asked %.3f m/s", p.Role, p.Hold.LowerAtMS, s.Shot.GustMS)
		}
		topM = math.Max(topM, highest(p))
	}
	limits := s.Shot.Limits
	if l := limits.Crew; l != nil && o.Crew.Total > *l {
		lack(noted(&o, func(n finding.OverCrew) bool { return n.People == o.Crew.Total && n.Limit == *l }), "%d people, the limit is %d", o.Crew.Total, *l)
	}
	if l := limits.MassKg; l != nil && o.Load.MassKg > *l {
		lack(noted(&o, func(n finding.OverMass) bool { return n.MassKg == o.Load.MassKg && n.LimitKg == *l }), "%.3f kg, the limit is %.3f kg", o.Load.MassKg, *l)
	}
	if l := limits.RigHeightM; l != nil && topM > *l+placeTolM {
		lack(noted(&o, func(n finding.OverHeight) bool { return n.LimitM == *l }), "%.3f m high, the limit is %.3f m", topM, *l)
	}
	if l := limits.PricePerDay; l != nil {
		cost, okCost := minorUnits(o.Kit.PerDay)
		most, okMost := minorUnits(*l)
		if okCost && okMost && cost.Cmp(most) > 0 {
			lack(noted(&o, func(n finding.OverPrice) bool { return n.Limit.Equal(*l) }), "%s a day, the limit is %s", o.Kit.PerDay, *l)
		}
	}
	bad = append(bad, checkShadeWithinLimits(s, o, stock, on)...)
	doubtful := false
	if s.Shot.Look.Soften == shot.SoftenRequired {
		for _, src := range s.softened() {
			if !slices.ContainsFunc(softeners(o), func(p sizing.Piece) bool { return slices.Contains(p.Covers, src.Label) }) {
				if src.Doubtful {
					doubtful = true
					continue
				}
				lack(has[finding.SofteningLeftOut](&o), "%q is not softened", src.Label)
			}
		}
	}
	switch {
	case o.Workable && len(lacks) > 0:
		bad = append(bad, broken(RuleWorkable, float64(len(lacks)), "%s is said to be workable: %s", o.Label, strings.Join(lacks, "; ")))
	case !o.Workable && len(lacks) == 0 && !doubtful:
		bad = append(bad, broken(RuleWorkable, 1, "%s holds, keeps the limits and softens, and is said not to be workable: %q", o.Label, o.Notes))
	}
	return bad
}

// bearsAsked reports whether a piece may be up in the gust asked by what it tells, and bears by its balance what it is made for in a
// calm.
func bearsAsked(s *Scene, p sizing.Piece, stock *catalog.Snapshot) bool {
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

const (
	mostRows = 5
	// gustTolerance is the relative difference below which a gust asked and a limit count as the same: rounding, common
	// practice, no source.
	gustTolerance = 1e-9
)

// CheckWhatIf holds the table of other gusts: a piece that holds a gust takes nothing and stays up, one that does not takes
// something or comes down, what is added is there, and the day costs the kit and what is added.
func CheckWhatIf(s *Scene, o sizing.Option, stock *catalog.Snapshot, on catalog.Date) []Violation {
	var bad []Violation
	if len(o.WhatIf) > mostRows || len(o.WhatIf) != len(s.Shot.WhatIfMS) && len(o.WhatIf) > 0 || len(o.WhatIf) == 0 && len(s.Shot.WhatIfMS) > 0 {
		bad = append(bad, broken(RuleWhatIf, 1, "%s: %d rows for the gusts %v, at most %d", o.Label, len(o.WhatIf), s.Shot.WhatIfMS, mostRows))
	}
	inKit := map[string]int{}
	for _, l := range o.Kit.Lines {
		inKit[l.SKU] = l.Quantity
	}
	for i, row := range o.WhatIf {
		wrong := func(by float64, format string, args ...any) {
			bad = append(bad, broken(RuleWhatIf, by, "%s at %.3f m/s: "+format, append([]any{o.Label, row.GustMS}, args...)...))
		}
		if i < len(s.Shot.WhatIfMS) && row.GustMS != s.Shot.WhatIfMS[i] {
			wrong(math.Abs(row.GustMS-s.Shot.WhatIfMS[i]), "asked for %.3f m/s", s.Shot.WhatIfMS[i])
		}
		if w := &row.Work; len(w.Add) != len(row.Add) || (len(w.Lower) > 0) != (len(row.Lower) > 0) || w.NothingUp != (len(o.Pieces) == 0) {
			wrong(1, "add %v and lower %v, to be done is %+v", row.Add, row.Lower, row.Work)
		}
		weak := 0
		for k, p := range o.Pieces {
			down := slices.Contains(row.Lower, k)
			switch holds := p.Hold.LowerAtMS >= row.GustMS*(1-gustTolerance); {
			case holds && down:
				wrong(p.Hold.LowerAtMS-row.GustMS, "the %s comes down, it holds %.3f m/s", p.Role, p.Hold.LowerAtMS)
			case !holds && !down:
				weak++
				if p.Hold.Governs == rigging.GovernsHouseLimit {
					wrong(row.GustMS-p.Hold.LowerAtMS, "the %s stays up, the house's limit is %.3f m/s", p.Role, p.Hold.LowerAtMS)
				}
			}
		}
		for n, k := range row.Lower {
			if k < 0 || k >= len(o.Pieces) || slices.Contains(row.Lower[:n], k) {
				wrong(1, "piece %d comes down", k)
			}
		}
		switch {
		case weak > 0 && len(row.Add) == 0:
			wrong(float64(weak), "%d pieces that do not hold it stay up and nothing is added", weak)
		case weak == 0 && len(row.Add) > 0:
			wrong(float64(len(row.Add)), "%v is added, and all that stays up holds as it is", row.Add)
		}
		if row.Hands < 1 && len(o.Pieces) > len(row.Lower) || row.Hands > o.Crew.Total && len(row.Add) == 0 {
			wrong(1, "%d hands, the crew is %d", row.Hands, o.Crew.Total)
		}
		sum, ok := minorUnits(o.Kit.PerDay)
		sum = new(big.Int).Set(sum)
		for _, c := range row.Add {
			item := stock.Item(c.SKU)
			if item == nil || c.Quantity < 1 {
				wrong(1, "%d of %s added", c.Quantity, c.SKU)
				ok = false
				continue
			}
			switch item.Spec.(type) {
			case *catalog.Ballast, *catalog.Line, *catalog.Anchor:
			default:
				wrong(1, "%s added, which holds nothing", c.SKU)
			}
			if n := inKit[c.SKU] + c.Quantity; n > item.Owned {
				wrong(float64(n-item.Owned), "%d of %s with what the kit has, the house owns %d", n, c.SKU, item.Owned)
			}
			sum.Add(sum, new(big.Int).Mul(big.NewInt(int64(c.Quantity)), big.NewInt(rateMinor(item, on))))
		}
		if got, is := minorUnits(row.PerDay); ok && (!is || got.Cmp(sum) != 0) {
			wrong(1, "%s a day, the kit and what is added come to %s minor units", row.PerDay, sum)
		}
	}
	return bad
}
