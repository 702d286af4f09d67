package text

import (
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/geom"
	"kitspan/internal/phrase"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// What a plan was asked for, as it stands at its head: whoever holds the paper sees for which wind, ground and money it was made.

// asked prints the gust, what ropes go to, the limits, the fixed points, and where the further zones are.
func (p *printer) asked(s *shot.Shot) {
	to := p.to
	wind := to.say("To hold a gust of %.1f m/s at each piece, with a safety factor of %s.", s.GustMS, to.plain(s.SafetyFactor))
	if s.GustMS <= 0 {
		wind = to.say("No gust is asked for, safety factor %s.", to.plain(s.SafetyFactor))
	}
	p.line("", wind+" "+upper(Ground(to, &s.Site))+"; "+ropesGoTo(to, s))
	for i := range s.Site.Anchors {
		a := &s.Site.Anchors[i]
		p.say("", "Fixed point %s: %s, %.2f m up, may bear %.0f N as stated.", a.Label, place(p, a.Position), a.Position.Z, a.SafePullN)
	}
	if list := Limits(to, to.money, &s.Limits); len(list) > 0 {
		p.say("", "Not to go over: %s.", strings.Join(list, ", "))
	}
	if s.Walks() {
		p.say("", "The people walk %s in a straight line, from where they are first to %s. What is carried along is told where it is in the middle of their way.",
			to.metres(s.Walk.Len()), place(p, s.Walk))
	}
	for i := range s.OtherZones {
		z := &s.OtherZones[i]
		p.say("", "Further zone %s: %s wide, %s deep, from %.2f to %.2f m above the ground; its middle is %s.", z.Label, to.metres(z.WidthM), to.metres(z.DepthM),
			z.BaseM, z.TopM, place(p, geom.Vec{X: z.CenterX, Y: z.CenterY}))
	}
}

func ropesGoTo(to Reader, s *shot.Shot) string {
	switch stakes, points := s.GroundAnchor == shot.AnchorStakes, len(s.Site.Anchors) > 0; {
	case stakes && points:
		return to.say("ropes go to stakes or fixed points.")
	case stakes:
		return to.say("ropes go to stakes.")
	case points:
		return to.say("ropes go to weights or fixed points.")
	}
	return to.say("ropes go to weights.")
}

// Ground says what the kit stands on.
func Ground(to Reader, s *shot.Site) string {
	on := ground(to, s.Ground)
	if s.Ground == "" {
		on = to.say("on ground that reflects %.0f %%", 100*s.GroundReflectance)
	}
	if s.Roofed {
		on += ", " + to.say("under a roof")
	}
	return on
}

// grounds are where a kit stands, by the word of the request.
var grounds = map[string]phrase.Key{
	"asphalt": "on asphalt", "concrete": "on concrete", "grass": "on grass", "sand": "on sand", "snow": "on snow", "soil": "on soil", "water": "by the water",
}

func ground(to Reader, word string) string { return to.say(grounds[word]) }

// Limits returns what an option is not to go over, as amount writes money; none where nothing was said.
func Limits(to Reader, amount func(currency.Amount) string, l *shot.Limits) (list []string) {
	if l.PricePerDay != nil {
		list = append(list, to.say("%s of hire a day", amount(*l.PricePerDay)))
	}
	if l.Crew != nil {
		list = append(list, people(to, *l.Crew))
	}
	if l.MassKg != nil {
		list = append(list, to.say("%s kg of kit", to.plain(*l.MassKg)))
	}
	if l.RigHeightM != nil {
		list = append(list, to.say("%s high", to.length(*l.RigHeightM, 2)))
	}
	return list
}

// zoneOf is the further zone that a piece serves; nil for the subject.
func zoneOf(s *shot.Shot, v *sizing.Piece) *shot.OtherZone {
	for i := range s.OtherZones {
		if z := &s.OtherZones[i]; z.Label == v.Serves {
			return z
		}
	}
	return nil
}

// placeOf says where a piece stands, from the subject and, where it serves a further zone, from the middle of that too.
func placeOf(p *printer, v *sizing.Piece) string {
	at := standsAt(v)
	s := place(p, at)
	if z := zoneOf(p.shot, v); z != nil {
		s += " (" + placeFrom(p.to, p.axes, at, geom.Vec{X: z.CenterX, Y: z.CenterY}, mark{label: z.Label}) + ")"
	}
	return s
}
