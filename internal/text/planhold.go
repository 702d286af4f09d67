package text

import (
	"fmt"
	"math"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/price"
	"kitspan/internal/rigging"
	"kitspan/internal/sizing"
)

// What holds the pieces, who puts them up, and what all of it costs.

// ballast says what lies on a base, and where, to stand after what is said of it; empty where nothing does.
func ballast(to Reader, s *sizing.Support, names map[string]string) string {
	if s.Ballast.Quantity == 0 {
		return ""
	}
	return ", " + to.say("with %d × %s (%s)", s.Ballast.Quantity, named(s.Ballast, names), Laid(to, s))
}

// Laid says where on a base its ballast lies.
func Laid(to Reader, s *sizing.Support) string {
	var parts []string
	if s.EachLeg > 0 {
		parts = append(parts, to.say("%d on each of %d legs", s.EachLeg, s.Legs))
	}
	if s.AtMast > 0 {
		parts = append(parts, to.say("%d on the base, against the mast", s.AtMast))
	}
	return strings.Join(parts, ", ")
}

// weakest is the piece of several alike that holds least long.
func weakest(list []sizing.Piece) *sizing.Piece {
	least := &list[0]
	for i := range list {
		if list[i].Hold.LowerAtMS < least.Hold.LowerAtMS {
			least = &list[i]
		}
	}
	return least
}

// wind is what the wind does to a piece: force at the gust asked, where one is, and in which gusts it stands, is watched, comes down
// and would go.
func wind(p *printer, v *sizing.Piece) string {
	h := &v.Hold
	goes := p.to.say(goesFirst[h.Governs])
	if len(v.HeldBy) > 0 && h.Governs == rigging.GovernsSupport {
		goes = p.to.say("nobody holds it in more")
	}
	var says []string
	if p.shot.GustMS > 0 {
		says = append(says, p.to.say("wind %.0f N on %.1f m²", UpToWhole(h.ForceN), h.AreaM2))
	}
	watch, lower, safe, at := DownToTenth(h.WatchAtMS), DownToTenth(h.LowerAtMS), DownToTenth(h.SafeToMS), DownToTenth(h.GoesAtMS)
	if h.LimitSet() {
		says = append(says, p.to.say("watch from %.1f m/s, lower at %.1f (%s)", watch, lower, goes),
			p.to.say("safe to %.1f (factor %.1f), goes at %.1f m/s", safe, p.shot.SafetyFactor, at))
	} else {
		says = append(says, p.to.say("watch from %.1f m/s, lower at %.1f", watch, lower),
			p.to.say("safe to %.1f (factor %.1f), goes at %.1f m/s (%s)", safe, p.shot.SafetyFactor, at, goes))
	}
	if gone := ropeGone(p, v); gone != "" {
		says = append(says, gone)
	}
	return strings.Join(says, "; ")
}

// people prints who it takes, in which order, and how long.
func (p *printer) people(number int, o *sizing.Option) {
	c := &o.Crew
	if c.Total == 0 {
		return
	}
	p.say("   ", "%s: about %d min to rig, %d min to strike.", who(p.to, o), c.RigMin, c.StrikeMin)
	if at := p.once(number, func() {
		for i, step := range Order(p.to, o.Order) {
			p.line(fmt.Sprintf("     %d. ", i+1), step)
		}
	}); at > 0 {
		p.say("     ", "Order of work as in %d.", at)
	}
	for i := range o.Power.Circuits {
		circuit := &o.Power.Circuits[i]
		says := p.to.say("Circuit %d: %d lamps, %.0f W, %.1f A at %.0f V", i+1, len(circuit.Lamps), circuit.Watts, circuit.Amps, o.Power.Volts)
		if circuit.Overloaded {
			says += ", " + p.to.say("more than the breaker may carry all the time")
		}
		p.line("     ", says+".")
	}
	if o.Power.MainsW > 0 {
		p.say("     ", "Cable: %d runs, the longest about %.0f m from the supply.", runs(&o.Power), math.Ceil(o.Power.LongestRunM))
	}
	if o.Power.GeneratorVA > 0 {
		p.say("     ", "Generator: %.1f kVA at least.", math.Ceil(o.Power.GeneratorVA/100)/10)
	}
}

// who is how many people an option takes, and what some of them are there for.
func who(to Reader, o *sizing.Option) string {
	c := &o.Crew
	who := people(to, c.Total)
	if c.Total == 1 {
		return who
	}
	if who = to.say("%s, the key grip in charge", who); c.LeadLifts {
		who = to.say("%s, the key grip in charge who lifts too", people(to, c.Total))
	}
	var among []string
	if c.Operators > 0 {
		among = append(among, to.count("%d machine operators", "%d machine operators", c.Operators, c.Operators))
	}
	if c.Electricians > 0 {
		among = append(among, to.say("%d for the lamps", c.Electricians))
	}
	if c.Hold > 0 {
		among = append(among, to.count("%d person stays with pieces that are up", "%d people stay with pieces that are up", c.Hold, c.Hold))
	}
	if len(among) > 0 {
		who += " (" + strings.Join(among, ", ") + ")"
	}
	return who
}

func runs(w *sizing.Power) (n int) {
	for i := range w.Circuits {
		n += len(w.Circuits[i].Lamps)
	}
	return n
}

// costs lists the kit, the people and the vehicles with what they cost.
func (p *printer) costs(o *sizing.Option) {
	to := p.to
	list := func(k *price.Kit) {
		for _, l := range k.Lines {
			p.say("     ", "%d × %s (%s) at %s: %s", l.Quantity, l.Name, l.SKU, to.amount(l.DayRate), to.amount(l.LinePerDay))
		}
	}
	list(&o.Kit)
	if len(o.Kit.Lines) == 0 {
		return
	}
	if o.Label == sizing.LabelOnLift {
		p.say("   ", "The kit weighs %.0f kg and packs into %.2f m³, lifting machines included.", ToNearest(o.Load.MassKg, 0), ToNearest(o.Load.VolumeM3, 2))
	} else {
		p.say("   ", "The kit weighs %.0f kg and packs into %.2f m³.", ToNearest(o.Load.MassKg, 0), ToNearest(o.Load.VolumeM3, 2))
	}
	list(&o.Labour)
	list(&o.Transport)
	transport := to.amount(o.Transport.PerDay)
	for _, h := range o.Haul {
		if h.Trips > h.Quantity {
			transport = to.amount(o.Transport.PerDay) + " (" + to.say("%d trips of %s", h.Trips, h.SKU) + ")"
		}
	}
	p.say("   ", "Per day: hire %s, labour %s, transport %s, together %s.", to.amount(o.Kit.PerDay), to.amount(o.Labour.PerDay), transport,
		to.money(o.TotalPerDay)+TotalWithout(to, o))
}

// unpricedWords is what a total may be without.
var unpricedWords = map[finding.Unpriced]phrase.Key{
	finding.UnpricedCarriers:  "the machines' carriers",
	finding.UnpricedTransport: "unpriced|transport",
	finding.UnpricedPeople:    "people whom the house does not send",
}

// TotalWithout says beside an option's total what is not in it, empty where all is.
func TotalWithout(to Reader, o *sizing.Option) string {
	var words []string
	for _, u := range o.TotalWithout() {
		words = append(words, to.say(unpricedWords[u]))
	}
	if len(words) == 0 {
		return ""
	}
	return to.say(", without %s", to.and(words))
}
