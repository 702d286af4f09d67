package text

import (
	"math"
	"strconv"
	"strings"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/rigging"
)

// Notes returns findings as sentences, in their order.
func Notes(to Reader, list []finding.Note) []string {
	out := make([]string, len(list))
	for i, n := range list {
		out[i] = Note(to, n)
	}
	return out
}

// Note returns a finding as one or more sentences.
func Note(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.ReadingsUnderRoof, finding.SunUnderSky, finding.ReadingInTheDark, finding.ReadingTooBright, finding.TimeTwice,
		finding.SoftGround:
		return said(to, n)
	case finding.LampInView, finding.SunDown, finding.NoDirectSun, finding.SunInView, finding.SunInFront, finding.LensUnshaded,
		finding.ZoneUnseen:
		return aboutSources(to, n)
	case finding.SofteningOff, finding.NothingToSoften, finding.EveryFrameDoes, finding.SofteningLeftOut, finding.LightThroughPicture,
		finding.OtherHour, finding.Moved, finding.SwitchedOff, finding.PracticalsLeft, finding.Walks, finding.HandHeld:
		return aboutSoftening(to, n)
	case finding.BackgroundApart, finding.DarkBackground, finding.KeyUnlifted, finding.KeyTooBright, finding.KeyTooDark, finding.KeyPlaced, finding.KeyMissed,
		finding.KeyHard, finding.KeyBare, finding.ColourMissed,
		finding.ContrastMissed, finding.FillLeft, finding.FillPlaced, finding.BackMissed, finding.ZoneMissed:
		return aboutLevels(to, n)
	case finding.ReAim, finding.AimHolds, finding.SunForPart, finding.BackLampTowardLens, finding.LampsDraw, finding.GustKeepsOff:
		return aboutWork(to, n)
	case finding.NetNotOwned, finding.NetUnseen, finding.NetNoRoom, finding.NetTooSmall:
		return aboutNet(to, n)
	case finding.NotHeld:
		return to.say("%s holds a gust of %.1f m/s at most, %.1f m/s is asked; what goes first: %s. It would take %s.", upper(to.theRole(n.Role)),
			DownToTenth(n.LowerAtMS), n.AskedMS, to.say(goesFirst[n.Governs]), remedies(to, n.Remedies))
	case finding.MustBeDown, finding.ForecastShort:
		return aboutForecast(to, n)
	case finding.LeftOut, finding.OverPrice, finding.OverTotal, finding.OverVehicle, finding.OverCrew, finding.OverMass, finding.OverHeight:
		return aboutLimits(to, n)
	case finding.LowEdge, finding.HeavyLift, finding.SlewingRoom, finding.NoLabour, finding.TooFew, finding.MachinesApart, finding.NoTransport, finding.ManyTrips:
		return aboutPeople(to, n)
	case finding.LongDay, finding.CannotTogether, finding.PinMissed, finding.NoStart, finding.OverJobTotal, finding.NoDayTransport, finding.NoRate,
		finding.WayUnsaid, finding.ShotAtOnce, finding.LeadLifts:
		return aboutJob(to, n)
	}
	return ""
}

