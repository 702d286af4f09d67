package text

import (
	"fmt"
	"math"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/rigging"
	"kitspan/internal/sizing"
)

// What holds the pieces, who puts them up, and what all of it costs.

// ballast says what lies on a base, and where; empty where nothing does.
func ballast(s *sizing.Support, names map[string]string) string {
	if s.Ballast.Quantity == 0 {
		return ""
	}
	var parts []string
	if s.EachLeg > 0 {
		parts = append(parts, fmt.Sprintf("%d on each of %d legs", s.EachLeg, s.Legs))
	}
	if s.AtMast > 0 {
		parts = append(parts, fmt.Sprintf("%d on the base, against the mast", s.AtMast))
	}
	return fmt.Sprintf(", with %d × %s (%s)", s.Ballast.Quantity, named(s.Ballast, names), strings.Join(parts, ", "))
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
	goes := goesFirst[h.Governs]
	if len(v.HeldBy) > 0 && h.Governs == rigging.GovernsSupport {
		goes = "nobody holds it in more"
	}
	set, first := "", fmt.Sprintf(" (%s)", goes)
	if h.LimitSet() {
		set, first = first, ""
	}
	force := ""
	if p.shot.GustMS > 0 {
		force = fmt.Sprintf("wind %.0f N on %.1f m²; ", UpToWhole(h.ForceN), h.AreaM2)
	}
	return fmt.Sprintf("%swatch from %.1f m/s, lower at %.1f%s; safe to %.1f (factor %.1f), goes at %.1f m/s%s%s",
		force, DownToTenth(h.WatchAtMS), DownToTenth(h.LowerAtMS), set, DownToTenth(h.SafeToMS), p.shot.SafetyFactor, DownToTenth(h.GoesAtMS), first, ropeGone(p, v))
}

// people prints who it takes, in which order, and how long.
func (p *printer) people(number int, o *sizing.Option) {
	c := &o.Crew
	if c.Total == 0 {
		return
	}
	var among []string
	stay := "people stay with pieces that are up"
	if c.Hold == 1 {
		stay = "person stays with pieces that are up"
	}
	for _, n := range []struct {
		count int
		word  string
	}{{c.Operators, "machine operators"}, {c.Electricians, "for the lamps"}, {c.Hold, stay}} {
		if n.count > 0 && c.Total > 1 {
			among = append(among, fmt.Sprintf("%d %s", n.count, n.word))
		}
	}
	with := ""
	if len(among) > 0 {
		with = " (" + strings.Join(among, ", ") + ")"
	}
	who := people(c.Total)
	if c.Total > 1 {
		who += ", the key grip in charge"
		if c.LeadLifts {
			who += " who lifts too"
		}
	}
	p.line("   ", "%s%s: about %d min to rig, %d min to strike.", who, with, c.RigMin, c.StrikeMin)
	if at := p.once(number, func() {
		for i, step := range Order(o.Order) {
			p.line(fmt.Sprintf("     %d. ", i+1), "%s", step)
		}
	}); at > 0 {
		p.line("     ", "Order of work as in %d.", at)
	}
	for i := range o.Power.Circuits {
		circuit := &o.Power.Circuits[i]
		over := ""
		if circuit.Overloaded {
			over = ", more than the breaker may carry all the time"
		}
		p.line("     ", "Circuit %d: %d lamps, %.0f W, %.1f A at %.0f V%s.", i+1, len(circuit.Lamps), circuit.Watts, circuit.Amps, o.Power.Volts, over)
	}
	if o.Power.MainsW > 0 {
		p.line("     ", "Cable: %d runs, the longest about %.0f m from the supply.", runs(&o.Power), math.Ceil(o.Power.LongestRunM))
	}
	if o.Power.GeneratorVA > 0 {
		p.line("     ", "Generator: %.1f kVA at least.", math.Ceil(o.Power.GeneratorVA/100)/10)
	}
}

func runs(w *sizing.Power) (n int) {
	for i := range w.Circuits {
		n += len(w.Circuits[i].Lamps)
	}
	return n
}

// costs lists the kit, the people and the vehicles with what they cost.
func (p *printer) costs(o *sizing.Option) {
	list := func(k *price.Kit) {
		for _, l := range k.Lines {
			p.line("     ", "%d × %s (%s) at %s: %s", l.Quantity, l.Name, l.SKU, l.DayRate.Number(), l.LinePerDay.Number())
		}
	}
	list(&o.Kit)
	if len(o.Kit.Lines) == 0 {
		return
	}
	machines := ""
	if o.Label == sizing.LabelOnLift {
		machines = ", lifting machines included"
	}
	p.line("   ", "The kit weighs %.0f kg and packs into %.2f m³%s.", ToNearest(o.Load.MassKg, 0), ToNearest(o.Load.VolumeM3, 2), machines)
	list(&o.Labour)
	list(&o.Transport)
	trips := ""
	for _, h := range o.Haul {
		if h.Trips > h.Quantity {
			trips = fmt.Sprintf(" (%d trips of %s)", h.Trips, h.SKU)
		}
	}
	p.line("   ", "Per day: hire %s, labour %s, transport %s%s, together %s %s%s.", o.Kit.PerDay.Number(), o.Labour.PerDay.Number(), o.Transport.PerDay.Number(),
		trips, o.TotalPerDay.Number(), o.TotalPerDay.CurrencyCode(), TotalWithout(o))
}

// unpricedWords is what a total may be without.
var unpricedWords = map[finding.Unpriced]string{
	finding.UnpricedCarriers:  "the machines' carriers",
	finding.UnpricedTransport: "transport",
	finding.UnpricedPeople:    "people whom the house does not send",
}

// TotalWithout says beside an option's total what is not in it, empty where all is.
func TotalWithout(o *sizing.Option) string {
	var words []string
	for _, u := range o.TotalWithout() {
		words = append(words, unpricedWords[u])
	}
	if len(words) == 0 {
		return ""
	}
	return ", without " + listed(words, " and ")
}
