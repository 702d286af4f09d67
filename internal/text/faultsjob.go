package text

import (
	"strconv"
	"strings"

	"kitspan/internal/fault"
)

// ofJobs words faults of jobs.
func ofJobs(to Reader, kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.UnknownPlace:
		give := to.say("add it to the places of the job")
		if len(k.Words) > 0 {
			give = to.say("give one of %s, or add it to the places", strings.Join(k.Words, ", "))
		}
		return faultWords{wrong: to.say("is %s, which is no place of the job", strconv.Quote(k.Got)), give: give}
	case fault.HireBackwards:
		return sentence(to.say("the hire ends on %s, before it begins on %s; give a later to or an earlier from", k.To, k.From))
	case fault.HireTooLong:
		return sentence(to.say("the hire from %s to %s takes %d days; at most %d are planned: check the dates, or cut the job in two", k.From, k.To, k.Days, k.Most))
	case fault.OutsideHire:
		return faultWords{wrong: to.say("is %s, outside the hire from %s to %s", k.Date, k.From, k.To), give: to.say("give a day of the hire, or a longer hire")}
	case fault.NoRoom:
		return sentence(to.say("%d minutes have no room between %s and %s of one day; give a later latest, an earlier earliest or a shorter duration_min",
			k.DurationMin, k.Earliest, k.Latest))
	case fault.Unprintable:
		return faultWords{wrong: to.say("has the character %s, which cannot be printed", k.Character), give: to.say("leave it out")}
	case fault.SpaceAround:
		return faultWords{wrong: to.say("is %s, with a space at an end", strconv.Quote(k.Got)), give: to.say("leave that out")}
	case fault.NoSuchShot:
		return faultWords{wrong: to.say("is %s, which is no shot of the job", strconv.Quote(k.Got)), give: to.say("give the number of one")}
	case fault.ShotsLeftOut:
		list := strings.Join(k.Numbers, ", ")
		if k.Count > len(k.Numbers) {
			list += ", …"
		}
		return sentence(to.count("%d shot of the job is missing: give %s too", "%d shots of the job are missing: give %s too", k.Count, k.Count, list))
	default:
		return faultWords{}
	}
}
