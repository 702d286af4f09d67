//go:build !race

package phrase_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/leonelquinteros/gotext"

	"kitspan/internal/phrase"
)

var update = flag.Bool("update", false, "write the files of the languages anew: what is said no more goes, what is new waits for its translation")

// pluralForms are the rules of GNU gettext's manual, 11.2.6.
var pluralForms = map[string]string{"de": "(n != 1)", "pt": "(n != 1)", "fr": "(n > 1)", "es": "(n != 1)"}

func TestEverySentenceIsTranslatedWhole(t *testing.T) {
	list := keys(t)
	if len(list) < 700 {
		t.Fatalf("found %d sentences", len(list))
	}
	for _, l := range phrase.All()[1:] {
		t.Run(l.Tag(), func(t *testing.T) {
			name := l.Tag() + ".po"
			file, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			po := gotext.NewPo()
			po.Parse(file)
			if *update {
				file = written(l.Tag(), list, po)
				if err := os.WriteFile(name, file, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			if want := written(l.Tag(), list, po); !bytes.Equal(file, want) {
				t.Errorf("%s does not hold the sentences of the program: go test ./internal/phrase -update", name)
			}
			missing := 0
			for _, s := range list {
				forms := translations(po, s)
				for i, form := range forms {
					english := s.one
					if i > 0 {
						english = s.many
					}
					switch {
					case form == "":
						if missing++; missing <= 20 {
							t.Errorf("not translated: %s", s.id())
						}
					case form == english && !sameInEvery(l.Tag(), english):
						t.Errorf("left in English: %s", s.id())
					case !slices.Equal(verbs(t, form), verbs(t, english)):
						// A sentence of one thing need not print the number.
						if i == 0 && s.many != "" && slices.Equal(verbs(t, form), verbs(t, s.many)) {
							continue
						}
						t.Errorf("other arguments: %q says %q", english, form)
					}
				}
			}
			if missing > 0 {
				t.Errorf("%d of %d sentences are not translated", missing, len(list))
			}
		})
	}
}

// translations are the forms of a sentence, "" for what is missing.
func translations(po *gotext.Po, s said) []string {
	var of *gotext.Translation
	if s.context != "" {
		of = po.GetDomain().GetCtxTranslations()[s.context][s.one]
	} else {
		of = po.GetDomain().GetTranslations()[s.one]
	}
	forms := make([]string, 1)
	if s.many != "" {
		forms = make([]string, 2)
	}
	for i := range forms {
		if of != nil {
			forms[i] = of.Trs[i]
		}
	}
	return forms
}

// written is the file of a language.
func written(tag string, list []said, po *gotext.Po) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# The sentences of Kitspan in the language %q. Not checked by people of the trade who speak it.\n", tag)
	line := func(word, s string) {
		fmt.Fprintf(&b, "%s %s\n", word, strings.ReplaceAll(strconv.Quote(s), `\u00a0`, "\u00a0"))
	}
	line("msgid", "")
	fmt.Fprintf(&b, "msgstr \"\"\n\"Language: %s\\n\"\n\"Content-Type: text/plain; charset=UTF-8\\n\"\n\"Plural-Forms: nplurals=2; plural=%s;\\n\"\n", tag, pluralForms[tag])
	for _, s := range list {
		fmt.Fprintf(&b, "\n#: %s\n", s.at)
		if s.context != "" {
			line("msgctxt", s.context)
		}
		line("msgid", s.one)
		forms := translations(po, s)
		if s.many == "" {
			line("msgstr", forms[0])
			continue
		}
		line("msgid_plural", s.many)
		for i, form := range forms {
			line(fmt.Sprintf("msgstr[%d]", i), form)
		}
	}
	return b.Bytes()
}

// verb is a verb of package fmt, with the number of its argument where it has one.
var verb = regexp.MustCompile(`%([-+# 0]*)(?:\[(\d+)\])?(\d*(?:\.\d+)?)(?:\[(\d+)\])?([a-zA-Z%])`)

// verbs are those of a sentence in the order of its arguments.
func verbs(t *testing.T, s string) []string {
	t.Helper()
	var out []string
	next := 1
	for _, m := range verb.FindAllStringSubmatch(s, -1) {
		if m[5] == "%" {
			continue
		}
		at := next
		if n := m[2] + m[4]; n != "" {
			var err error
			if at, err = strconv.Atoi(n); err != nil {
				t.Fatal(err)
			}
		}
		next = at + 1
		for len(out) < at {
			out = append(out, "")
		}
		out[at-1] = m[1] + m[3] + m[5]
	}
	return out
}

// sameInEvery reports whether a sentence may stay as it is: it has no word of its own, or its words are those of the language too.
func sameInEvery(tag, s string) bool {
	bare := verb.ReplaceAllString(s, "")
	for _, word := range sameWords {
		bare = strings.ReplaceAll(bare, word, "")
	}
	return !letters.MatchString(bare) || slices.Contains(alike[tag], s)
}

var letters = regexp.MustCompile(`\pL\pL`)

// sameWords are names, signs of units and of electricity, and what other programs read.
var sameWords = []string{"Kitspan", "GET /v1/houses", "/openapi.json", "ISO", "EV", "ND", "m/s", "lx", "kg", "ft²", "ft", "kW", "kVA", "min", "fps", "CSV", "JSON", "YYYY-MM-DD", "HH:MM", "N·m"}
