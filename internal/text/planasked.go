package text

import (
	"fmt"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// What a plan was asked for, as it stands at its head: whoever holds the paper sees for which wind, ground and money it was made.

// asked prints the gust, what ropes go to, the limits, the fixed points, and where the further zones are.
func (p *printer) asked(s *shot.Shot) {
	wind := fmt.Sprintf("To hold a gust of %.1f m/s at each piece, with a safety factor of %s", s.GustMS, plain(s.SafetyFactor))
	if s.GustMS <= 0 {
		wind = "No gust is asked for, safety factor " + plain(s.SafetyFactor)
	}
	ropes := "weights"
	if s.GroundAnchor == shot.AnchorStakes {
		ropes = "stakes"
	}
	if len(s.Site.Anchors) > 0 {
		ropes += " or fixed points"
	}
	p.line("", "%s. %s; ropes go to %s.", wind, upper(Ground(&s.Site)), ropes)
	for i := range s.Site.Anchors {
		a := &s.Site.Anchors[i]
		p.line("", "Fixed point %s: %s, %.2f m up, may bear %.0f N as stated.", a.Label, place(p, a.Position), a.Position.Z, a.SafePullN)
	}
	if list := Limits(Metres, money, &s.Limits); len(list) > 0 {
		p.line("", "Not to go over: %s.", strings.Join(list, ", "))
	}
	if s.Walks() {
		p.line("", "The people walk %s in a straight line, from where they are first to %s. What is carried along is told where it is in the middle of their way.",
			metres(s.Walk.Len()), place(p, s.Walk))
	}
	for i := range s.OtherZones {
		z := &s.OtherZones[i]
		p.line("", "Further zone %s: %s wide, %s deep, from %.2f to %.2f m above the ground; its middle is %s.", z.Label, metres(z.WidthM), metres(z.DepthM),
			z.BaseM, z.TopM, place(p, geom.Vec{X: z.CenterX, Y: z.CenterY}))
	}
}

// Ground says what the kit stands on.
func Ground(s *shot.Site) string {
	on := "on " + s.Ground
	switch s.Ground {
	case "":
		on = fmt.Sprintf("on ground that reflects %.0f %%", 100*s.GroundReflectance)
	case "water":
		on = "by the water"
	}
	if s.Roofed {
		on += ", under a roof"
	}
	return on
}

// Limits returns what an option is not to go over, as amount writes money; none where nothing was said.
func Limits(u Reader, amount func(currency.Amount) string, l *shot.Limits) (list []string) {
	if l.PricePerDay != nil {
		list = append(list, amount(*l.PricePerDay)+" of hire a day")
	}
	if l.Crew != nil {
		list = append(list, people(*l.Crew))
	}
	if l.MassKg != nil {
		list = append(list, plain(*l.MassKg)+" kg of kit")
	}
	if l.RigHeightM != nil {
		list = append(list, u.length(*l.RigHeightM, 2)+" high")
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
		s += " (" + placeFrom(Metres, p.axes, at, geom.Vec{X: z.CenterX, Y: z.CenterY}, z.Label, "straight in line") + ")"
	}
	return s
}