// said words what the shot as it was given gives rise to.
func said(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.ReadingsUnderRoof:
		return to.say("The site is roofed: the readings of sun and sky are not used.")
	case finding.SunUnderSky:
		return to.say("The sun was read at %s lx, less than the sky at %s lx: as under cloud. "+
			"If the sky is clear, check that sun_lx was read facing the sun and sky_lx with the sun blocked.", to.asTyped(n.SunLx), to.asTyped(n.SkyLx))
	case finding.ReadingInTheDark:
		return to.ofSky(n.Of, "%s is %s lx, but in the middle of the window, at %s, there is no light from the sun: the reading is not used. Check the window.",
			"%s is %s lx, but in the middle of the window, at %s, there is no light from the sky: the reading is not used. Check the window.",
			n.Reading, to.asTyped(n.ReadingLx), clock(n.At))
	case finding.ReadingTooBright:
		return to.ofSky(n.Of, "%s is %s lx, but in the middle of the window, at %s, the sun gives %s lx at most: check the reading and the window.",
			"%s is %s lx, but in the middle of the window, at %s, the sky gives %s lx at most: check the reading and the window.",
			n.Reading, to.asTyped(n.ReadingLx), clock(n.At), to.roughly(n.MostLx))
	case finding.TimeTwice:
		return to.say("%s %s occurs twice in %s, where the clock is put back; the first, %s, is taken.",
			n.Field, n.Clock, n.TimeZone, n.Taken.Format(time.RFC3339))
	case finding.SoftGround:
		return upper(ground(to, n.Ground)) + ": " + to.say("boards under every foot; nothing on wheels. Roller stands are carried, and stand on their boards with the wheels locked or off.")
	default:
		return ""
	}
}

// ofSky is a sentence about the sun, or the same about the sky.
func (to Reader) ofSky(of finding.Daylight, sun, sky phrase.Key, args ...any) string {
	if of == finding.OfSky {
		return to.say(sky, args...)
	}
	return to.say(sun, args...)
}

func clock(t time.Time) string { return t.Format("15:04") }

// asTyped prints a number as a user would write it.
func (to Reader) asTyped(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-4 || a >= 1e9) {
		return to.language.Number(strconv.FormatFloat(v, 'g', -1, 64))
	}
	return to.language.Number(strconv.FormatFloat(v, 'f', -1, 64))
}

// roughly prints a number over 0 to two digits, as far as they stand before the point or right behind it.
func (to Reader) roughly(v float64) string {
	unit := math.Pow(10, math.Max(math.Floor(math.Log10(v))-1, -4))
	return to.asTyped(math.Round(v/unit) * unit)
}

func aboutSources(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.LampInView:
		return to.say("Lamp %s is in the picture.", n.Lamp)
	case finding.SunDown:
		return to.say("The sun is below the horizon, or gives no direct light, all through the window.")
	case finding.NoDirectSun:
		return to.say("The sky lets no direct sun through.")
	case finding.SunInView:
		var ways []string
		if n.TurnDeg > 0 {
			ways = append(ways, to.side(n.Side, "turn the lens %.0f° to the left", "turn the lens %.0f° to the right", n.TurnDeg))
		}
		if n.Until != nil {
			ways = append(ways, to.say("wait until %s, when it leaves the picture", clock(*n.Until)))
		}
		s := to.say("The sun is in the picture")
		if n.PartOfWindow {
			s = to.say("The sun is in the picture for part of the window")
		}
		if len(ways) > 0 {
			s = to.say("%s: %s", s, to.or(ways))
		}
		return s + "."
	case finding.SunInFront:
		return to.side(n.Side, "The sun stands in front of the subject at mid-window: turn the lens %.0f° to the left to have it straight behind.",
			"The sun stands in front of the subject at mid-window: turn the lens %.0f° to the right to have it straight behind.", n.TurnDeg)
	case finding.LensUnshaded:
		return to.say("%s falls on the lens and no solid panel of the house stands between out of the picture: shade the lens by hand or with a hood.",
			upper(SourceName(to, n.Source)))
	case finding.ZoneUnseen:
		return to.say("%s: no part of this zone is in the picture. Its middle is given east and north of the subject, whichever way the lens looks: check center_m.", upper(n.Zone))
	default:
		return ""
	}
}

