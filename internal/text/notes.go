package text

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/rigging"
)

// Notes returns findings as sentences, in their order.
func Notes(u Reader, list []finding.Note) []string {
	out := make([]string, len(list))
	for i, n := range list {
		out[i] = Note(u, n)
	}
	return out
}

// Note returns a finding as one or more sentences.
func Note(u Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.ReadingsUnderRoof, finding.SunUnderSky, finding.ReadingInTheDark, finding.ReadingTooBright, finding.TimeTwice,
		finding.SoftGround:
		return said(n)
	case finding.LampInView, finding.SunDown, finding.NoDirectSun, finding.SunInView, finding.SunInFront, finding.LensUnshaded,
		finding.ZoneUnseen:
		return aboutSources(n)
	case finding.SofteningOff, finding.NothingToSoften, finding.EveryFrameDoes, finding.SofteningLeftOut, finding.LightThroughPicture,
		finding.OtherHour, finding.Moved, finding.SwitchedOff, finding.PracticalsLeft, finding.Walks, finding.HandHeld:
		return aboutSoftening(u, n)
	case finding.BackgroundApart, finding.DarkBackground, finding.KeyUnlifted, finding.KeyTooBright, finding.KeyTooDark, finding.KeyPlaced, finding.KeyMissed,
		finding.KeyHard, finding.KeyBare, finding.ColourMissed,
		finding.ContrastMissed, finding.FillLeft, finding.FillPlaced, finding.BackMissed, finding.ZoneMissed:
		return aboutLevels(u, n)
	case finding.ReAim, finding.AimHolds, finding.SunForPart, finding.BackLampTowardLens, finding.LampsDraw, finding.GustKeepsOff:
		return aboutWork(n)
	case finding.NetNotOwned, finding.NetUnseen, finding.NetNoRoom, finding.NetTooSmall:
		return aboutNet(u, n)
	case finding.NotHeld:
		return fmt.Sprintf("%s holds a gust of %.1f m/s at most, %.1f m/s is asked; what goes first: %s. It would take %s.", upper(roleWords[n.Role].the),
			DownToTenth(n.LowerAtMS), n.AskedMS, goesFirst[n.Governs], remedies(u, n.Remedies))
	case finding.MustBeDown, finding.ForecastShort:
		return aboutForecast(n)
	case finding.LeftOut, finding.OverPrice, finding.OverTotal, finding.OverVehicle, finding.OverCrew, finding.OverMass, finding.OverHeight:
		return aboutLimits(u, n)
	case finding.LowEdge, finding.HeavyLift, finding.SlewingRoom, finding.NoLabour, finding.TooFew, finding.MachinesApart, finding.NoTransport, finding.ManyTrips:
		return aboutPeople(u, n)
	}
	return ""
}

// said words what the shot as it was given gives rise to.
func said(note finding.Note) string {
	switch n := note.(type) {
	case finding.ReadingsUnderRoof:
		return "The site is roofed: the readings of sun and sky are not used."
	case finding.SunUnderSky:
		return fmt.Sprintf("The sun was read at %s lx, less than the sky at %s lx: as under cloud. "+
			"If the sky is clear, check that sun_lx was read facing the sun and sky_lx with the sun blocked.", asTyped(n.SunLx), asTyped(n.SkyLx))
	case finding.ReadingInTheDark:
		return fmt.Sprintf("%s is %s lx, but in the middle of the window, at %s, there is no light from the %s: the reading is not used. Check the window.",
			n.Reading, asTyped(n.ReadingLx), clock(n.At), n.Of)
	case finding.ReadingTooBright:
		return fmt.Sprintf("%s is %s lx, but in the middle of the window, at %s, the %s gives %s lx at most: check the reading and the window.",
			n.Reading, asTyped(n.ReadingLx), clock(n.At), n.Of, roughly(n.MostLx))
	case finding.TimeTwice:
		return fmt.Sprintf("%s %s occurs twice in %s, where the clock is put back; the first, %s, is taken.",
			n.Field, n.Clock, n.TimeZone, n.Taken.Format(time.RFC3339))
	case finding.SoftGround:
		on := "On " + n.Ground
		if n.Ground == "water" {
			on = "By the water"
		}
		return on + ": boards under every foot; nothing on wheels. Roller stands are carried, and stand on their boards with the wheels locked or off."
	default:
		return ""
	}
}

func clock(t time.Time) string { return t.Format("15:04") }

