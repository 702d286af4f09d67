package light

// ground is a kind of ground and its reflectance for daylight as the eye and the camera weigh it.
type ground struct {
	word        string
	reflectance float64
}

// grounds are the visible (photopic) reflectances, dry but for snow and water. The albedos printed for solar energy are
// broadband: they count the near infrared, in which plants and soils are bright, and would overstate the light that
// grass throws up by about a stop.
var grounds = []ground{
	{"grass", 0.08},    // visible 0.05 to 0.10, from memory (broadband 0.20 to 0.26, table of pvlib)
	{"soil", 0.10},     // from memory; below the broadband 0.17 of that table, as soils brighten toward the infrared
	{"sand", 0.30},     // from memory; below the broadband 0.40 of that table for the same reason
	{"concrete", 0.25}, // raw concrete 0.20 to 0.30, photometric, DIAL knowledge base
	{"asphalt", 0.10},  // weathered, from memory (broadband 0.12, nearly grey)
	{"snow", 0.90},     // fresh, from memory (broadband 0.65 to 0.75)
	{"water", 0.06},    // sea under a high sun, nearly grey: the broadband 0.06 of that table; its glitter is not counted
}

// Grounds returns the words for kinds of ground.
func Grounds() []string {
	words := make([]string, len(grounds))
	for i, g := range grounds {
		words[i] = g.word
	}
	return words
}

// GroundReflectance returns the visible reflectance of a kind of ground, 0 to 1; ok is false for an unknown word.
func GroundReflectance(word string) (reflectance float64, ok bool) {
	for _, g := range grounds {
		if g.word == word {
			return g.reflectance, true
		}
	}
	return 0, false
}
