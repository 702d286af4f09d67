package web

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"kitspan/internal/web/draw"
)

// themes are the values of the style's colours by what the reader has set, each over those before it that hold as well.
func themes(t *testing.T) map[string]map[string]string {
	t.Helper()
	css, err := files.ReadFile("static/theme.css")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]map[string]string{}
	for _, m := range regexp.MustCompile(`(?m)^(?:@media screen and ([^{]*))?\{?:root\{([^}]*)\}`).FindAllStringSubmatch(string(css), -1) {
		values := map[string]string{}
		for _, d := range strings.Split(m[2], ";") {
			if name, value, ok := strings.Cut(d, ":"); ok && strings.HasPrefix(name, "--") {
				values[name] = value
			}
		}
		out[m[1]] = values
	}
	return out
}

// luminance is the relative luminance of a colour (WCAG 2.2).
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	c := strings.TrimPrefix(colour, "#")
	if len(c) == 3 {
		c = c[:1] + c[:1] + c[1:2] + c[1:2] + c[2:] + c[2:]
	}
	v, err := strconv.ParseUint(c, 16, 32)
	if err != nil || len(c) != 6 {
		t.Fatalf("%q is no colour", colour)
	}
	channel := func(n uint64) float64 {
		s := float64(n&0xff) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*channel(v>>16) + 0.7152*channel(v>>8) + 0.0722*channel(v)
}

func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	la, lb := luminance(t, a), luminance(t, b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

// Black on white is 21 : 1, and #767676 is the lightest grey that has 4.5 : 1 on it (WCAG 2.2, understanding 1.4.3).
func TestContrastIsThatOfTheStandard(t *testing.T) {
	for _, c := range []struct {
		a, b        string
		least, most float64
	}{{"#000", "#fff", 21, 21}, {"#767676", "#ffffff", 4.5, 4.6}, {"#777777", "#ffffff", 4.4, 4.5}} {
		if got := contrast(t, c.a, c.b); got < c.least-1e-9 || got > c.most+1e-9 {
			t.Errorf("%s on %s has %.3f", c.a, c.b, got)
		}
	}
}

// In every theme text has 4.5 : 1 and lines have 3 : 1 on all that they stand on (WCAG 2.2, 1.4.3 and 1.4.11); where more contrast is
// asked for, text has 7 : 1 (1.4.6).
func TestThemesHaveContrast(t *testing.T) {
	all := themes(t)
	if len(all) != 5 {
		t.Fatalf("%d themes", len(all))
	}
	pairs := []struct {
		least    float64
		fore, on []string
	}{
		{4.5, []string{"--ink", "--soft", "--mark", "--bad"}, []string{"--paper", "--sheet", "--band"}},
		{4.5, []string{"--faint"}, []string{"--sheet"}},
		{4.5, []string{"--onmark"}, []string{"--mark"}},
		{4.5, []string{"--d-ink", "--d-grey", "--d-sun", "--d-beam"}, []string{"--d-paper", "--d-taken", "--d-cloth"}},
		{3, []string{"--line", "--edge", "--hire", "--labour", "--transport"}, []string{"--paper", "--sheet"}},
	}
	for name, theme := range all {
		if strings.Contains(name, "forced-colors") {
			continue // the reader's own
		}
		for _, p := range pairs {
			least := p.least
			if strings.Contains(name, "prefers-contrast") && least == 4.5 {
				least = 7
			}
			for _, fore := range p.fore {
				for _, on := range p.on {
					if got := contrast(t, theme[fore], theme[on]); got < least {
						t.Errorf("%q: %s on %s has %.2f : 1", name, fore, on, got)
					}
				}
			}
		}
	}
}

// Every theme has every colour; every colour of the drawings is in the style; and no other colour is, outside what is printed.
func TestThemesKnowEveryColour(t *testing.T) {
	all := themes(t)
	for name, theme := range all {
		for colour := range all[""] {
			if theme[colour] == "" {
				t.Errorf("%q has no %s", name, colour)
			}
		}
	}
	css, _ := files.ReadFile("static/theme.css")
	for _, c := range draw.Palette() {
		for _, name := range []string{"fill", "stroke"} {
			if !strings.Contains(string(css), `svg [`+name+`="`+c+`"]{`+name+`:var(--d-`) {
				t.Errorf("a %s of %s stays as it is in the dark", name, c)
			}
		}
	}
	for _, file := range []string{"static/style.css", "static/set.css"} {
		style, err := files.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		screen, _, _ := strings.Cut(string(style), "@media print{")
		if found := regexp.MustCompile(`#[0-9a-f]{3,6}[;}) ]`).FindAllString(screen, -1); len(found) > 0 {
			t.Errorf("%s has colours of its own: %q", file, found)
		}
	}
}
