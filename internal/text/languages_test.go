//go:build !race

package text_test

import (
	"bytes"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"kitspan/internal/phrase"
	"kitspan/internal/text"
)

// TestPlansSayTheSameInEveryLanguage reads the plan of every example in each language: it has the numbers of the English one, no verb that
// was given nothing, and no sentence of English.
func TestPlansSayTheSameInEveryLanguage(t *testing.T) {
	t.Parallel()
	shots, err := filepath.Glob(filepath.Join(examplesDir, "*.json"))
	if err != nil || len(shots) < 12 {
		t.Fatal(len(shots), err)
	}
	for _, name := range shots {
		t.Run(filepath.Base(name), func(t *testing.T) {
			result := resultOf(t, filepath.Base(name))
			in := func(l *phrase.Language) string {
				var b bytes.Buffer
				if err := text.WritePlan(&b, text.Metres.In(l), result); err != nil {
					t.Fatal(err)
				}
				return flat(b.String())
			}
			english := in(phrase.English)
			want := numbersIn(english, ".")
			for _, l := range phrase.All()[1:] {
				plan := in(l)
				if strings.Contains(plan, "%!") {
					t.Errorf("%s: %s", l.Tag(), plan[strings.Index(plan, "%!"):][:60])
				}
				got := numbersIn(plan, ",")
				for i := range max(len(got), len(want)) {
					if i >= len(got) || i >= len(want) || got[i] != want[i] {
						t.Errorf("%s has other numbers from %v on, English has %v", l.Tag(), got[min(i, len(got)):min(i+5, len(got))], want[min(i, len(want)):min(i+5, len(want))])
						break
					}
				}
				for _, sentence := range strings.SplitAfter(english, ". ") {
					if len(strings.Fields(sentence)) > 5 && strings.Contains(plan, sentence) {
						t.Errorf("%s says in English: %s", l.Tag(), sentence)
					}
				}
			}
		})
	}
}

var numeral = regexp.MustCompile(`\d+(?:[.,]\d+)?`)

// numbersIn are the numbers of a text with a decimal sign, sorted, as English has them. Those of names and codes count too.
func numbersIn(s, decimal string) []string {
	list := numeral.FindAllString(s, -1)
	for i, n := range list {
		list[i] = strings.Replace(n, decimal, ".", 1)
	}
	slices.Sort(list)
	return list
}