// asTyped prints a number as a user would write it.
func asTyped(v float64) string {
	if a := math.Abs(v); a != 0 && (a < 1e-4 || a >= 1e9) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// roughly prints a number over 0 to two digits, as far as they stand before the point or right behind it.
func roughly(v float64) string {
	unit := math.Pow(10, math.Max(math.Floor(math.Log10(v))-1, -4))
	return asTyped(math.Round(v/unit) * unit)
}

func aboutSources(note finding.Note) string {
	switch n := note.(type) {
	case finding.LampInView:
		return "Lamp " + n.Lamp + " is in the picture."
	case finding.SunDown:
		return "The sun is below the horizon, or gives no direct light, all through the window."
	case finding.NoDirectSun:
		return "The sky lets no direct sun through."
	case finding.SunInView:
		var ways []string
		if n.TurnDeg > 0 {
			ways = append(ways, fmt.Sprintf("turn the lens %.0f° to the %s", n.TurnDeg, n.Side))
		}
		if n.Until != nil {
			ways = append(ways, fmt.Sprintf("wait until %s, when it leaves the picture", clock(*n.Until)))
		}
		s := "The sun is in the picture"
		if n.PartOfWindow {
			s += " for part of the window"
		}
		if len(ways) > 0 {
			s += ": " + strings.Join(ways, ", or ")
		}
		return s + "."
	case finding.SunInFront:
		return fmt.Sprintf("The sun stands in front of the subject at mid-window: turn the lens %.0f° to the %s to have it straight behind.", n.TurnDeg, n.Side)
	case finding.LensUnshaded:
		return upper(SourceName(n.Source)) +
			" falls on the lens and no solid panel of the house stands between out of the picture: shade the lens by hand or with a hood."
	case finding.ZoneUnseen:
		return upper(n.Zone) + ": no part of this zone is in the picture. Its middle is given east and north of the subject, whichever way the lens looks: check center_m."
	default:
		return ""
	}
}

func aboutSoftening(u Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.SofteningOff:
		return "Softening is off: no overhead is planned."
	case finding.NothingToSoften:
		return soft(n.Because)
	case finding.EveryFrameDoes:
		return soft(n.Because) + " Every frame does, up to the widest that a request may ask for."
	case finding.SofteningLeftOut:
		s := "The softening that is asked for is left out: the light on the subject stays hard, with sharp shadows."
		if n.NoFrame {
			s = "The softening that is asked for is left out: no frame of the house on stands does it."
		}
		return s + theNearest(u, n.Nearest)
	case finding.LightThroughPicture:
		return fmt.Sprintf("Light from %s still crosses the picture %s from the zone, as far away as a frame is put: "+
			"raise or tilt the lens, narrow the shot, or shoot when the sun is higher.", SourceName(n.Source), u.length(n.DistanceM, 0))
	case finding.OtherHour:
		return fmt.Sprintf("At another hour than asked, %s to %s, the sun stands so that this kit does; of the hours of the day that were planned it is the cheapest.", n.Start, n.End)
	case finding.Moved:
		return fmt.Sprintf("The window is cut: everything is moved %s in the course of it, and nothing is shot for %d min in all. Call them as breaks.", timesOf(n.Moves), n.Minutes)
	case finding.SwitchedOff:
		return switchedOff(u, &n)
	case finding.Walks:
		s := fmt.Sprintf("The people walk %s: all that stands is planned for the whole way at once, %s wide and %s deep, and levels are those in the middle of it.",
			u.length(n.LengthM, 1), u.length(n.WidthM, 1), u.length(n.DepthM, 1))
		if !n.MayCarry {
			s += fmt.Sprintf(" A frame is carried along with them only in a window of %d minutes at most and gusts of up to %.0f m/s.", rigging.HandMinutes, rigging.HandGustMS)
		}
		return s
	case finding.HandHeld:
		s := fmt.Sprintf("%d people hold the frame, one at each side, for takes within %d minutes and up to gusts of %.1f m/s", n.People, n.Minutes, DownToTenth(n.UpToMS))
		if n.Carried {
			s += ", and walk along, so that it stays where it is to the people; boards, lamps and nets, which would stand still, are left out"
		}
		return s + ". In more wind, or when one of them tires, they let it down together; nobody ties it to themselves, and the one in charge holds nothing and watches the wind and the ground for them."
	case finding.PracticalsLeft:
		return fmt.Sprintf("Left as it is: light from %s. A lamp that gives the people under %s lx, an eighth of the key wanted, is not worth softening where that is only preferred.",
			listed(n.Lamps, " and "), roughly(n.UnderLx))
	default:
		return ""
	}
}

