package text

import (
	"fmt"
	"strconv"
	"strings"

	"kitspan/internal/fault"
)

// ofTables words faults of what is given as CSV.
func ofTables(kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.WrongColumns:
		return faultWords{
			wrong: "begins with " + strconv.Quote(k.Got),
			give:  "give the names of the columns in its first line: " + strings.Join(k.Columns, ", ") + ", and if you like " + strings.Join(k.MayBe, ", "),
		}
	case fault.WrongCells:
		return faultWords{wrong: fmt.Sprintf("has %d cells here and %d in its first line", k.Count, k.Most), give: "give one for each column, with a point for the decimals"}
	case fault.NotANumber:
		return faultWords{wrong: "is " + strconv.Quote(k.Got) + ", no number", give: "give " + within(k.Range)}
	default:
		return faultWords{} // of another function
	}
}

// underAnother words a number under that of another member.
func underAnother(k fault.UnderAnother) faultWords {
	is := ""
	if k.Defaulted {
		is = " by default"
	}
	return faultWords{
		wrong: fmt.Sprintf("is %s, under %s, which is %s%s", decimal(k.Got), k.Other, decimal(k.OtherIs), is),
		give:  fmt.Sprintf("give at least %s %s, or a lower %s", decimal(k.OtherIs), k.Unit, k.Other),
	}
}
