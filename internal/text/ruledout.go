package text

import (
	"kitspan/internal/finding"
	"kitspan/internal/phrase"
)

// RuledOut returns why a frame was not chosen, as one sentence, and a second where a lifting machine would do.
func RuledOut(to Reader, r *finding.RuledOut) string {
	s := obstacle(to, r)
	if r.DoesOnLift {
		s += " " + to.say("On a lifting machine it would do.")
	}
	return s
}

func obstacle(to Reader, r *finding.RuledOut) string {
	name := r.Name
	switch o := r.Obstacle.(type) {
	case finding.NotOwned:
		return to.say("%s: the house owns none that it can price on this day.", name)
	case finding.NoFabric:
		return to.say("%s: the house has no diffusing fabric for this opening.", name)
	case finding.FewSupports:
		return to.say("%s: the house owns too few of the supports that would carry it.", name)
	case finding.NoSupports:
		return to.say("%s: the house has no support of this class.", name)
	case finding.Overload:
		return to.say("%s: frame and fabric weigh %.1f kg: no support of the house carries its share with safety factor %.1f.", name, o.MassKg, o.SafetyFactor)
	case finding.Misses:
		return to.say("%s misses by %s %s.", name, to.short(r.ShortByM), worst(to, &o))
	case finding.Nowhere:
		return to.say("%s finds no place within %s of the zone that is out of shot and off the ground.", name, to.length(o.WithinM, 0))
	case finding.InPicture:
		return to.say("%s would cover, but %s inside the clearance of the picture.", name, to.short(r.ShortByM))
	case finding.OverSupports:
		return to.say("%s would have to hang %s higher than its supports reach.", name, to.short(r.ShortByM))
	case finding.UnderHeadRoom:
		return to.say("%s would have to hang %s lower than head room allows.", name, to.short(r.ShortByM))
	case finding.OverHeightLimit:
		return to.say("%s would cover, but its highest part would be %s over the limit of %s that is asked for.", name, to.short(r.ShortByM), to.length(o.LimitM, 2))
	case finding.NoFooting:
		return to.say("%s would cover, but none of its supports can stand out of shot, out of the zone and within its arm's reach.", name)
	case finding.OutOfArms:
		return to.say("%s would cover, but its supports cannot stand out of shot and out of the zone within their arms' reach.", name)
	case finding.NotInWind:
		return to.say("%s would cover, on %s, but holds a gust of %.1f m/s at most, and %.1f m/s is asked; what goes first: %s.", name,
			o.Support.Name, DownToTenth(o.LowerAtMS), o.AskedMS, to.say(goesFirst[o.Governs]))
	case finding.OverPriceLimit:
		return to.say("%s would do, on %s, but costs %s a day: over the limit.", name, o.Support.Name, to.money(o.PerDay))
	case finding.Dearer:
		return to.say("%s would do, on %s, at %s a day: the larger one is cheaper.", name, o.Support.Name, to.money(o.PerDay))
	case finding.MoreSupports:
		return to.say("%s would do, but takes hands for %d supports, the larger one for %d.", name, o.Supports, o.LargerSupports)
	case finding.Heavier:
		return to.say("%s would do, on %s, but weighs %.0f kg with all that holds it, the larger one %.0f kg.", name, o.Support.Name, o.MassKg, o.LargerKg)
	}
	return name
}

// worst is the ray that passes farthest outside: "at 17:30, near left corner".
func worst(to Reader, m *finding.Misses) string {
	if m.Source != finding.Sun {
		return to.say("from lamp %s, %s", string(m.Source), to.say(cornerWords[m.Corner]))
	}
	return to.say("at %s, %s", clock(m.At), to.say(cornerWords[m.Corner]))
}

// cornerWords are the corners of the zone as the lens sees them from above.
var cornerWords = map[finding.Corner]phrase.Key{
	finding.NearLeft: "near left corner", finding.NearRight: "near right corner", finding.FarLeft: "far left corner", finding.FarRight: "far right corner",
}

// Without returns why a step of a day has no overhead, in one or two sentences; the second tells of the nearest frame.
func Without(to Reader, w finding.Without) string {
	return WithoutAnyHour(to, w) + theNearest(to, Nearest(w))
}

// WithoutAnyHour returns what steps without an overhead for the same reason have in common: the reason without the numbers of its
// step.
func WithoutAnyHour(to Reader, without finding.Without) string {
	switch w := without.(type) {
	case finding.SofteningOff:
		return to.say("Softening is off: no overhead is planned.")
	case finding.NothingToSoften:
		return soft(to, w.Because)
	case finding.SunInPicture:
		return to.say("The sun is in the picture, and no frame out of shot stops it.")
	case finding.NoneTogether:
		names := make([]string, len(w.Sources))
		for i, s := range w.Sources {
			names[i] = SourceName(to, s)
		}
		return to.say("No one frame stops %s together; a sizing of this time alone tries several.", to.and(names))
	case finding.NoFrame:
		return to.say("No frame does.")
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
func NoReach(to Reader, n *finding.NoReach) string {
	why := RuledOut(to, &n.Frame)
	switch {
	case finding.Hopeless(n.Frame.Obstacle):
		return why
	case n.Sources > 1:
		return to.say("In this picture, alone against %d hard sources, it covers not even a sliver of the zone.", n.Sources) + " " + why
	}
	return to.say("In this picture it covers not even a sliver of the zone.") + " " + why
}