// switchedOff says which lamps to switch off, what that saves, and what to mind.
func switchedOff(u Reader, n *finding.SwitchedOff) string {
	s := "Switch off " + listed(n.Lamps, " and ") + "."
	if n.OnlySo {
		s += " No plan with every lamp on does as much."
	}
	if n.Saves != nil {
		s += " " + upper(saving(u, n.Saves)) + "."
	}
	if n.BackgroundRead {
		s += " The background was read with every lamp on: read it again."
	}
	return s + " Ask whoever runs the place; never lamps that light the ways out."
}

// saving words what a plan takes less than the best with every lamp on, and what more.
func saving(u Reader, by *finding.Saving) string {
	var less, more []string
	say := func(by float64, what string) {
		switch {
		case by > 0:
			less = append(less, what)
		case by < 0:
			more = append(more, what)
		}
	}
	say(tenth(by.FrameM2), u.area(math.Abs(by.FrameM2))+" of frames")
	if by.Total.IsNegative() {
		total, _ := by.Total.Mul("-1")
		more = append(more, money(total)+" a day")
	} else if by.Total.IsPositive() {
		less = append(less, money(by.Total)+" a day")
	}
	say(float64(by.People), people(int(math.Abs(float64(by.People)))))
	const against = "the best plan like it with every lamp on"
	switch {
	case len(less)+len(more) == 0:
		return "it takes about as much as " + against
	case len(more) == 0:
		return "it saves " + listed(less, " and ") + " against " + against
	case len(less) == 0:
		return "it takes " + listed(more, " and ") + " more than " + against
	}
	return "it saves " + listed(less, " and ") + ", and takes " + listed(more, " and ") + " more, against " + against
}

// soft is why there is nothing to soften.
func soft(s finding.Soft) string {
	switch s {
	case finding.SoftRoof:
		return "Nothing to soften: a roof keeps the sun off and no lamps are given."
	case finding.SoftRoofAndLamp:
		return "Nothing to soften: a roof keeps the sun off, and no lamp counts as hard."
	case finding.SoftSunDown:
		return "Nothing to soften: the sun is below the horizon."
	case finding.SoftNoBeam:
		return "Nothing to soften: the sky lets no direct sun through."
	case finding.SoftSwitchedOff:
		return "Nothing to soften: with those lamps off no hard source is left."
	case finding.SoftPractical:
		return "Nothing to soften: every hard lamp is a small practical, far weaker than the key."
	case finding.SoftNoSource:
	}
	return "Nothing to soften: no hard source stands over the shot in this window."
}

// theNearest is the frame that comes nearest, as a sentence after another.
func theNearest(u Reader, r *finding.RuledOut) string {
	if r == nil {
		return ""
	}
	return " The nearest: " + RuledOut(u, r)
}

func aboutWork(note finding.Note) string {
	switch n := note.(type) {
	case finding.ReAim:
		return fmt.Sprintf("Re-aim every %.0f min or sooner, as the sun carries the beam off: one person for up to %d boards near each other.", n.EveryMin, rigging.ReaimBoards)
	case finding.AimHolds:
		return "Aimed for mid-window, the beam stays on the zone all through."
	case finding.SunForPart:
		return fmt.Sprintf("The reflectors have the sun from %s to %s; in the rest of the window it gives less than an eighth of its most or stands under %.0f°: light by lamps then, or stop.",
			clock(n.From), clock(n.To), n.LowestDeg)
	case finding.BackLampTowardLens:
		return "The lamp behind shines toward the lens: flag it off there."
	case finding.LampsDraw:
		return fmt.Sprintf("The lamps draw %.1f kW.", n.PowerW/1000)
	case finding.GustKeepsOff:
		return fmt.Sprintf("What would come nearer for the %s does not hold a gust of %.1f m/s.", Role(n.Role, false), n.AskedMS)
	default:
		return ""
	}
}

func aboutNet(u Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.NetNotOwned:
		return fmt.Sprintf("The house has no net of %.1f stops: the background stays as it is.", n.AskedStops)
	case finding.NetUnseen:
		return "The background net is left out: with the lens tilted down the picture ends on the ground before the place where a net could stand."
	case finding.NetNoRoom:
		return fmt.Sprintf("The background net is left out: no net of that strength that fills the view behind the zone, %s wide and %s up at %s behind its middle, "+
			"has room to stand clear of the other pieces and out of shot.", u.length(n.WidthM, 1), u.length(n.TopM, 1), u.length(n.BehindM, 1))
	case finding.NetTooSmall:
		return fmt.Sprintf("The background net is left out: %s behind the middle of the zone the view is %s wide and reaches %s up, "+
			"and the largest net of that strength that could stand there is %s wide.",
			u.length(n.BehindM, 1), u.length(n.WidthM, 1), u.length(n.TopM, 1), u.length(n.LargestM, 1))
	default:
		return ""
	}
}
