package text

import (
	"math"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/light"
	"kitspan/internal/rigging"
)

// Explained is a number of a plan as it is printed, how it was worked out from this plan's figures, and by whose rule.
type Explained struct{ Number, Says, Source string }

// Reason words where a number comes from. Formulas are in metres, kilograms and newtons whatever the reader's units: the rules are.
// Figures have a decimal more than where they are printed, so that what is worked out from them again comes to the number.
func Reason(to Reader, reason finding.Reason) Explained {
	switch r := reason.(type) {
	case finding.ForceReason:
		return Explained{
			to.say("Wind: %.0f N", UpToWhole(r.ForceN)),
			to.say("q = ½ · %.2f kg/m³ · (%s m/s)² = %.2f Pa; c · q · A = %.3f · %.2f Pa · %.2f m² = %.1f N, rounded up.", rigging.AirDensity, to.plain(r.GustMS),
				r.PressurePa, r.Coefficient, r.PressurePa, r.AreaM2, r.ForceN),
			to.say("EN 1991-1-4: density and pressure by 4.5, the coefficient c by the tilt from Table 7.6 (open canopy) up to 7.4.3 (signboard), straight lines between; an open net less, by its solidity (ASCE 7)."),
		}
	case finding.GustReason:
		return gustReason(to, &r)
	case finding.BallastReason:
		return ballastReason(to, &r)
	case finding.KeyReason:
		return Explained{
			to.say("Key: %+.1f stops", tenth(r.Stops)),
			to.say("log2(%s / %s) = %+.2f: the light on the key face over that which the camera is set for.", to.threeFigures(r.KeyLx), to.threeFigures(r.ReferenceLx), hundredth(r.Stops)),
			to.say("By definition: a stop is twice the light. The levels are estimates; a meter on the day decides."),
		}
	case finding.DensityReason:
		return densityReason(to, &r)
	case finding.PeopleReason:
		return peopleReason(to, &r)
	case finding.TimeReason:
		return timeReason(to, &r)
	case finding.LoadReason:
		return loadReason(to, &r)
	}
	return Explained{}
}

const percent = 100

// hundredth rounds to two decimals without leaving a minus before nothing.
func hundredth(v float64) float64 { return ToNearest(v, 2) }

// threeFigures is a level to three figures however low it is: a whole number of lux is too coarse for the hundredth of a stop below a
// hundred.
func (to Reader) threeFigures(lx float64) string {
	const figures = 3
	if lx >= 100 || lx <= 0 {
		return to.lux(lx)
	}
	return to.fixed(lx, figures-1-int(math.Floor(math.Log10(lx)))) + " lx"
}

func gustReason(to Reader, r *finding.GustReason) Explained {
	goes := to.say(goesFirst[r.Governs])
	if r.Held && r.Governs == rigging.GovernsSupport {
		goes = to.say("nobody holds it in more")
	}
	var says string
	if r.LimitMS > 0 {
		says = to.say("It goes at %.2f m/s and is safe to %.2f with a factor of %s on the wind; what is lower is a set limit, %.2f m/s (%s).",
			r.GoesAtMS, r.SafeToMS, to.plain(r.Factor), r.LimitMS, goes)
	} else {
		says = to.say("It goes at %.2f m/s (%s) and is safe to %.2f with a factor of %s on the wind. It is lowered at the less of %.2f and %.0f %% of %.2f, which is %.2f m/s.",
			r.GoesAtMS, goes, r.SafeToMS, to.plain(r.Factor), r.SafeToMS, percent*rigging.LowerShare, r.GoesAtMS, r.LowerAtMS)
	}
	says += " " + to.say("It is watched from %.0f %% of %.2f: %.2f m/s. Each is printed rounded down to a tenth.", percent*rigging.WatchShare, r.LowerAtMS, r.WatchAtMS)
	if r.LowerAtMS > 0 {
		says += " " + to.say("Force goes with the square of the gust: from where it is lowered to where it goes it grows (%.2f / %.2f)² = %.2f times.",
			r.GoesAtMS, r.LowerAtMS, (r.GoesAtMS/r.LowerAtMS)*(r.GoesAtMS/r.LowerAtMS))
	}
	source := to.say("By equilibrium, an estimate and no proof that it is safe. The default factor of %.1f is that of EN 12811-1 (from memory); %.0f %% of what it goes at and, for watching, %.0f %% of that are from the event guide of Cardiff council.",
		rigging.DefaultSafetyFactor, percent*rigging.LowerShare, percent*rigging.WatchShare)
	if r.Held {
		source = to.say("An estimate and no proof that it is safe. What a person holds against the wind: 7 kgf (HSE, to keep a load moving), and nothing in more than 5 m/s (common practice, no source).")
	}
	return Explained{
		to.say("Watch from %.1f m/s, lower at %.1f, safe to %.1f", DownToTenth(r.WatchAtMS), DownToTenth(r.LowerAtMS), DownToTenth(r.SafeToMS)), says, source,
	}
}

func ballastReason(to Reader, r *finding.BallastReason) Explained {
	return Explained{
		to.say("Ballast on the bases: %s kg", to.plain(float64(r.Bags)*r.EachKg)),
		to.say("%d × %s kg = %s kg, on %d bases: what holds a gust of %s m/s, or comes nearest to it, in whole bags or blocks, alike on stands that are alike; and on no base less than %s kg, or %s kg with an arm or held over 3 m high.",
			r.Bags, to.plain(r.EachKg), to.plain(float64(r.Bags)*r.EachKg), r.Bases, to.plain(r.GustMS), to.plain(r.FloorKg), to.plain(r.HighKg)),
		to.say("By equilibrium on wet ground, an estimate: whoever rigs it decides. The least on a base is common practice, no source."),
	}
}

