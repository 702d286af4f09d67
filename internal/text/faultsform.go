package text

import (
	"fmt"
	"strconv"
	"strings"

	"kitspan/internal/fault"
)

// ofTheHouse words faults of what a house has, and of its currency.
func ofTheHouse(kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.UnknownHouse:
		return sentence("there is no house " + k.Got + "; give " + houses(k.Words))
	case fault.UnknownItem:
		return faultWords{wrong: fmt.Sprintf("is %s, which house %s does not have", strconv.Quote(k.Got), k.House), give: "give the SKUs of its frames"}
	case fault.WrongKind:
		return faultWords{wrong: fmt.Sprintf("is %s, an item of kind %s", strconv.Quote(k.Got), k.Kind), give: "give the SKU of a " + k.WantKind}
	case fault.UnknownCurrency:
		return sentence(k.Got + " is not an ISO 4217 currency code; give one such as EUR")
	case fault.OtherCurrency:
		return faultWords{wrong: fmt.Sprintf("is %s", k.Got), give: fmt.Sprintf("the currency of house %s is %s", k.House, k.Want)}
	case fault.NotAnAmount:
		return sentence(k.Reason)
	default:
		return faultWords{} // of another function
	}
}

// houses are the houses to choose from; where they are many, or could not be listed, where their list is.
func houses(words []string) string {
	if len(words) == 0 {
		return "the short name of a house of GET /v1/houses"
	}
	return "one of " + strings.Join(words, ", ")
}

// ofTheForm words faults of JSON and of parameters. Their place is printed beside them, not named in them.
func ofTheForm(kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.NotText:
		return sentence(fmt.Sprintf("byte %d is not UTF-8 text: send UTF-8", k.Byte))
	case fault.NotJSON:
		return sentence(k.Reason)
	case fault.IsNull:
		return sentence("is null: give " + wanted[k.Want] + " or leave it out")
	case fault.WrongType:
		return sentence("is " + wanted[k.Got] + ": must be " + wanted[k.Want])
	case fault.FarOutOfRange:
		return sentence(k.Got + " is far out of range: give a number of reasonable size")
	case fault.NotWhole:
		return sentence(k.Got + " must be a whole number of reasonable size")
	case fault.TooManyElements:
		return sentence(fmt.Sprintf("has %d elements: give at most %d", k.Count, k.Most))
	case fault.Twice:
		return sentence("appears twice: give it once")
	case fault.Unknown:
		return sentence("is not known here" + meant(k))
	case fault.Unreadable:
		return sentence("is missing, appears twice or cannot be read: see /openapi.json")
	case fault.Other:
		return sentence(k.Says)
	default:
		return faultWords{} // of another function
	}
}

// wanted are types of JSON in words.
var wanted = map[fault.Want]string{
	fault.WantNumber: "a number", fault.WantInteger: "a whole number", fault.WantText: "text", fault.WantBool: "true or false",
	fault.WantObject: "an object", fault.WantArray: "an array",
}

// meant is the end of a sentence about an unknown name: the nearest known one where one is near, else all where they are few.
func meant(k fault.Unknown) string {
	switch {
	case k.Near != "":
		return ": did you mean " + k.Near + "?"
	case k.Many:
		return ": leave it out or see /openapi.json"
	case len(k.Known) == 0:
		return ": leave it out"
	}
	return ": known are " + strings.Join(k.Known, ", ")
}
