package text

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/phrase"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

const (
	feetPerMetre = 1 / 0.3048 // international foot, exact
	textWidth    = 100        // columns
)

// quantity is a number and what must stand on the same line with it.
var quantity = regexp.MustCompile(`(\d) (m|ft|lx|kg|W|kW|fps|min|stops?|[A-Z]{3})\b`)

type printer struct {
	b       bytes.Buffer
	to      Reader    // whose units are those of what is not said in both
	axes    geom.Axes // the camera's
	shot    *shot.Shot
	sources []scene.SourceTrack
	common  []finding.Note // notes that are of the shot and stand above the options
	shown   map[string]int // the option that first has what a paragraph describes
}

// say prints a sentence as [printer.line] does.
func (p *printer) say(lead string, k phrase.Key, args ...any) { p.line(lead, p.to.say(k, args...)) }

// line prints a paragraph broken at textWidth, later lines indented as far as the first one's lead.
func (p *printer) line(lead, paragraph string) {
	column := len(lead)
	p.b.WriteString(lead)
	text := quantity.ReplaceAllString(paragraph, "$1\u00a0$2")
	for i, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' }) {
		n := len([]rune(word))
		switch {
		case i > 0 && column+1+n > textWidth:
			p.b.WriteString("\n" + strings.Repeat(" ", len(lead)))
			column = len(lead)
		case i > 0:
			p.b.WriteByte(' ')
			column++
		}
		p.b.WriteString(strings.ReplaceAll(word, "\u00a0", " "))
		column += n
	}
	p.b.WriteByte('\n')
}

// writeTo writes the text without what would not be text on a terminal.
func (p *printer) writeTo(w io.Writer) error {
	_, err := w.Write(bytes.Map(printable, p.b.Bytes()))
	return err
}

// printable leaves out what a name may hold that does something to a terminal in place of being seen there: control
// characters, among them the escape that begins a sequence (ECMA-48), and those that turn the direction of the text after
// them (Unicode Standard Annex 9, 2).
func printable(r rune) rune {
	switch {
	case r == '\n':
		return r
	case r == '\t', r == '\u2028', r == '\u2029':
		return ' '
	case unicode.IsControl(r), unicode.Is(unicode.Bidi_Control, r):
		return -1
	}
	return r
}

// row prints a line of a table as it is.
func (p *printer) row(format string, args ...any) { fmt.Fprintf(&p.b, format+"\n", args...) }

// remarks prints notes, where there are any.
func (p *printer) remarks(notes []finding.Note) {
	if len(notes) == 0 {
		return
	}
	p.line("", "")
	for _, n := range notes {
		p.line("- ", Note(p.to, n))
	}
}

func (p *printer) cautions(list []finding.Caution) {
	p.line("", "")
	p.say("", "Cautions:")
	for _, c := range list {
		p.line("  - ", Caution(p.to, c))
	}
}

// columns is the width of a word on a terminal.
func columns(s string) int { return utf8.RuneCountInString(s) }
