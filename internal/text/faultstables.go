package text

import (
	"strconv"
	"strings"

	"kitspan/internal/fault"
)

// ofTables words faults of what is given as CSV.
func ofTables(to Reader, kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.WrongColumns:
		return faultWords{
			wrong: to.say("begins with %s", strconv.Quote(k.Got)),
			give: to.say("give the names of the columns in its first line: %s, and if you like %s", strings.Join(k.Columns, ", "),
				strings.Join(k.MayBe, ", ")),
		}
	case fault.WrongCells:
		return faultWords{wrong: to.say("has %d cells here and %d in its first line", k.Count, k.Most), give: to.say("give one for each column, with a point for the decimals")}
	case fault.NotANumber:
		return faultWords{wrong: to.say("is %s, no number", strconv.Quote(k.Got)), give: within(to, k.Range)}
	case fault.OpenQuote:
		return sentence(to.say("a double quote stands open, or inside a text; put such a text in double quotes and double those inside"))
	case fault.NotAList:
		return faultWords{wrong: to.say("is %s, no list as JSON", strconv.Quote(k.Got)), give: to.say("give one such as %s", "[1.5, 2]")}
	case fault.NotAWorkbook:
		return sentence(to.say("the file is no XLSX workbook that can be read; save the table alone in a new one, or as CSV"))
	case fault.WorkbookTooLarge:
		return sentence(to.say("the workbook holds far more than %d rows; save the table alone in a new one, or as CSV", k.MostRows))
	default:
		return faultWords{} // of another function
	}
}

// underAnother words a number under that of another member.
func underAnother(to Reader, k fault.UnderAnother) faultWords {
	got, other := to.decimal(k.Got), to.decimal(k.OtherIs)
	w := faultWords{wrong: to.say("is %s, under %s, which is %s", got, k.Other, other), give: to.say("give at least %s %s, or a lower %s", other, k.Unit, k.Other)}
	if k.Defaulted {
		w.wrong = to.say("is %s, under %s, which is %s by default", got, k.Other, other)
	}
	return w
}
