// Package phrase holds every sentence that people read, in the languages that they read it in. The English sentence is in the
// program where it is said, as a [Key]; its translations are in a file of each language in the format of GNU gettext, PO, for which
// translators have tools. A sentence is translated whole, with its arguments where the language wants them, and numbers are written
// as the language writes them.
//
// A [Language] is a value that is handed to whatever writes; none is a setting of the program.
package phrase

import (
	"fmt"
	"strings"

	"github.com/leonelquinteros/gotext"
	"golang.org/x/text/language"
)

// Key is a sentence, or a part of one that stands by itself, as English has it, with the verbs of package fmt for its arguments. Where
// one English word is several in other languages the key begins with what tells them apart and a bar, which are not printed: "side|right".
type Key string

// parts are the context of a key, "" for most, and its English.
func (k Key) parts() (context, english string) {
	if before, after, ok := strings.Cut(string(k), "|"); ok {
		return before, after
	}
	return "", string(k)
}

// Language is a language that people read. Its nil is English. It may be used by several goroutines at once.
type Language struct {
	tag     language.Tag
	name    string // in itself
	decimal string
	said    map[Key]string
	po      *gotext.Po // for what is counted; nil for English
}

// Tag returns the BCP 47 tag, such as "en" or "pt".
func (l *Language) Tag() string {
	if l == nil {
		return English.Tag()
	}
	return l.tag.String()
}

// Name returns what the language calls itself.
func (l *Language) Name() string {
	if l == nil {
		return English.name
	}
	return l.name
}

// Say returns a sentence in the language. Arguments are those of fmt.Sprintf; of those that are floats the decimals follow the
// language's sign. A sentence that has no translation stays English.
func (l *Language) Say(k Key, args ...any) string {
	return l.print(l.translated(k), args)
}

// Count returns a sentence about n things: one where the language speaks of n as of one, else many. The arguments are those of either
// sentence, so that n is among them only where a sentence prints it.
func (l *Language) Count(one, many Key, n int, args ...any) string {
	context, english := one.parts()
	if l == nil || l.po == nil {
		if n == 1 {
			return l.print(english, args)
		}
		_, english = many.parts()
		return l.print(english, args)
	}
	_, plural := many.parts()
	if context != "" {
		return l.print(l.po.GetNC(english, plural, n, context), args)
	}
	return l.print(l.po.GetN(english, plural, n), args)
}

func (l *Language) translated(k Key) string {
	if l != nil {
		if s := l.said[k]; s != "" {
			return s
		}
	}
	_, english := k.parts()
	return english
}

func (l *Language) print(format string, args []any) string {
	if len(args) == 0 || !strings.Contains(format, "%") { // a sentence of one thing need not print the number
		return strings.ReplaceAll(format, "%%", "%")
	}
	if l != nil && l.decimal != "." {
		own := make([]any, len(args))
		for i, a := range args {
			own[i] = a
			if v, ok := a.(float64); ok {
				own[i] = float{v, l.decimal}
			}
		}
		args = own
	}
	return fmt.Sprintf(format, args...)
}

// Number writes what a number was printed as with a point for the decimals as the language has it.
func (l *Language) Number(printed string) string {
	if l == nil || l.decimal == "." {
		return printed
	}
	return strings.Replace(printed, ".", l.decimal, 1)
}

// float prints a number with a decimal sign of its own.
type float struct {
	v       float64
	decimal string
}

// Format implements [fmt.Formatter].
func (f float) Format(s fmt.State, verb rune) {
	_, _ = s.Write([]byte(strings.Replace(fmt.Sprintf(fmt.FormatString(s, verb), f.v), ".", f.decimal, 1))) // to memory
}
