package phrase_test

import (
	"testing"

	"kitspan/internal/phrase"
)

func TestNumbersAreWrittenAsTheLanguageWritesThem(t *testing.T) {
	for tag, want := range map[string]string{"en": "1234.5 of 7 and -0.25", "de": "1234,5 of 7 and -0,25"} {
		if got := phrase.Named(tag).Say("%.1f of %d and %+.2f", 1234.5, 7, -0.25); got != want {
			t.Errorf("%s: %q, want %q", tag, got, want)
		}
	}
}

func TestNilIsEnglish(t *testing.T) {
	var l *phrase.Language
	if l.Tag() != "en" || l.Say("side|right") != "right" || l.Say("%.1f %%", 0.5) != "0.5 %" || l.Count("%d piece", "%d pieces", 2, 2) != "2 pieces" {
		t.Error(l.Tag(), l.Say("side|right"), l.Say("%.1f %%", 0.5), l.Count("%d piece", "%d pieces", 2, 2))
	}
}

func TestLanguageSuitsWhatTheReaderAsksFor(t *testing.T) {
	for accept, want := range map[string]string{
		"": "en", "de-AT,en;q=0.5": "de", "pt-BR": "pt", "ja": "en", "fr;q=0.2,es;q=0.9": "es", "not a header;;": "en",
	} {
		if got := phrase.Match(accept).Tag(); got != want {
			t.Errorf("%q: %s, want %s", accept, got, want)
		}
	}
}
