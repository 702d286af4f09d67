package text

import (
	"fmt"

	"kitspan/internal/finding"
)

// RuledOut returns why a frame was not chosen, as one sentence, and a second where a lifting machine would do.
func RuledOut(u Reader, r *finding.RuledOut) string {
	s := obstacle(u, r)
	if r.DoesOnLift {
		s += " On a lifting machine it would do."
	}
	return s
}

func obstacle(u Reader, r *finding.RuledOut) string {
	name := r.Name
	switch o := r.Obstacle.(type) {
	case finding.NotOwned:
		return name + ": the house owns none that it can price on this day."
	case finding.NoFabric:
		return name + ": the house has no diffusing fabric for this opening."
	case finding.FewSupports:
		return name + ": the house owns too few of the supports that would carry it."
	case finding.NoSupports:
		return name + ": the house has no support of this class."
	case finding.Overload:
		return fmt.Sprintf("%s: frame and fabric weigh %.1f kg: no support of the house carries its share with safety factor %.1f.", name, o.MassKg, o.SafetyFactor)
	case finding.Misses:
		return fmt.Sprintf("%s misses by %s %s.", name, u.short(r.ShortByM), worst(&o))
	case finding.Nowhere:
		return fmt.Sprintf("%s finds no place within %s of the zone that is out of shot and off the ground.", name, u.length(o.WithinM, 0))
	case finding.InPicture:
		return fmt.Sprintf("%s would cover, but %s inside the clearance of the picture.", name, u.short(r.ShortByM))
	case finding.OverSupports:
		return fmt.Sprintf("%s would have to hang %s higher than its supports reach.", name, u.short(r.ShortByM))
	case finding.UnderHeadRoom:
		return fmt.Sprintf("%s would have to hang %s lower than head room allows.", name, u.short(r.ShortByM))
	case finding.OverHeightLimit:
		return fmt.Sprintf("%s would cover, but its highest part would be %s over the limit of %s that is asked for.", name, u.short(r.ShortByM), u.length(o.LimitM, 2))
	case finding.NoFooting:
		return name + " would cover, but none of its supports can stand out of shot, out of the zone and within its arm's reach."
	case finding.OutOfArms:
		return name + " would cover, but its supports cannot stand out of shot and out of the zone within their arms' reach."
	case finding.NotInWind:
		return fmt.Sprintf("%s would cover, on %s, but holds a gust of %.1f m/s at most, and %.1f m/s is asked; what goes first: %s.", name,
			o.Support.Name, DownToTenth(o.LowerAtMS), o.AskedMS, goesFirst[o.Governs])
	case finding.OverPriceLimit:
		return fmt.Sprintf("%s would do, on %s, but costs %s a day: over the limit.", name, o.Support.Name, money(o.PerDay))
	case finding.Dearer:
		return fmt.Sprintf("%s would do, on %s, at %s a day: the larger one is cheaper.", name, o.Support.Name, money(o.PerDay))
	case finding.MoreSupports:
		return fmt.Sprintf("%s would do, but takes hands for %d supports, the larger one for %d.", name, o.Supports, o.LargerSupports)
	case finding.Heavier:
		return fmt.Sprintf("%s would do, on %s, but weighs %.0f kg with all that holds it, the larger one %.0f kg.", name, o.Support.Name, o.MassKg, o.LargerKg)
	}
	return name
}

// worst is the ray that passes farthest outside: "at 17:30, near left corner".
func worst(m *finding.Misses) string {
	if m.Source != finding.Sun {
		return fmt.Sprintf("from %s, %s corner", SourceName(m.Source), cornerWords[m.Corner])
	}
	return fmt.Sprintf("at %s, %s corner", clock(m.At), cornerWords[m.Corner])
}

// cornerWords are the corners of the zone as the lens sees them from above.
var cornerWords = map[finding.Corner]string{
	finding.NearLeft: "near left", finding.NearRight: "near right", finding.FarLeft: "far left", finding.FarRight: "far right",
}

// Without returns why a step of a day has no overhead, in one or two sentences; the second tells of the nearest frame.
func Without(u Reader, w finding.Without) string {
	return WithoutAnyHour(w) + theNearest(u, Nearest(w))
}

// WithoutAnyHour returns what steps without an overhead for the same reason have in common: the reason without the numbers of its
// step.
func WithoutAnyHour(without finding.Without) string {
	switch w := without.(type) {
	case finding.SofteningOff:
		return "Softening is off: no overhead is planned."
	case finding.NothingToSoften:
		return soft(w.Because)
	case finding.SunInPicture:
		return "The sun is in the picture, and no frame out of shot stops it."
	case finding.NoneTogether:
		names := make([]string, len(w.Sources))
		for i, s := range w.Sources {
			names[i] = SourceName(s)
		}
		return fmt.Sprintf("No one frame stops %s together; a sizing of this time alone tries several.", listed(names, " and "))
	case finding.NoFrame:
		return "No frame does."
	}
	return ""
}

// Nearest returns the frame that comes nearest in a step without an overhead; nil for none.
func Nearest(without finding.Without) *finding.RuledOut {
	switch w := without.(type) {
	case finding.SunInPicture:
		return w.Nearest
	case finding.NoneTogether:
		return w.Nearest
	case finding.NoFrame:
		return w.Nearest
	default:
		return nil
	}
}

// NoReach returns why a frame covers not even a sliver of the zone.
func NoReach(u Reader, n *finding.NoReach) string {
	why := RuledOut(u, &n.Frame)
	switch {
	case finding.Hopeless(n.Frame.Obstacle):
		return why
	case n.Sources > 1:
		return fmt.Sprintf("In this picture, alone against %d hard sources, it covers not even a sliver of the zone. %s", n.Sources, why)
	}
	return "In this picture it covers not even a sliver of the zone. " + why
}
