package text

import (
	"strconv"
	"strings"

	"kitspan/internal/fault"
	"kitspan/internal/phrase"
)

// ofTheHouse words faults of what a house has, and of its currency.
func ofTheHouse(to Reader, kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.UnknownHouse:
		return sentence(to.say("there is no house %s; %s", k.Got, houses(to, k.Words)))
	case fault.UnknownItem:
		return faultWords{wrong: to.say("is %s, which house %s does not have", strconv.Quote(k.Got), k.House), give: to.say("give the SKUs of its frames")}
	case fault.WrongKind:
		return faultWords{wrong: to.say("is %s, an item of kind %s", strconv.Quote(k.Got), k.Kind), give: to.say("give the SKU of a %s", k.WantKind)}
	case fault.UnknownCurrency:
		return sentence(to.say("%s is not an ISO 4217 currency code; give one such as EUR", k.Got))
	case fault.OtherCurrency:
		return faultWords{wrong: to.say("fault|is %s", k.Got), give: to.say("the currency of house %s is %s", k.House, k.Want)}
	case fault.NotAnAmount:
		return sentence(k.Reason)
	default:
		return faultWords{} // of another function
	}
}

// houses asks for one of the houses; where they are many, or could not be listed, it says where their list is.
func houses(to Reader, words []string) string {
	if len(words) == 0 {
		return to.say("give the short name of a house of GET /v1/houses")
	}
	return to.say("give one of %s", strings.Join(words, ", "))
}

// ofTheForm words faults of JSON and of parameters. Their place is printed beside them, not named in them.
func ofTheForm(to Reader, kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.NotText:
		return sentence(to.say("byte %d is not UTF-8 text: send UTF-8", k.Byte))
	case fault.NotJSON:
		return sentence(k.Reason)
	case fault.IsNull:
		return sentence(to.say("is null: give %s or leave it out", to.say(wanted[k.Want])))
	case fault.WrongType:
		return sentence(to.say("is %s: must be %s", to.say(wanted[k.Got]), to.say(wanted[k.Want])))
	case fault.FarOutOfRange:
		return sentence(to.say("%s is far out of range: give a number of reasonable size", k.Got))
	case fault.NotWhole:
		return sentence(to.say("%s must be a whole number of reasonable size", k.Got))
	case fault.TooManyElements:
		return sentence(to.say("has %d elements: give at most %d", k.Count, k.Most))
	case fault.Twice:
		return sentence(to.say("appears twice: give it once"))
	case fault.Unknown:
		return sentence(unknown(to, k))
	case fault.Unreadable:
		return sentence(to.say("is missing, appears twice or cannot be read: see /openapi.json"))
	case fault.Other:
		return sentence(k.Says)
	default:
		return faultWords{} // of another function
	}
}

// wanted are types of JSON in words.
var wanted = map[fault.Want]phrase.Key{
	fault.WantNumber: "a number", fault.WantInteger: "a whole number", fault.WantText: "value|text", fault.WantBool: "true or false",
	fault.WantObject: "an object", fault.WantArray: "an array",
}

// unknown is a sentence about an unknown name, with the nearest known one where one is near, else all where they are few.
func unknown(to Reader, k fault.Unknown) string {
	switch {
	case k.Near != "":
		return to.say("is not known here: did you mean %s?", k.Near)
	case k.Many:
		return to.say("is not known here: leave it out or see /openapi.json")
	case len(k.Known) == 0:
		return to.say("is not known here: leave it out")
	}
	return to.say("is not known here: known are %s", strings.Join(k.Known, ", "))
}
