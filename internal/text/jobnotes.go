package text

import (
	"math"

	"kitspan/internal/finding"
)

// aboutJob words what is to be said of a job and of its shots' choice.
func aboutJob(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.LongDay:
		return to.say("%s: %.1f hours from the first rigging to the last strike, and the rate of %s is for %.1f. Hours beyond are not in the total.",
			n.Date, n.Hours, n.Labour.Name, n.HoursPerDay)
	case finding.CannotTogether:
		return to.say("What each shot would take by itself cannot be had together: stock, a limit or the vehicles do not bear it, so that the job may cost more than its shots one by one.")
	case finding.PinMissed:
		return to.say("Pinned to %s, and no option of that kind was found.", n.Pin)
	case finding.NoStart:
		return to.say("No start within its span gives an option.")
	case finding.OverJobTotal:
		return to.say("The job is over the limit of %s by %s, hire, labour and transport together.", to.money(n.Limit), to.money(n.Over))
	case finding.NoDayTransport:
		return to.say("%s: %.0f kg in %.1f m³ are more than the house's vehicles carry: transport of that day is not in the total.", n.Date, math.Ceil(n.MassKg), n.VolumeM3)
	case finding.NoRate:
		return to.say("%s has no rate on %s: it is not in the total.", n.Item.Name, n.Date)
	case finding.WayUnsaid:
		return to.say("No way is given between %s and %s, %.0f km apart in a straight line: it counts as no time. Give its minutes in moves.", n.Between, n.And, n.Km)
	case finding.ShotAtOnce:
		return to.say("Shots %s are shot at the same time: each takes a camera unit of its own.", to.and(n.Shots))
	case finding.LeadLifts:
		return to.say("Shots %s are up at once at one place and share the one in charge, who lifts with the others: while one is rigged beside another, a hand more may be needed.", to.and(n.Shots))
	default:
		return ""
	}
}
