package text_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"

	"kitspan/internal/catalog"
	"kitspan/internal/rest"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

const examplesDir = "../../docs/examples"

// bodyOf is a documented shot, its JSON changed by replacing pairs of texts.
func bodyOf(t *testing.T, file string, replace ...string) []byte {
	t.Helper()
	body, err := os.ReadFile(filepath.Join(examplesDir, file))
	if err != nil {
		t.Fatal(err)
	}
	changed := strings.NewReplacer(replace...).Replace(string(body))
	if len(replace) > 0 && changed == string(body) {
		t.Fatalf("%s holds none of %q", file, replace)
	}
	return []byte(changed)
}

func demoDesk() rest.Desk { return rest.NewDesk(catalog.Demo{}, time.Now) }

// resultOf is the answer to a documented shot, changed as [bodyOf] does.
func resultOf(t *testing.T, file string, replace ...string) sizing.Result {
	t.Helper()
	result, err := demoDesk().SizeJSON(t.Context(), bodyOf(t, file, replace...))
	if err != nil {
		t.Fatal(err)
	}
	return result
}

// textOf is the plan of a documented shot.
func textOf(t *testing.T, file string, replace ...string) string {
	t.Helper()
	var out strings.Builder
	if err := text.WritePlan(&out, text.Metres, resultOf(t, file, replace...)); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// flat undoes the breaking of lines.
func flat(text string) string { return strings.Join(strings.Fields(text), " ") }

// brokenWell checks that no line is too long and none begins with the unit of a number that stands above.
func brokenWell(t *testing.T, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		if n := len([]rune(strings.TrimRight(line, "\n"))); n > 100 {
			t.Errorf("%d columns: %s", n, line)
		}
		if regexp.MustCompile(`^ +(m|ft|lx|kg|EUR)\b`).MatchString(line) {
			t.Errorf("a line begins with a unit: %s", line)
		}
	}
}

// What a shot or a lamp is called reaches the terminal as text alone.
func TestPlansHoldNoTerminalEscapes(t *testing.T) {
	const nasty = `\u001b[31m\u001b]0;title\u0007\u009b2J\u0000\b\r\u007f\u202e\u2066\u200f\u061c\u2028`
	lamp := `"lamps": [{"label": "A` + nasty + `lamp", "azimuth_deg": 10, "elevation_deg": 40, "illuminance_lx": 90000}]`
	const name, none = `"name": "Estuary 1: two anglers on the jetty"`, `"lamps": []`
	evil := []string{name, `"name": "Two` + nasty + ` anglers"`, none, lamp}
	day := dayOf(t, "01-two-anglers.json", func(r *rest.SweepRequest) { r.StepMin = new(60) }, evil...)
	plan := textOf(t, "01-two-anglers.json", evil...)
	for what, text := range map[string]string{"plan": plan, "day": day} {
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

// dayOf is the printed day of a documented shot, changed as [bodyOf] and ask do.
func dayOf(t *testing.T, file string, ask func(*rest.SweepRequest), replace ...string) string {
	t.Helper()
	swept, err := demoDesk().SweepJSON(t.Context(), bodyOf(t, file, replace...), ask)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	if err := text.WriteDay(&out, text.Metres, swept); err != nil {
		t.Fatal(err)
	}
	return out.String()
}
