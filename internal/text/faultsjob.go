package text

import (
	"strconv"
	"strings"

	"kitspan/internal/fault"
)

// inJob words faults that other requests have too, where the member is a job's; ok is false where it is not, or says nothing of its own. The
// pointer is that of a plan request, or of the job itself.
func inJob(to Reader, pointer string, kind fault.Kind) (w faultWords, ok bool) {
	parts := strings.Split(strings.TrimPrefix(pointer, "/job"), "/")[1:]
	at := func(form ...string) bool {
		for i, want := range form {
			if i >= len(parts) || want != "" && parts[i] != want {
				return false
			}
		}
		return len(parts) == len(form)
	}
	if at("places", "") {
		return ofAPlacesName(to, unescaped.Replace(parts[1]), kind)
	}
	empty := to.say("is missing or empty")
	switch k := kind.(type) {
	case fault.Missing:
		switch {
		case at("shots"):
			return sentence(to.say("the job has no shots; give at least one")), true
		case at("shots", "", "number"):
			return faultWords{wrong: empty, give: to.say("give each shot a number of its own")}, true
		case at("shots", "", "place"), at("moves", "", "between", ""):
			if len(k.Words) > 0 {
				return faultWords{wrong: empty, give: to.say("give one of %s", strings.Join(k.Words, ", "))}, true
			}
			return faultWords{wrong: empty, give: to.say("give the name of a place of the job")}, true
		case at("shots", "", "when", ""):
			if k.Want == fault.WantTime {
				return faultWords{wrong: to.say("is missing"), give: to.say("give HH:MM from 00:00 to %s", "23:59")}, true
			}
		}
	case fault.BothGiven:
		if at("shots", "", "when") {
			return faultWords{wrong: to.say("is given beside %s", "window"), give: to.say("give window for a fixed time, or when for a shot that may be moved")}, true
		}
	case fault.WrongCount:
		if at("moves", "", "between") {
			return faultWords{wrong: to.say("has %d names", k.Count), give: to.say("give those of two places")}, true
		}
	case fault.UnknownItem:
		if at("forbid", "") {
			return faultWords{wrong: to.say("is %s, which house %s does not have", strconv.Quote(k.Got), k.House), give: to.say("give the SKUs of its items")}, true
		}
	case fault.Repeated:
		if at("forbid", "") {
			return faultWords{wrong: to.say("is %s, as %s is", strconv.Quote(k.Got), fieldName(k.First)), give: to.say("give each item once")}, true
		}
	default:
	}
	return faultWords{}, false
}

// unescaped reads a segment of a pointer (RFC 6901, 4).
var unescaped = strings.NewReplacer("~1", "/", "~0", "~")

// ofAPlacesName words what is wrong with the name under which a place stands.
func ofAPlacesName(to Reader, name string, kind fault.Kind) (w faultWords, ok bool) {
	const longest = 20
	if r := []rune(name); len(r) > longest {
		name = string(r[:longest]) + "…"
	}
	name = strconv.Quote(name)
	switch k := kind.(type) {
	case fault.Missing:
		return sentence(to.say("a place has no name; give each place one")), true
	case fault.TooLong:
		return sentence(to.say("the name of the place %s has %d characters; give at most %d", name, k.Characters, k.Most)), true
	case fault.Unprintable:
		return sentence(to.say("the name of the place %s has the character %s, which cannot be printed; leave it out", name, k.Character)), true
	default:
		return faultWords{}, false
	}
}

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
		return sentence(to.say("the hire ends on %s, before it begins on %s; give a later hire.to or an earlier hire.from", k.To, k.From))
	case fault.HireTooLong:
		return sentence(to.say("the hire from %s to %s takes %d days; at most %d are planned: check the dates, or cut the job in two", k.From, k.To, k.Days, k.Most))
	case fault.OutsideHire:
		if k.Date < k.From {
			return faultWords{wrong: to.say("is %s, before the first day of the hire, %s", k.Date, k.From), give: to.say("give a day of the hire, or an earlier hire.from")}
		}
		return faultWords{wrong: to.say("is %s, after the last day of the hire, %s", k.Date, k.To), give: to.say("give a day of the hire, or a later hire.to")}
	case fault.NoRoom:
		return sentence(to.say("%d minutes do not fit between %s and %s of one day; give a later latest, an earlier earliest or a shorter duration_min",
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
