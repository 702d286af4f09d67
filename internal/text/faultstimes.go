package text

import (
	"fmt"
	"strconv"
	"time"

	"kitspan/internal/fault"
)

const (
	rightZone    = "give an IANA zone name such as Europe/Lisbon"
	rightInstant = "give date and time with the offset from UTC, such as 2027-06-18T16:00:00+01:00; in CSV a local time such as 2027-06-18 16:00 will do"
)

// ofTimes words faults of dates, times and zones of time.
func ofTimes(pointer string, kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.NotADate:
		return faultWords{wrong: "is " + strconv.Quote(k.Got) + ", no date of the calendar", give: "give one as YYYY-MM-DD"}
	case fault.YearOutOfRange:
		return faultWords{wrong: "is " + strconv.Quote(k.Got) + ", out of range", give: fmt.Sprintf("give a date from the years %d to %d", k.LeastYear, k.MostYear)}
	case fault.NotATime:
		give := "give HH:MM from 00:00 to " + k.Last
		if name := fieldName(pointer); name == "start" || name == "end" {
			give = timeOfWindow
		}
		return faultWords{wrong: "is " + strconv.Quote(k.Got) + ", no time of day", give: give}
	case fault.NotAnInstant:
		return faultWords{wrong: "is " + strconv.Quote(k.Got) + ", no time with its offset", give: rightInstant}
	case fault.NotLater:
		return faultWords{wrong: "is " + k.At + ", not later than " + k.Before + " in the row before", give: "put the rows in the order of time, each time once"}
	case fault.SkippedTime:
		return faultWords{
			wrong: fmt.Sprintf("%s does not exist in %s: the clock goes from %s to %s", k.At, k.Zone, k.Before, k.After), give: "give a time outside that gap",
		}
	case fault.EndNotAfterStart:
		if k.EndDate == "" {
			return sentence(fmt.Sprintf("end %s is not after start %s on %s; give a later end, or for a window over midnight end_date %s",
				k.End, k.Start, k.Date, k.NextDate))
		}
		return sentence(fmt.Sprintf("the end, %s %s, is not after the start, %s %s; give a later one, at most 24 hours after the start",
			k.EndDate, k.End, k.Date, k.Start))
	case fault.WindowTooLong:
		return sentence(fmt.Sprintf("the window from %s %s to %s %s is %s long; give an end at most %d hours after the start",
			k.Date, k.Start, k.EndDate, k.End, time.Duration(k.LongSeconds)*time.Second, k.MostSeconds/3600))
	case fault.FromNotBeforeTo:
		return sentence(fmt.Sprintf("from %s%s is not before to %s%s; give an earlier from or a later to, on the window's date",
			k.From, byDefault[k.FromDefault], k.To, byDefault[k.ToDefault]))
	case fault.TooManySteps:
		return faultWords{
			wrong: fmt.Sprintf("%d makes %d steps from %s to %s", k.StepMin, k.Steps, k.From, k.To),
			give:  fmt.Sprintf("give one that makes at most %d, or a shorter time", k.Most),
		}
	case fault.ZoneOfMachine:
		return faultWords{wrong: "is " + strconv.Quote(k.Got) + ", which means another zone on every machine", give: rightZone}
	case fault.ZoneInFolder:
		return faultWords{wrong: "is " + strconv.Quote(k.Got) + ", a machine's own folder of zones", give: "give the name without that folder"}
	case fault.UnknownZone:
		return faultWords{wrong: "is " + strconv.Quote(k.Got) + ", which is no known zone", give: rightZone}
	default:
		return faultWords{} // of another function
	}
}

// byDefault follows a time that was left out.
var byDefault = map[fault.TimeDefault]string{
	fault.DayStart: " (by default, the day's start)", fault.DayEnd: " (by default, the day's end)",
	fault.Sunrise: " (by default, sunrise)", fault.Sunset: " (by default, sunset)",
}
