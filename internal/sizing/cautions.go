package sizing

import (
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
)

// cautionsOf returns the cautions of an answer: in front those that its first option needs most.
func cautionsOf(res *Result) []finding.Caution {
	var most []finding.Caution
	if len(res.Options) > 0 {
		most = res.Options[0].Cautions(&res.Shot)
	}
	list := finding.Cautions(most[:min(len(most), finding.FirstCautions)]...)
	if len(res.Shot.Forecast) > 0 {
		list = append(list, finding.CautionForecast)
	}
	return list
}

// Cautions returns the cautions that a plan needs, by what can hurt most: a sail over people in the wind first, then mains, sun in a mirror
// and wind on what stands alone (common practice, no source).
func (o *Option) Cautions(s *shot.Shot) (list []finding.Caution) {
	add := func(c finding.Caution, needed bool) {
		if needed && !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	outdoors := !s.Site.Roofed
	over := o.Has(finding.RoleOverhead)
	ropes, ballast := false, false
	for part := range o.Parts() {
		for _, v := range o.piecesIn(part) {
			ropes = ropes || len(v.Lines) > 0
			ballast = ballast || slices.ContainsFunc(v.Supports, func(u Support) bool { return u.Ballast.Quantity > 0 })
		}
	}
	add(finding.CautionWind, outdoors && over)
	add(finding.CautionOverhead, over)
	add(finding.CautionMains, o.PowerW > 0)
	add(finding.CautionSun, o.mirrors)
	add(finding.CautionWind, outdoors && len(o.Pieces) > 0)
	add(finding.CautionRopes, ropes)
	add(finding.CautionBallast, ballast)
	add(finding.CautionHands, len(o.Pieces) > 0)
	add(finding.CautionGround, len(o.Pieces) > 0)
	add(finding.CautionQualified, true)
	add(finding.CautionLevels, true)
	add(finding.CautionEstimate, true)
	add(finding.CautionForecast, len(s.Forecast) > 0)
	return list
}
