package rigging

import "testing"

// TestFrictionIsUnderPublishedRanges: EN 12812 has 0.3 to 0.4 for steel and 0.5 to 1.0 for concrete on concrete (the Concrete
// Society's note), tables of tyres 0.20 for a wet field, 0.35 for a dirt road, 0.50 for wet asphalt, 0.60 for wet concrete,
// 0.20 to 0.25 for snow, 0.10 to 0.15 for ice (Noon 1994, as quoted by a mining supplier). Ours are no higher than the least
// that goes with the word.
func TestFrictionIsUnderPublishedRanges(t *testing.T) {
	most := map[string]float64{"grass": 0.20, "soil": 0.35, "sand": 0.35, "concrete": 0.3, "asphalt": 0.5, "snow": 0.20, "water": 0.2}
	if len(Grounds) != len(most) {
		t.Errorf("%d grounds", len(Grounds))
	}
	for word, limit := range most {
		g := GroundOf(word)
		if g.Word != word || !(g.Friction > 0) || g.Friction > limit || g.Source == "" {
			t.Errorf("%s: %+v", word, g)
		}
		if unknown := GroundOf(""); word != "snow" && unknown.Friction > g.Friction {
			t.Errorf("unknown ground is less slippery than %s", word)
		}
	}
	if ice := GroundOf("snow").Friction; ice > 0.10 {
		t.Errorf("trodden snow may be ice: %v", ice)
	}
}

func TestGroundsThatTakeStakes(t *testing.T) {
	takes := map[string]bool{"grass": true, "soil": true}
	for _, word := range []string{"grass", "soil", "sand", "concrete", "asphalt", "snow", "water", "", "lava"} {
		if got := GroundOf(word).Stakes; got != takes[word] {
			t.Errorf("%q takes stakes: %v", word, got)
		}
	}
}