func aboutSoftening(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.SofteningOff:
		return to.say("Softening is off: no overhead is planned.")
	case finding.NothingToSoften:
		return soft(to, n.Because)
	case finding.EveryFrameDoes:
		return soft(to, n.Because) + " " + to.say("Every frame does, up to the widest that a request may ask for.")
	case finding.SofteningLeftOut:
		s := to.say("The softening that is asked for is left out: the light on the subject stays hard, with sharp shadows.")
		if n.NoFrame {
			s = to.say("The softening that is asked for is left out: no frame of the house on stands does it.")
		}
		return s + theNearest(to, n.Nearest)
	case finding.LightThroughPicture:
		if n.Source == finding.Sun {
			return to.say("Light from the sun still crosses the picture %s from the zone, as far away as a frame is put: "+
				"raise or tilt the lens, narrow the shot, or shoot when the sun is higher.", to.length(n.DistanceM, 0))
		}
		return to.say("Light from lamp %s still crosses the picture %s from the zone, as far away as a frame is put: "+
			"raise or tilt the lens, narrow the shot, or shoot when the sun is higher.", string(n.Source), to.length(n.DistanceM, 0))
	case finding.OtherHour:
		return to.say("At another hour than asked, %s to %s, the sun stands so that this kit does; of the hours of the day that were planned it is the cheapest.", n.Start, n.End)
	case finding.Moved:
		return to.say("The window is cut: everything is moved %s in the course of it, and nothing is shot for %d min in all. Call them as breaks.", timesOf(to, n.Moves), n.Minutes)
	case finding.SwitchedOff:
		return switchedOff(to, &n)
	case finding.Walks:
		s := to.say("The people walk %s: all that stands is planned for the whole way at once, %s wide and %s deep, and levels are those in the middle of it.",
			to.length(n.LengthM, 1), to.length(n.WidthM, 1), to.length(n.DepthM, 1))
		if !n.MayCarry {
			s += " " + to.say("A frame is carried along with them only in a window of %d minutes at most and gusts of up to %.0f m/s.", rigging.HandMinutes, float64(rigging.HandGustMS))
		}
		return s
	case finding.HandHeld:
		s := to.say("%d people hold the frame, one at each side, for takes within %d minutes and up to gusts of %.1f m/s.", n.People, n.Minutes, DownToTenth(n.UpToMS))
		if n.Carried {
			s = to.say("%d people hold the frame, one at each side, for takes within %d minutes and up to gusts of %.1f m/s, and walk along, so that it stays where it is to the people; "+
				"boards, lamps and nets, which would stand still, are left out.", n.People, n.Minutes, DownToTenth(n.UpToMS))
		}
		return s + " " + to.say("In more wind, or when one of them tires, they let it down together; nobody ties it to themselves, and the one in charge holds nothing and watches the wind and the ground for them.")
	case finding.PracticalsLeft:
		return to.say("Left as it is: light from %s. A lamp that gives the people under %s lx, an eighth of the key wanted, is not worth softening where that is only preferred.",
			to.and(n.Lamps), to.roughly(n.UnderLx))
	default:
		return ""
	}
}

// switchedOff says which lamps to switch off, what that saves, and what to mind.
func switchedOff(to Reader, n *finding.SwitchedOff) string {
	says := []string{to.say("Switch off %s.", to.and(n.Lamps))}
	if n.OnlySo {
		says = append(says, to.say("No plan with every lamp on does as much."))
	}
	if n.Saves != nil {
		says = append(says, saving(to, n.Saves))
	}
	if n.BackgroundRead {
		says = append(says, to.say("The background was read with every lamp on: read it again."))
	}
	return strings.Join(append(says, to.say("Ask whoever runs the place; never lamps that light the ways out.")), " ")
}

