package oracle

import (
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// mostChoices is how many options an answer has at most.
const mostChoices = 6

// costs are what an option takes, in the order of costNames: m², minor units, people, kg, minutes.
func costs(o *sizing.Option, stock *catalog.Snapshot) (c [5]float64) {
	total, ok := minorUnits(o.TotalPerDay)
	if !ok {
		return c // told by CheckTotal
	}
	return [5]float64{openingArea(*o, stock), float64(total.Int64()), float64(o.Crew.Total), o.Load.MassKg, float64(workMinutes(o))}
}

var costNames = [5]finding.Measure{finding.MeasureFrame, finding.MeasureTotal, finding.MeasurePeople, finding.MeasureMass, finding.MeasureTime}

// sameCost is the share by which two sums that differ by rounding alone may.
const sameCost = 1e-8

// less reports whether a cost is lower than another.
func less(a, b float64) bool { return a < b-sameCost*math.Max(1, math.Abs(b)) }

// asGood reports whether an option does all that another does, in as good a state, over no other limit, at the hour asked if that
// is, standing all through it if that does, and with no lamp off that is on there.
func asGood(o, p *sizing.Option) bool {
	order := []finding.State{finding.DoesIt, finding.DoesLess, finding.OverLimit}
	if slices.Index(order, o.State) > slices.Index(order, p.State) || o.Window != p.Window && o.Label == sizing.LabelOtherHour ||
		len(o.Moves) > 0 && len(p.Moves) == 0 || o.Label == sizing.LabelHandHeld && p.Label != sizing.LabelHandHeld {
		return false
	}
	for _, label := range o.SwitchOff {
		if !slices.Contains(p.SwitchOff, label) {
			return false
		}
	}
	for _, n := range o.Broken {
		if !slices.ContainsFunc(p.Broken, func(m finding.Note) bool { return m.Code() == n.Code() }) {
			return false
		}
	}
	const unseenStops = 0.1
	for _, s := range o.GivesUp {
		if !slices.ContainsFunc(p.GivesUp, func(t finding.Shortfall) bool {
			return t.What == s.What && t.Zone == s.Zone &&
				(t.ByStops == nil || s.ByStops != nil && math.Abs(*s.ByStops) <= math.Abs(*t.ByStops)+unseenStops)
		}) {
			return false
		}
	}
	return true
}

// CheckFrontier holds the options of an answer to one another: none takes more of something and less of nothing than another that does
// as much, each is best in what it says and says all that, and what it takes more than the first is told.
func CheckFrontier(res sizing.Result, stock *catalog.Snapshot) []Violation {
	var bad []Violation
	if n := len(res.Options); n > mostChoices {
		bad = append(bad, broken(RuleOptions, float64(n), "%d options", n))
	}
	names := map[string]bool{}
	all := make([][5]float64, len(res.Options))
	for i := range res.Options {
		all[i] = costs(&res.Options[i], stock)
		if name := res.Options[i].Name; names[name] || name == "" {
			bad = append(bad, broken(RuleOptions, 1, "option %q occurs twice, or has no name", name))
		}
		names[res.Options[i].Name] = true
	}
	for i := range res.Options {
		o := &res.Options[i]
		for k := range res.Options {
			p := &res.Options[k]
			if i == k || !asGood(p, o) {
				continue
			}
			some, more := false, false
			for m := range all[i] {
				some, more = some || less(all[k][m], all[i][m]), more || less(all[i][m], all[k][m])
			}
			if some && !more {
				bad = append(bad, broken(RuleOptions, 1, "%s takes %v; %s does as much with %v", o.Name, all[i], p.Name, all[k]))
			}
		}
		var best []finding.Measure
		for m, name := range costNames {
			frames := m == 0
			if frames && all[i][m] == 0 {
				continue
			}
			if !slices.ContainsFunc(res.Options, func(p sizing.Option) bool {
				c := costs(&p, stock)
				return class(p)/2 <= class(*o)/2 && less(c[m], all[i][m]) && (!frames || c[m] > 0)
			}) {
				best = append(best, name)
			}
		}
		if !slices.Equal(best, o.BestIn) {
			bad = append(bad, broken(RuleOptions, 1, "%s says it is best in %v, and is in %v", o.Name, o.BestIn, best))
		}
		bad = append(bad, checkTrade(res, i, all)...)
	}
	return bad
}

// checkTrade holds what an option says it takes more than the first.
func checkTrade(res sizing.Result, i int, all [][5]float64) []Violation {
	o := &res.Options[i]
	told := [5]float64{o.Trade.FrameM2, 0, float64(o.Trade.People), o.Trade.MassKg, float64(o.Trade.Minutes)}
	if total, ok := minorUnits(o.Trade.Total); ok {
		told[1] = float64(total.Int64())
	}
	for m, is := range told {
		if by := all[i][m] - all[0][m]; math.Abs(by-is) > sameCost*math.Max(1, math.Abs(all[0][m])) {
			return []Violation{broken(RuleOptions, math.Abs(by-is), "%s says that it takes %v more than the first in %s, and takes %v", o.Name, is, costNames[m], by)}
		}
	}
	return nil
}
