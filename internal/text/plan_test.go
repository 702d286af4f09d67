package text_test

import (
	"regexp"
	"strings"
	"testing"
)

func TestPlansSayWhatPeopleNeed(t *testing.T) {
	const asksForSoftening = `"soften": "required"`
	for name, tc := range map[string]struct {
		text    string
		has     []string
		hasnt   []string
		numbers string // what must not stand there either, as a pattern
	}{
		"a kit with machines": {
			textOf(t, "01-two-anglers.json", `"gust_ms": 8`, `"gust_ms": 12`),
			[]string{"1. On lifting machines: ", "4. On stands (over the limit: wind on the overhead): ", "lifting machines included.", "from the sun", "Left end: ", "Right end: ", "of the mast.",
				"(Misses by: by how much the nearest edge falls short", "The widest zone"},
			[]string{"feet 0.", "Stops ;", " -0.0", "_"}, `\d{3}(\d[1-9]|[1-9]\d) lx`,
		},
		"no frame does it": {
			textOf(t, "06-regatta-crowd.json"),
			[]string{"1. Reflectors alone (does less: not softened): ", "no frame of the house on stands does it. - Light from the sun",
				"Why no frame on stands:", "No frame of this house covers any zone here."},
			[]string{"widest zone", "The nearest:"}, `0\.00 (EUR|m)`,
		},
		"no frame does it that must": {
			textOf(t, "06-regatta-crowd.json", `"soften": "preferred"`, asksForSoftening),
			[]string{"1. Reflectors alone (does less: not softened): "},
			nil, `0\.00 EUR`,
		},
		"nothing to soften": {
			textOf(t, "01-two-anglers.json", `"start": "16:30", "end": "17:30"`, `"start": "01:00", "end": "02:00"`),
			[]string{"1. The light as it is (does less: no key): nothing to hire", "needs no softening", " 0 lx", "stops short of light", "- Nothing to soften"},
			[]string{"per day", "widest zone", "200.00 m", "Light at"}, `[^\d]0\.00 EUR`,
		},
		"frames behind the lens": {
			textOf(t, "09-floodlit-sports-hall.json"),
			[]string{"wholly behind the lens.", "Side frame: ", "from north-east floodlight", "at least 0.11 m out of the picture",
				". Lamps: ", "Key lamp: ", "Key diffuser before the lamp: ", "; aimed at the diffuser; ", "Background, measured: ", "EV 7.5 at ISO 100", "0.5 stops under mid grey takes "},
			[]string{"lifting machines included", "from the north"}, `100\.00 m`,
		},
		"four supports and another hour": {
			textOf(t, "05-six-rowers.json", `"key_stops": -0.7, "contrast_stops": 1.5`, `"key_stops": -2.5, "contrast_stops": 0, "back_stops": null`, `"gust_ms": 7`, `"gust_ms": 0`),
			[]string{"Near left corner: ", "Far left corner: ", "At another hour, 13:15 to 14:00 (asked: 09:00 to 09:45)", "; level at ",
				"Reflector for bystanders: ", "faces ", " of bystanders (seen from the board)", "the reflection of the sun on bystanders", " Bystanders: key ", "Background then: "},
			[]string{"- At another hour"}, `edges? (\d\.\d\d) to`,
		},
		"a window that is cut": {
			textOf(t, "13-four-seated-all-afternoon.json"),
			[]string{"On stands, moved twice: ", " Until 16:20: Overhead: ", " From 16:20: all is moved, piece by piece and with nobody under it: ", " From 17:40: all is moved, ",
				" min in which nothing is shot. Overhead: ", "Light at 15:40 ", "Light at 17:00 ", "Light at 18:20 ", "nothing is shot for "},
			nil, `moved (0|1) times`,
		},
		"a frame straight above": {
			textOf(t, "07-noon-on-the-beach.json"),
			[]string{"level with the subject", "camera left and right, square to the lens axis, then along it, in front being toward the lens and behind away from it. Near is nearest the lens."}, nil, `[^\d]0\.0 m`,
		},
	} {
		t.Run(name, func(t *testing.T) {
			text := flat(tc.text)
			for _, want := range tc.has {
				if !strings.Contains(text, want) {
					t.Errorf("lacks %q", want)
				}
			}
			for _, wrong := range tc.hasnt {
				if strings.Contains(text, wrong) {
					t.Errorf("has %q", wrong)
				}
			}
			if found := regexp.MustCompile(tc.numbers).FindString(text); found != "" {
				t.Errorf("has %q", found)
			}
			brokenWell(t, tc.text)
			if t.Failed() {
				t.Log(tc.text)
			}
		})
	}
}
