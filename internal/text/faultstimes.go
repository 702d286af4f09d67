package text

import (
	"strconv"
	"time"

	"kitspan/internal/fault"
	"kitspan/internal/phrase"
)

const (
	rightZone    phrase.Key = "give an IANA zone name such as Europe/Lisbon"
	rightInstant phrase.Key = "give date and time with the offset from UTC, such as 2027-06-18T16:00:00+01:00; in CSV a local time such as 2027-06-18 16:00 will do"
)

// ofTimes words faults of dates, times and zones of time.
func ofTimes(to Reader, pointer string, kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.NotADate:
		return faultWords{wrong: to.say("is %s, no date of the calendar", strconv.Quote(k.Got)), give: to.say("give one as YYYY-MM-DD")}
	case fault.YearOutOfRange:
		return faultWords{wrong: to.say("is %s, out of range", strconv.Quote(k.Got)), give: to.say("give a date from the years %d to %d", k.LeastYear, k.MostYear)}
	case fault.NotATime:
		give := to.say("give HH:MM from 00:00 to %s", k.Last)
		if name := fieldName(pointer); name == "start" || name == "end" {
			give = to.say(timeOfWindow)
		}
		return faultWords{wrong: to.say("is %s, no time of day", strconv.Quote(k.Got)), give: give}
	case fault.NotAnInstant:
		return faultWords{wrong: to.say("is %s, no time with its offset", strconv.Quote(k.Got)), give: to.say(rightInstant)}
	case fault.NotLater:
		return faultWords{wrong: to.say("is %s, not later than %s in the row before", k.At, k.Before), give: to.say("put the rows in the order of time, each time once")}
	case fault.SkippedTime:
		return faultWords{
			wrong: to.say("%s does not exist in %s: the clock goes from %s to %s", k.At, k.Zone, k.Before, k.After), give: to.say("give a time outside that gap"),
		}
	case fault.EndNotAfterStart:
		if k.EndDate == "" {
			return sentence(to.say("end %s is not after start %s on %s; give a later end, or for a window over midnight end_date %s",
				k.End, k.Start, k.Date, k.NextDate))
		}
		return sentence(to.say("the end, %s %s, is not after the start, %s %s; give a later one, at most 24 hours after the start",
			k.EndDate, k.End, k.Date, k.Start))
	case fault.WindowTooLong:
		return sentence(to.say("the window from %s %s to %s %s is %s long; give an end at most %d hours after the start",
			k.Date, k.Start, k.EndDate, k.End, (time.Duration(k.LongSeconds) * time.Second).String(), k.MostSeconds/3600))
	case fault.FromNotBeforeTo:
		return sentence(to.say("from %s is not before to %s; give an earlier from or a later to, on the window's date",
			byDefault(to, k.From, k.FromDefault), byDefault(to, k.To, k.ToDefault)))
	case fault.TooManySteps:
		return faultWords{
			wrong: to.say("%d makes %d steps from %s to %s", k.StepMin, k.Steps, k.From, k.To),
			give:  to.say("give one that makes at most %d, or a shorter time", k.Most),
		}
	case fault.ZoneOfMachine:
		return faultWords{wrong: to.say("is %s, which means another zone on every machine", strconv.Quote(k.Got)), give: to.say(rightZone)}
	case fault.ZoneInFolder:
		return faultWords{wrong: to.say("is %s, a machine's own folder of zones", strconv.Quote(k.Got)), give: to.say("give the name without that folder")}
	case fault.UnknownZone:
		return faultWords{wrong: to.say("is %s, which is no known zone", strconv.Quote(k.Got)), give: to.say(rightZone)}
	default:
		return faultWords{} // of another function
	}
}

// defaults follow a time that was left out.
var defaults = map[fault.TimeDefault]phrase.Key{
	fault.DayStart: "%s (by default, the day's start)", fault.DayEnd: "%s (by default, the day's end)",
	fault.Sunrise: "%s (by default, sunrise)", fault.Sunset: "%s (by default, sunset)",
}

func byDefault(to Reader, at string, d fault.TimeDefault) string {
	if k := defaults[d]; k != "" {
		return to.say(k, at)
	}
	return at
}
