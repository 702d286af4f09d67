package rigging

// Ground is what a rig stands on.
type Ground struct {
	Word string
	// Friction is under feet, bags and dead weights, wet.
	Friction float64
	// Stakes reports whether stakes hold in it.
	Stakes bool
	// Source is where the friction comes from.
	Source string
}

// Grounds are by the words of the contract. Measured friction lies near the least of the codes' ranges (HSE RR071, 260
// pairs, its abstract), so that the least is taken; one figure stands for everything that rests on the ground.
var Grounds = []Ground{
	{"grass", 0.20, true, "wet grassy field 0.20 (tyres; Noon 1994, second hand)"},
	{"soil", 0.20, true, "steel on soil 0.2 (DIN 4112 family, from memory); under the 0.35 of a dirt road (Noon 1994, second hand)"},
	{"sand", 0.20, false, "taken as soil; short stakes draw out of loose sand (common practice, no source)"},
	{"concrete", 0.30, false, "steel on concrete 0.3 to 0.4 (EN 12812, as the Concrete Society quotes it); down to 0.1 was measured on cast faces"},
	{"asphalt", 0.30, false, "taken as concrete (common practice, no source)"},
	{"snow", 0.10, false, "ice 0.10 to 0.15 (tyres; Noon 1994, second hand)"},
	{"water", 0.20, false, "a wet deck or slip beside the water: smooth metal 0.2 (UNECE CTU Code, appendix 2)"},
}

// unknownGround is hard standing of which nothing is known but that it reflects.
var unknownGround = Ground{"", 0.20, false, "as the least firm ground that has a word, but for snow (common practice, no source)"}

// GroundOf returns the ground of a word; where the word is none of them, hard standing of low friction without stakes.
func GroundOf(word string) Ground {
	for _, g := range Grounds {
		if g.Word == word {
			return g
		}
	}
	return unknownGround
}
