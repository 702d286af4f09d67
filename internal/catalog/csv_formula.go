package catalog

import (
	"regexp"
	"strings"
)

// A spreadsheet program computes a cell that begins with one of these characters, whoever wrote it, and a formula can send the sheet
// away or start a program: OWASP, "CSV Injection", whose list this is, full-width forms included. Where lists are separated by
// semicolons, as in most of Europe, it takes a new cell after each semicolon inside a text too; spaces and quotes before the
// character do not stop every program.
var formulaStart = regexp.MustCompile(`(^|;)('*)([ \x{00a0}"]*[=+\-@\t\r\n＝＋－＠])`)

// escapedFormula is formulaStart with an apostrophe at least.
var escapedFormula = regexp.MustCompile(`(^|;)'('*)([ \x{00a0}"]*[=+\-@\t\r\n＝＋－＠])`)

// EscapeFormulas puts an apostrophe before whatever of a text a spreadsheet would compute, which makes it text there. Where
// apostrophes stand there already one more is added, so that [UnescapeFormulas] brings every text back.
func EscapeFormulas(s string) string { return formulaStart.ReplaceAllString(s, "${1}'${2}${3}") }

// UnescapeFormulas takes the apostrophes away that [EscapeFormulas] has put in. A formula that was never escaped stays as it is.
func UnescapeFormulas(s string) string {
	if !strings.Contains(s, "'") { // nearly every cell of a large file
		return s
	}
	return escapedFormula.ReplaceAllString(s, "${1}${2}${3}")
}
