package phrase

import (
	_ "embed" // the translations
	"slices"

	"github.com/leonelquinteros/gotext"
	"golang.org/x/text/language"
)

//go:embed de.po
var germanPO []byte

//go:embed pt.po
var portuguesePO []byte

//go:embed fr.po
var frenchPO []byte

//go:embed es.po
var spanishPO []byte

// The languages. Portuguese is that of Portugal.
var (
	English    = &Language{tag: language.English, name: "English", decimal: "."}
	German     = translation(language.German, "Deutsch", germanPO)
	Portuguese = translation(language.Portuguese, "Português", portuguesePO)
	French     = translation(language.French, "Français", frenchPO)
	Spanish    = translation(language.Spanish, "Español", spanishPO)
)

var (
	all     = []*Language{English, German, Portuguese, French, Spanish}
	matcher = language.NewMatcher([]language.Tag{language.English, language.German, language.Portuguese, language.French, language.Spanish})
)

// translation is a language with a decimal comma and the translations of a file.
func translation(tag language.Tag, name string, file []byte) *Language {
	po := gotext.NewPo()
	po.Parse(file)
	l := &Language{tag: tag, name: name, decimal: ",", said: map[Key]string{}, po: po}
	for english, s := range po.GetDomain().GetTranslations() {
		l.said[Key(english)] = s.Trs[0]
	}
	for context, list := range po.GetDomain().GetCtxTranslations() {
		for english, s := range list {
			l.said[Key(context+"|"+english)] = s.Trs[0]
		}
	}
	return l
}

// All returns the languages, English first.
func All() []*Language { return slices.Clone(all) }

// Named returns the language of a tag; nil where there is none.
func Named(tag string) *Language {
	for _, l := range all {
		if l.Tag() == tag {
			return l
		}
	}
	return nil
}

// Match returns the language that suits best what a reader asks for, in the form of the header Accept-Language (RFC 9110, 12.5.4); English
// where none does.
func Match(accept string) *Language {
	_, at := language.MatchStrings(matcher, accept)
	return all[at]
}