func densityReason(to Reader, r *finding.DensityReason) Explained {
	background := to.say("Background: EV %.2f, as read.", r.EV100)
	if !r.Measured {
		background = to.say("Background: EV = log2(%s · 100 / 250) = %.2f.", to.threeFigures(r.ReferenceLx), r.EV100)
	}
	camera := to.say("Camera: EV = log2(T² · 360 · fps / angle · 100 / ISO) = log2(%s² · 360 · %s / %s · 100 / %s) = %.2f.",
		to.plain(r.TStop), to.plain(r.FrameRateFPS), to.plain(r.AngleDeg), to.plain(r.ISO), r.CameraEV100)
	takes := to.say("Background − camera − placement: %.2f − %.2f − (%+.2f) = %+.2f stops; · log10 2 = density %.2f.", hundredth(r.EV100), hundredth(r.CameraEV100),
		hundredth(r.PlacementStops), hundredth(r.Stops), r.Density)
	if r.Stops < 0 {
		takes = to.say("Background − camera − placement: %.2f − %.2f − (%+.2f) = %+.2f stops: light is missing, and no filter mends that.", hundredth(r.EV100), hundredth(r.CameraEV100),
			hundredth(r.PlacementStops), hundredth(r.Stops))
	}
	return Explained{
		to.say("Neutral density: %.1f", r.Density), background + " " + camera + " " + takes,
		to.say("ISO 2720, with its constant C = 250; a stop of neutral density is log10 2 = %.3f, of which the trade makes 0.3.", light.NDDensity(1)),
	}
}

func peopleReason(to Reader, r *finding.PeopleReason) Explained {
	says := to.say("Going up takes %d at the largest moment, with those who hold what stands; while the camera runs there are %d: %d who stay with pieces (1 at least), %d for lamps on the mains. The more of the two, %d; whoever is in charge lifts with the others.",
		r.Raise, r.Work, r.Hold, r.Electricians, r.Total)
	if !r.LeadLifts {
		says = to.say("Going up takes %d at the largest moment, with those who hold what stands, the one in charge and operators; while the camera runs there are %d: %d who stay with pieces, %d for lamps on the mains, %d machine operators, 1 in charge. The more of the two: %d.",
			r.Raise, r.Work, r.Hold, r.Electricians, r.Operators, r.Total)
	}
	return Explained{
		upper(people(to, r.Total)), says,
		to.say("Lifting by the revised NIOSH equation with the 23 kg of ISO 11228-1; two together lift 2/3 of their sum, three and more half (HSE L23). How many hands a frame wants, who stays and who is in charge: common practice, no source."),
	}
}

func timeReason(to Reader, r *finding.TimeReason) Explained {
	e, m := &r.Effort, rigging.Rates()
	return Explained{
		to.say("%d min to rig", r.RigMin),
		to.say("%s to begin + %s · %d pieces + %s · %.1f m² + %s · %d machines + %s · %d lamps on the mains + (%s · %d supports + %s · %d bags + %s · %d ropes + %s · %d weights of ropes) / %s pairs of hands = %.1f min, rounded up to 5.",
			to.plain(m.Arrive), to.plain(m.Piece), e.Pieces, to.plain(m.M2), e.AreaM2, to.plain(m.Machine), e.Machines, to.plain(m.Mains), e.Mains,
			to.plain(m.Support), e.Supports, to.plain(m.Bag), e.Bags, to.plain(m.Line), e.Lines, to.plain(m.Weight), e.Weights, to.plain(e.Pairs), r.Minutes),
		to.say("Minutes of one pair of hands in calm, dry weather on good ground: common practice, no source. Striking takes 0.6 of it."),
	}
}

func loadReason(to Reader, r *finding.LoadReason) Explained {
	says := []string{to.say("To carry, without machines: %.0f kg and %.2f m³.", ToNearest(r.MassKg, 0), ToNearest(r.VolumeM3, 2))}
	for i := range r.Vehicles {
		says = append(says, carrier(to, &r.Vehicles[i]))
	}
	if len(r.Vehicles) == 0 {
		says = append(says, to.say("The house's vehicles do not carry it."))
	} else {
		says = append(says, to.say("Of the payload goes %d kg more for each of the crew who finds a seat, on one trip. Of all ways this costs least.", rigging.RiderKg))
	}
	return Explained{
		to.say("Transport: %.0f kg, %.2f m³", ToNearest(r.MassKg, 0), ToNearest(r.VolumeM3, 2)), strings.Join(says, " "),
		to.say("Payload and load space are the catalogue's. That packed gear fills %.0f %% of a load space and a person weighs %d kg: common practice, no source.", percent*rigging.UsableVolume, rigging.RiderKg),
	}
}

// carrier is what vehicles of a kind take on all their trips.
func carrier(to Reader, c *finding.Carrier) string {
	trips := float64(c.Trips)
	rides := 0.0
	if c.Seats > 0 {
		rides = rigging.RiderKg
	}
	return to.say("%d × %s, trips %d: they take %d · (%s − %s) = %s kg with the driver off, and %d · %s · %s m³ = %.2f m³.", c.Quantity, c.Name, c.Trips,
		c.Trips, to.plain(c.PayloadKg), to.plain(rides), to.plain(trips*(c.PayloadKg-rides)), c.Trips, to.plain(rigging.UsableVolume), to.plain(c.LoadM3), trips*rigging.UsableVolume*c.LoadM3)
}
