package text

import (
	"kitspan/internal/finding"
	"kitspan/internal/phrase"
)

// Caution says what the numbers of an answer are not; docs/cautions.md says more.
func Caution(to Reader, c finding.Caution) string {
	if k := cautions[c]; k != "" {
		return to.say(k)
	}
	return ""
}

// Cautions returns the sentences of cautions, in their order.
func Cautions(to Reader, list []finding.Caution) []string {
	out := make([]string, len(list))
	for i, c := range list {
		out[i] = Caution(to, c)
	}
	return out
}

var cautions = map[finding.Caution]phrase.Key{
	finding.CautionEstimate:  "This is an estimate for planning, from the figures given and typical weather; it is no proof that a rig is safe.",
	finding.CautionQualified: "Rigging, electrical work and work at height belong to qualified people under local law, who check the plan on the spot and have the last word.",
	finding.CautionWind: "Wind: measure the gust at the height of the piece on the day, keep somebody on watch, and lower early. " +
		"A mean wind, where one was given, was turned into a gust by the factor 1.52 (EN 1991-1-4, terrain II, at 10 m); between buildings and on open water gusts differ.",
	finding.CautionBallast: "Ballast, ropes and gusts are computed with a safety factor for level, firm ground and gear in good repair, by the coefficients of EN 1991-1-4: " +
		"a piece stands by equilibrium, which is no proof that it is safe. The strength of masts, frames and fabrics is not known: compare the bending at the foot of each mast with the maker's figure. " +
		"A rigger checks all of it on the spot and adds rather than leaves out; a piece is down by the gust at which to lower it, not by the one at which it goes.",
	finding.CautionRopes: "Ropes are tripping hazards: flag every one, light it after dark, and keep people from under it. Nobody ties to what they have not checked: " +
		"what a fixed point bears is as it was stated, and a stake is tested by pulling. Those who raised it stay at the stands until every rope is fast.",
	finding.CautionHands:    "Numbers of people and minutes are common practice, lifting by the NIOSH equation: nobody lifts alone what the plan gives to two, and whoever is unsure stops the work.",
	finding.CautionOverhead: "Overhead: nobody stands under a piece while it is raised, lowered or moved; every piece over people is secured twice.",
	finding.CautionGround:   "Ground: the plan takes it as level, firm and free; check slopes, soft or wet ground, edges of water, cables and pipes below, and lines and trees above.",
	finding.CautionSun:      "Sun in a mirror or on a silver board: it blinds and burns. Never on eyes, roads, windows, boats or aircraft; somebody stays near each board, which is turned down or covered when not used.",
	finding.CautionMains:    "Lamps and mains: connected by licensed people, with residual-current protection, dry and away from water; lamps burn skin and cloth, keep them clear of fabric and let them cool.",
	finding.CautionForecast: "Forecast: it is made for a region and an hour, not for the spot; gusts come early, late and stronger. The times by it are for planning the day: " +
		"whoever watches lowers by the gust measured at the piece, whatever the forecast says.",
	finding.CautionLevels: "Light levels are estimates: real skies differ from the model by tens of per cent, cloths and boards from their catalogue; a meter on the day decides.",
}
