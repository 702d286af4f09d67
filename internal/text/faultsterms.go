package text

import (
	"strconv"

	"kitspan/internal/fault"
)

// ofTerms words faults of terms and quotes.
func ofTerms(to Reader, kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.ChargedOutOfRange:
		return faultWords{wrong: to.say("charges %d days for %d days of hire", k.Charged, k.Days), give: to.say("charge at least 1 and at most as many as they are")}
	case fault.ChargedFalls:
		return faultWords{wrong: to.say("charges %d days for %d days of hire, less than the %d for a day less", k.Charged, k.Days, k.Before),
			give: to.say("charge no less for more days")}
	case fault.ChargedBeaten:
		return faultWords{
			wrong: to.say("charges %d days for %d days of hire, and two hires of %d and %d days one after the other are charged %d", k.Charged, k.Days, k.First, k.Second, k.Together),
			give:  to.say("charge at most that, or more for the shorter ones"),
		}
	case fault.NotMore:
		return faultWords{wrong: to.say("is %d, and the step before it %d", k.Got, k.Before), give: to.say("give the steps from the least to the most, each once")}
	case fault.NotADecimal:
		w := faultWords{wrong: to.say("is %s, no decimal number in range", strconv.Quote(k.Got)),
			give: to.say(`give a number from %d to %d as text, such as "7.5", with at most four decimals`, k.Least, k.Most)}
		if k.Got == "" {
			w.wrong = to.say("is missing or empty")
		}
		return w
	case fault.TaxedTwice:
		return faultWords{wrong: to.say("is %s, which is taxed already at %s", strconv.Quote(k.Got), k.First), give: to.say("put one tax on each")}
	case fault.NotHired:
		return faultWords{wrong: to.say("is %s, which is a %s and not hired by the day", strconv.Quote(k.Got), k.Kind), give: to.say("leave it out")}
	case fault.NoTerms:
		return sentence(to.say(`the house %s has no terms for a hire that begins on %s; give "none" as terms, by which every calendar day counts as one`, k.House, k.Date))
	case fault.NoRateOn:
		return faultWords{wrong: to.say("is %s, which has no rate on %s", strconv.Quote(k.Got), k.Date), give: to.say("give another item or day")}
	default:
		return faultWords{}
	}
}
