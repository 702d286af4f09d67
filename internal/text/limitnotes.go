package text

import (
	"cmp"
	"fmt"
	"math"

	"kitspan/internal/finding"
)

// What an option asks of wind, limits, people and vehicles.

// remedies are what would make a piece hold a gust, as the end of a sentence.
func remedies(u Reader, list []finding.Remedy) string {
	ways := make([]string, len(list))
	for i := range list {
		ways[i] = remedy(u, &list[i])
	}
	return listed(ways, ", or ")
}

func remedy(u Reader, r *finding.Remedy) string {
	switch r.What {
	case finding.SmallerFrame:
		return "a smaller frame, which the house lets stand longer"
	case finding.StrongerRopes:
		return "stronger ropes"
	case finding.StrongerSupports:
		return "supports for a larger load"
	case finding.MoreBallast:
		return fmt.Sprintf("%d × %s on each support (%d are all that a stand's legs take, or all that there are)", r.Each, r.Ballast.Name, r.Most)
	case finding.RoomForRopes:
		return "ropes, for which there is no room out of shot, off the people and off what else is up"
	case finding.LongerRopes:
		return "longer or more ropes than the house has left"
	case finding.FixedPoint:
		return "a rope to something that bears the pull, such as a railing or a bollard, named as a fixed point in site.anchors once somebody has checked it"
	case finding.Stakes:
		return "ropes to stakes, which this ground takes: set ground_anchor to stakes"
	case finding.WiderFeet:
		return "supports on wider feet"
	case finding.SmallerSheet:
		return fmt.Sprintf("a sheet of about %s in its place, or lower down", u.area(r.AreaM2))
	case finding.CalmerHour:
		return fmt.Sprintf("an hour with gusts under %.1f m/s", DownToTenth(r.UnderMS))
	}
	return string(r.What)
}

// aspects names what is left out of what a look asks.
func aspects(list []finding.Aspect) (out []string) {
	words := map[finding.Aspect]string{
		finding.Softening: "the softening", finding.Key: "the lift of the key", finding.Contrast: "fill and black",
		finding.Zone: "the light on further zones", finding.Back: "the lamp behind", finding.Net: "the net",
	}
	for _, a := range list {
		out = append(out, cmp.Or(words[a], string(a)))
	}
	return out
}

func aboutLimits(u Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.LeftOut:
		return fmt.Sprintf("Left out to keep the limits: %s.", listed(aspects(n.What), " and "))
	case finding.OverPrice:
		return fmt.Sprintf("The hire is over the limit of %s a day by %s.", money(n.Limit), money(n.Over))
	case finding.OverTotal:
		return fmt.Sprintf("The day is over the limit of %s by %s, hire, labour and transport together.", money(n.Limit), money(n.Over))
	case finding.OverVehicle:
		return fmt.Sprintf("Takes more than one load of the %s: %.0f kg, %.1f m³ packed.", n.Vehicle.Name, math.Ceil(n.MassKg), n.VolumeM3)
	case finding.OverCrew:
		return fmt.Sprintf("Takes %d people, %d more than the limit of %d.", n.People, n.People-n.Limit, n.Limit)
	case finding.OverMass:
		return fmt.Sprintf("Weighs %.0f kg with all that holds it, %.0f kg over the limit of %.0f kg.", n.MassKg, math.Ceil(n.MassKg-n.LimitKg), n.LimitKg)
	case finding.OverHeight:
		return fmt.Sprintf("%s reaches %s up, %s over the limit of %s.", upper(roleWords[n.Role].the), u.length(n.TopM, 2),
			u.atLeast(n.TopM-n.LimitM, 2), u.length(n.LimitM, 2))
	default:
		return ""
	}
}

func aboutPeople(u Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.HeavyLift:
		return fmt.Sprintf("%s: what is lifted at once, %.0f kg, takes %d people, and no more than %d lift well as one team: lift it in %d teams, side by side and on one person's word, or by machine.",
			upper(roleWords[n.Role].the), math.Ceil(n.LiftedKg), n.People, n.Most, n.Teams)
	case finding.LowEdge:
		return fmt.Sprintf("An edge of %s hangs %s over the ground, %s: nobody walks upright under it. Tape or flags along it, and a way around it kept clear.",
			roleWords[n.Role].the, u.length(DownToTenth(n.LowM), 1), asSeen(u, n.RightM, n.BehindM))
	case finding.SlewingRoom:
		return fmt.Sprintf("Slewing room: nobody within %s of a machine while it lifts or moves. "+
			"The working load is that at full arm; the operator's own table and limits go before.", u.atLeast(n.WithinM, 1))
	case finding.NoLabour:
		return fmt.Sprintf("The house sends nobody for %d × %s: not in the price of labour.", n.Quantity, n.Labour)
	case finding.TooFew:
		return fmt.Sprintf("The plan takes %d × %s, the house has %d: bring the others.", n.Quantity, n.Name, n.Owned)
	case finding.MachinesApart:
		return "Machines come on carriers of their own, which are not in the price of transport."
	case finding.NoTransport:
		return fmt.Sprintf("%.0f kg in %.1f m³ are more than the house's vehicles carry in %d trips each: transport is not in the price.", n.MassKg, n.VolumeM3, n.Trips)
	case finding.ManyTrips:
		return fmt.Sprintf("The load is %.0f kg: vehicles drive up to %d times.", n.MassKg, n.Trips)
	default:
		return ""
	}
}

// asSeen says where a point on the ground lies from the subject, as seen from the lens.
func asSeen(u Reader, rightM, behindM float64) string {
	across, along := "right", "behind"
	if rightM < 0 {
		across = "left"
	}
	if behindM < 0 {
		along = "in front of"
	}
	return fmt.Sprintf("%s to the %s and %s %s the subject", u.length(math.Abs(rightM), 1), across, u.length(math.Abs(behindM), 1), along)
}
