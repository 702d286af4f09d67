package anchorage

import "math"

// leastRoped returns what a piece with a set of ropes that have their items costs at least, hands included, in minor units per day: the
// ropes, what the first of them are tied to at least, and what lies on the stands whatever the gust. Working it out takes no statics.
func (q *attempt) leastRoped(set []Rope, at *fixing, stakes int) (minor int64) {
	kg := sum(q.floor)
	minor = q.floorMinor(q.floor)
	for i := range set {
		minor += q.minorOf(set[i].Item)
		switch {
		case set[i].Label != "":
		case at.pullN > 0:
			minor += int64(stakes) * at.minor
		default:
			n := math.Ceil(atRopeKg / at.item.MassKg)
			minor, kg = minor+int64(n)*at.minor, kg+n*at.item.MassKg
		}
	}
	return minor + q.effortMinor(kg, len(set))
}

// cheaper reports whether an anchorage holds and costs no more than something else would, hands included, in minor units per day: that is not
// better then, see [Anchorage.Better].
func (f *Anchorage) cheaper(minor int64) bool {
	return f.held != nil && f.Holds && f.Minor+f.EffortMinor <= minor
}
