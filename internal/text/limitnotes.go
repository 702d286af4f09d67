package text

import (
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/phrase"
)

// What an option asks of wind, limits, people and vehicles.

// remedies are what would make a piece hold a gust, as the end of a sentence.
func remedies(to Reader, list []finding.Remedy) string {
	ways := make([]string, len(list))
	for i := range list {
		ways[i] = remedy(to, &list[i])
	}
	return to.or(ways)
}

func remedy(to Reader, r *finding.Remedy) string {
	switch r.What {
	case finding.SmallerFrame:
		return to.say("a smaller frame, which the house lets stand longer")
	case finding.StrongerRopes:
		return to.say("stronger ropes")
	case finding.StrongerSupports:
		return to.say("supports for a larger load")
	case finding.MoreBallast:
		return to.say("%d × %s on each support (%d are all that a stand's legs take, or all that there are)", r.Each, r.Ballast.Name, r.Most)
	case finding.RoomForRopes:
		return to.say("ropes, for which there is no room out of shot, off the people and off what else is up")
	case finding.LongerRopes:
		return to.say("longer or more ropes than the house has left")
	case finding.FixedPoint:
		return to.say("a rope to something that bears the pull, such as a railing or a bollard, named as a fixed point in site.anchors once somebody has checked it")
	case finding.Stakes:
		return to.say("ropes to stakes, which this ground takes: set ground_anchor to stakes")
	case finding.WiderFeet:
		return to.say("supports on wider feet")
	case finding.SmallerSheet:
		return to.say("a sheet of about %s in its place, or lower down", to.area(r.AreaM2))
	case finding.CalmerHour:
		return to.say("an hour with gusts under %.1f m/s", DownToTenth(r.UnderMS))
	}
	return string(r.What)
}

// aspects names what is left out of what a look asks.
func aspects(to Reader, list []finding.Aspect) (out []string) {
	words := map[finding.Aspect]phrase.Key{
		finding.Softening: "the softening", finding.Key: "the lift of the key", finding.Contrast: "fill and black",
		finding.Zone: "the light on further zones", finding.Back: "the lamp behind", finding.Net: "the net",
	}
	for _, a := range list {
		if k := words[a]; k != "" {
			out = append(out, to.say(k))
		} else {
			out = append(out, string(a))
		}
	}
	return out
}

func aboutLimits(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.LeftOut:
		return to.say("Left out to keep the limits: %s.", to.and(aspects(to, n.What)))
	case finding.OverPrice:
		return to.say("The hire is over the limit of %s a day by %s.", to.money(n.Limit), to.money(n.Over))
	case finding.OverTotal:
		return to.say("The day is over the limit of %s by %s, hire, labour and transport together.", to.money(n.Limit), to.money(n.Over))
	case finding.OverVehicle:
		return to.say("Takes more than one load of the %s: %.0f kg, %.1f m³ packed.", n.Vehicle.Name, math.Ceil(n.MassKg), n.VolumeM3)
	case finding.OverCrew:
		return to.say("Takes %d people, %d more than the limit of %d.", n.People, n.People-n.Limit, n.Limit)
	case finding.OverMass:
		return to.say("Weighs %.0f kg with all that holds it, %.0f kg over the limit of %.0f kg.", n.MassKg, math.Ceil(n.MassKg-n.LimitKg), n.LimitKg)
	case finding.OverHeight:
		return to.say("%s reaches %s up, %s over the limit of %s.", upper(to.theRole(n.Role)), to.length(n.TopM, 2),
			to.atLeast(n.TopM-n.LimitM, 2), to.length(n.LimitM, 2))
	default:
		return ""
	}
}

func aboutPeople(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.HeavyLift:
		return to.say("%s: what is lifted at once, %.0f kg, takes %d people, and no more than %d lift well as one team: lift it in %d teams, side by side and on one person's word, or by machine.",
			upper(to.theRole(n.Role)), math.Ceil(n.LiftedKg), n.People, n.Most, n.Teams)
	case finding.LowEdge:
		return upper(to.say("An edge of %s hangs %s over the ground, %s: nobody walks upright under it. Tape or flags along it, and a way around it kept clear.",
			to.theRole(n.Role), to.length(DownToTenth(n.LowM), 1), asSeen(to, n.RightM, n.BehindM)))
	case finding.SlewingRoom:
		return to.say("Slewing room: nobody within %s of a machine while it lifts or moves. "+
			"The working load is that at full arm; the operator's own table and limits go before.", to.atLeast(n.WithinM, 1))
	case finding.NoLabour:
		return to.say("The house sends nobody for %d × %s: not in the price of labour.", n.Quantity, n.Labour)
	case finding.TooFew:
		return to.say("The plan takes %d × %s, the house has %d: bring the others.", n.Quantity, n.Name, n.Owned)
	case finding.MachinesApart:
		return to.say("Machines come on carriers of their own, which are not in the price of transport.")
	case finding.NoTransport:
		return to.say("%.0f kg in %.1f m³ are more than the house's vehicles carry in %d trips each: transport is not in the price.", n.MassKg, n.VolumeM3, n.Trips)
	case finding.ManyTrips:
		return to.say("The load is %.0f kg: vehicles drive up to %d times.", n.MassKg, n.Trips)
	default:
		return ""
	}
}

// asSeen says where a point on the ground lies from the subject, as seen from the lens.
func asSeen(to Reader, rightM, behindM float64) string {
	across, along := to.length(math.Abs(rightM), 1), to.length(math.Abs(behindM), 1)
	switch left, front := rightM < 0, behindM < 0; {
	case left && front:
		return to.say("%s to the left and %s in front of the subject", across, along)
	case left:
		return to.say("%s to the left and %s behind the subject", across, along)
	case front:
		return to.say("%s to the right and %s in front of the subject", across, along)
	}
	return to.say("%s to the right and %s behind the subject", across, along)
}