// saving words what a plan takes less than the best with every lamp on, and what more.
func saving(to Reader, by *finding.Saving) string {
	var less, more []string
	say := func(by float64, what string) {
		switch {
		case by > 0:
			less = append(less, what)
		case by < 0:
			more = append(more, what)
		}
	}
	say(tenth(by.FrameM2), to.say("%s of frames", to.area(math.Abs(by.FrameM2))))
	if by.Total.IsNegative() {
		total, _ := by.Total.Mul("-1")
		more = append(more, to.say("%s a day", to.money(total)))
	} else if by.Total.IsPositive() {
		less = append(less, to.say("%s a day", to.money(by.Total)))
	}
	say(float64(by.People), people(to, int(math.Abs(float64(by.People)))))
	switch {
	case len(less)+len(more) == 0:
		return to.say("It takes about as much as the best plan like it with every lamp on.")
	case len(more) == 0:
		return to.say("It saves %s against the best plan like it with every lamp on.", to.and(less))
	case len(less) == 0:
		return to.say("It takes %s more than the best plan like it with every lamp on.", to.and(more))
	}
	return to.say("It saves %s, and takes %s more, against the best plan like it with every lamp on.", to.and(less), to.and(more))
}

// soft is why there is nothing to soften.
func soft(to Reader, s finding.Soft) string {
	switch s {
	case finding.SoftRoof:
		return to.say("Nothing to soften: a roof keeps the sun off and no lamps are given.")
	case finding.SoftRoofAndLamp:
		return to.say("Nothing to soften: a roof keeps the sun off, and no lamp counts as hard.")
	case finding.SoftSunDown:
		return to.say("Nothing to soften: the sun is below the horizon.")
	case finding.SoftNoBeam:
		return to.say("Nothing to soften: the sky lets no direct sun through.")
	case finding.SoftSwitchedOff:
		return to.say("Nothing to soften: with those lamps off no hard source is left.")
	case finding.SoftPractical:
		return to.say("Nothing to soften: every hard lamp is a small practical, far weaker than the key.")
	case finding.SoftNoSource:
	}
	return to.say("Nothing to soften: no hard source stands over the shot in this window.")
}

// theNearest is the frame that comes nearest, as a sentence after another.
func theNearest(to Reader, r *finding.RuledOut) string {
	if r == nil {
		return ""
	}
	return " " + to.say("The nearest: %s", RuledOut(to, r))
}

func aboutWork(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.ReAim:
		return to.say("Re-aim every %.0f min or sooner, as the sun carries the beam off: one person for up to %d boards near each other.", n.EveryMin, rigging.ReaimBoards)
	case finding.AimHolds:
		return to.say("Aimed for mid-window, the beam stays on the zone all through.")
	case finding.SunForPart:
		return to.say("The reflectors have the sun from %s to %s; in the rest of the window it gives less than an eighth of its most or stands under %.0f°: light by lamps then, or stop.",
			clock(n.From), clock(n.To), n.LowestDeg)
	case finding.BackLampTowardLens:
		return to.say("The lamp behind shines toward the lens: flag it off there.")
	case finding.LampsDraw:
		return to.say("The lamps draw %.1f kW.", n.PowerW/1000)
	case finding.GustKeepsOff:
		return to.say("What would come nearer for the %s does not hold a gust of %.1f m/s.", Role(to, n.Role, false), n.AskedMS)
	default:
		return ""
	}
}

func aboutNet(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.NetNotOwned:
		return to.say("The house has no net of %.1f stops: the background stays as it is.", n.AskedStops)
	case finding.NetUnseen:
		return to.say("The background net is left out: with the lens tilted down the picture ends on the ground before the place where a net could stand.")
	case finding.NetNoRoom:
		return to.say("The background net is left out: no net of that strength that fills the view behind the zone, %s wide and %s up at %s behind its middle, "+
			"has room to stand clear of the other pieces and out of shot.", to.length(n.WidthM, 1), to.length(n.TopM, 1), to.length(n.BehindM, 1))
	case finding.NetTooSmall:
		return to.say("The background net is left out: %s behind the middle of the zone the view is %s wide and reaches %s up, "+
			"and the largest net of that strength that could stand there is %s wide.",
			to.length(n.BehindM, 1), to.length(n.WidthM, 1), to.length(n.TopM, 1), to.length(n.LargestM, 1))
	default:
		return ""
	}
}
