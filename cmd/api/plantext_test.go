package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/rest"
	"kitspan/internal/sizing"
)

// resultOf is the answer to a documented shot, its JSON changed by replacing pairs of texts.
func resultOf(t *testing.T, file string, replace ...string) sizing.Result {
	t.Helper()
	body, err := os.ReadFile(filepath.Join(examplesDir, file))
	if err != nil {
		t.Fatal(err)
	}
	changed := strings.NewReplacer(replace...).Replace(string(body))
	if len(replace) > 0 && changed == string(body) {
		t.Fatalf("%s holds none of %q", file, replace)
	}
	result, err := sizeFile(t.Context(), catalog.Demo{}, "-", strings.NewReader(changed))
	if err != nil {
		t.Fatal(err)
	}
	return result
}

// textOf is the plan of a documented shot.
func textOf(t *testing.T, file string, replace ...string) string {
	t.Helper()
	var out bytes.Buffer
	if err := writePlan(&out, resultOf(t, file, replace...)); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// flat undoes the breaking of lines.
func flat(text string) string { return strings.Join(strings.Fields(text), " ") }

func TestPlansSayWhatPeopleNeed(t *testing.T) {
	const asksForSoftening = `"soften": "required"`
	for name, tc := range map[string]struct {
		text    string
		has     []string
		hasnt   []string
		numbers string // what must not stand there either, as a pattern
	}{
		"a kit with machines": {
			textOf(t, "01-two-anglers.json"),
			[]string{"1. On stands: ", "2. On lifting machines (not workable as it stands): ", "lifting machines included.", "from the sun", "Left end: ", "Right end: ", "of the mast.",
				"(Misses by: by how much the nearest edge falls short", "The widest zone"},
			[]string{"feet 0.", "Stops ;", " -0.0", "_"}, `\d{3}(\d[1-9]|[1-9]\d) lx`,
		},
		"no frame does it": {
			textOf(t, "06-regatta-crowd.json"),
			[]string{"1. Reflectors alone (not all that is asked): ", "no frame of the house on stands does it. - Light from the sun",
				"Why no frame on stands:", "No frame of this house covers any zone here."},
			[]string{"widest zone", "The nearest:"}, `0\.00 (EUR|m)`,
		},
		"no frame does it that must": {
			textOf(t, "06-regatta-crowd.json", `"soften": "preferred"`, asksForSoftening),
			[]string{"1. Reflectors alone (not workable as it stands): "},
			nil, `0\.00 EUR`,
		},
		"nothing to soften": {
			textOf(t, "01-two-anglers.json", `"start": "16:30", "end": "17:30"`, `"start": "01:00", "end": "02:00"`),
			[]string{"1. The light as it is (not all that is asked): nothing to hire", "needs no softening", " 0 lx", "stops short of light", "- Nothing to soften"},
			[]string{"per day", "widest zone", "200.00 m", "Light at"}, `0\.00 EUR`,
		},
		"frames behind the lens": {
			textOf(t, "09-floodlit-sports-hall.json"),
			[]string{"wholly behind the lens.", "Side frame: ", "from north-east floodlight", "at least 0.11 m out of the picture",
				". Lamps: ", "Diffuser before the lamp: ", "; aimed at the diffuser; ", "(measured), EV 7.5 at ISO 100", "0.5 stops under mid grey takes "},
			[]string{"lifting machines included", "from the north"}, `100\.00 m`,
		},
		"four supports and a later hour": {
			textOf(t, "05-six-rowers.json", `"key_stops": -0.7, "contrast_stops": 1.5`, `"key_stops": -2.5, "contrast_stops": 0`, `"gust_ms": 7`, `"gust_ms": 0`),
			[]string{"Near left corner: ", "Far left corner: ", "Later the same day, 13:15 to 14:00: ", "; level at ",
				"Reflector for bystanders: ", "faces ", " of bystanders (seen from the board)", "the reflection of the sun on bystanders", " Bystanders: key ", "Background then: "},
			[]string{"- Later the same day"}, `edges? (\d\.\d\d) to`,
		},
		"a frame straight above": {
			textOf(t, "07-noon-on-the-beach.json"),
			[]string{"level with the subject"}, nil, `[^\d]0\.0 m`,
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

// brokenWell says that no line is too long and none begins with the unit of a number that stands above.
func brokenWell(t *testing.T, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		if n := len([]rune(strings.TrimRight(line, "\n"))); n > textWidth {
			t.Errorf("%d columns: %s", n, line)
		}
		if regexp.MustCompile(`^ +(m|ft|lx|kg|EUR)\b`).MatchString(line) {
			t.Errorf("a line begins with a unit: %s", line)
		}
	}
}

// World coordinates are x east, y north. A lens that looks east (90°) has south on its right and east behind the subject.
func TestPlacesAreAsTheCameraSeesThem(t *testing.T) {
	for _, tc := range []struct {
		bearing, x, y float64
		want          string
	}{
		{0, 2, 3, "2.0 m to the right, 3.0 m behind the subject"},
		{90, 2, 3, "3.0 m to the left, 2.0 m behind the subject"},
		{180, 2, 3, "2.0 m to the left, 3.0 m in front of the subject"},
		{0, 0.04, -0.04, "on the lens axis, level with the subject"},
		{0, -0.06, 0.06, "0.1 m to the left, 0.1 m behind the subject"},
	} {
		p := planText{bearingDeg: tc.bearing}
		if got := p.place(geom.Vec{X: tc.x, Y: tc.y}); got != tc.want {
			t.Errorf("%v: %s", tc, got)
		}
	}
}

func TestSupportsAreListedAroundTheFrame(t *testing.T) {
	// A frame of 4 m × 2 m in the middle 3 m up, by corners as the world has them, and stands under the points held.
	level := [4]geom.Vec{{X: -2, Y: -1, Z: 3}, {X: 2, Y: -1, Z: 3}, {X: 2, Y: 1, Z: 3}, {X: -2, Y: 1, Z: 3}}
	tilted, upright := level, level
	for i := range level {
		tilted[i].Z += level[i].Y / 2
		upright[i].Y, upright[i].Z = 0, 3+level[i].Y
	}
	under := func(points ...geom.Vec) (out []sizing.Support) {
		for _, v := range points {
			out = append(out, sizing.Support{Base: geom.Vec{X: v.X, Y: v.Y}, HeightM: v.Z})
		}
		return out
	}
	for name, tc := range map[string]struct {
		bearing  float64
		corners  [4]geom.Vec
		supports []sizing.Support
		want     []string
		heights  string
	}{
		"four, in any order": {0, level, under(level[2], level[0], level[3], level[1]),
			[]string{"near left corner", "near right corner", "far right corner", "far left corner"}, "level at 3.00 m"},
		"two at the ends": {0, level, under(geom.Vec{X: 2, Z: 3}, geom.Vec{X: -2, Z: 3}), []string{"left end", "right end"}, "level at 3.00 m"},
		// The lens looks along the long side.
		"two at the ends, seen endwise": {90, level, under(geom.Vec{X: 2, Z: 3}, geom.Vec{X: -2, Z: 3}), []string{"near end", "far end"}, "level at 3.00 m"},
		"far edge up":                   {0, tilted, under(tilted[:]...), []string{"near left corner", "near right corner", "far right corner", "far left corner"}, "near edge 2.50 m up, far edge 3.50 m up"},
		"far edge up, seen from behind": {180, tilted, under(tilted[:]...), []string{"near left corner", "near right corner", "far right corner", "far left corner"}, "far edge 2.50 m up, near edge 3.50 m up"},
		// From the west, north is on the left.
		"far edge up, seen from the side": {90, tilted, under(tilted[:]...), []string{"near left corner", "near right corner", "far right corner", "far left corner"}, "right edge 2.50 m up, left edge 3.50 m up"},
		"upright":                         {0, upright, under(upright[:]...), []string{"lower left corner", "lower right corner", "upper right corner", "upper left corner"}, "lower edge 2.00 m up, upper edge 4.00 m up"},
	} {
		t.Run(name, func(t *testing.T) {
			p := planText{bearingDeg: tc.bearing}
			sides := p.sidesOf(tc.corners)
			var got []string
			for _, h := range p.holds(&sizing.Piece{Corners: tc.corners, Supports: tc.supports}, &sides) {
				got = append(got, h.at)
			}
			if diff := cmp.Diff(tc.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
			if got := sides.heights(); got != tc.heights {
				t.Errorf("%s, want %s", got, tc.heights)
			}
		})
	}
	// A stand whose arm reaches over holds the arm's end, not the point above its feet.
	p := planText{}
	sides := p.sidesOf(level)
	reaching := sizing.Support{Base: geom.Vec{X: 2.5}, HeightM: 3, Arm: &[2]geom.Vec{{X: 2.5, Z: 3}, {X: -2, Z: 3}}}
	if got := p.holds(&sizing.Piece{Supports: []sizing.Support{reaching, {Base: geom.Vec{X: 2}, HeightM: 3}}}, &sides); got[0].support.Arm == nil || got[0].at != "left end" {
		t.Errorf("the arm holds the %s", got[0].at)
	}
}

func TestLevelsHaveThreeDigits(t *testing.T) {
	for lx, want := range map[float64]string{0: "0 lx", 0.25: "0.25 lx", 7.4: "7 lx", 253.4: "253 lx", 999.6: "1000 lx", 94133: "94100 lx", 98350: "98400 lx"} {
		if got := lux(lx); got != want {
			t.Errorf("%v lx: %s, want %s", lx, got, want)
		}
	}
}

// What a shot or a lamp is called reaches the terminal as text alone.
func TestPlansHoldNoTerminalEscapes(t *testing.T) {
	const nasty = `\u001b[31m\u001b]0;title\u0007\u009b2J\u0000\b\r\u007f\u202e\u2066\u200f\u061c\u2028`
	lamp := `"lamps": [{"label": "A` + nasty + `lamp", "azimuth_deg": 10, "elevation_deg": 40, "illuminance_lx": 90000}]`
	const name, none = `"name": "Estuary 1: two anglers on the jetty"`, `"lamps": []`
	evil := []string{name, `"name": "Two` + nasty + ` anglers"`, none, lamp}
	var day bytes.Buffer
	swept, err := sweepOf(t, "01-two-anglers.json", evil...)
	if err != nil {
		t.Fatal(err)
	}
	if err := writeSweep(&day, swept); err != nil {
		t.Fatal(err)
	}
	plan := textOf(t, "01-two-anglers.json", evil...)
	for what, text := range map[string]string{"plan": plan, "day": day.String()} {
		if i := strings.IndexFunc(text, func(r rune) bool { return r != '\n' && unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) }); i >= 0 {
			t.Errorf("%s: %q", what, text[max(0, i-20):min(len(text), i+20)])
		}
		if !strings.Contains(text, "Two[31m]0;title2J  anglers") {
			t.Errorf("%s: the name's own text is not there: %.80q", what, text)
		}
	}
	if !strings.Contains(plan, "A[31m]0;title2J lamp") {
		t.Errorf("the lamp's own text is not there:\n%s", plan)
	}
}

// sweepOf is resultOf for the day of a shot.
func sweepOf(t *testing.T, file string, replace ...string) (sizing.SweepResult, error) {
	t.Helper()
	body, err := os.ReadFile(filepath.Join(examplesDir, file))
	if err != nil {
		t.Fatal(err)
	}
	return rest.NewDesk(catalog.Demo{}, time.Now).SweepJSON(t.Context(), []byte(strings.NewReplacer(replace...).Replace(string(body))), func(r *rest.SweepRequest) {
		step := 60
		r.StepMin, r.Limits, r.Prefer = &step, nil, nil
	})
}
