package text

import (
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// The pieces of an option for those who put them up: equal boards and lamps that stand in a row share a paragraph.

// rank is one piece, or several alike that stand side by side.
type rank struct {
	pieces []sizing.Piece
	before *sizing.Piece // the diffuser that they work through; nil for none
}

// ranks puts pieces alike that follow each other together, and tells each rank of the diffuser that stands before it.
func ranks(list []sizing.Piece) []rank {
	var out []rank
	for i := range list {
		v := &list[i]
		if n := len(out); n > 0 && alike(&out[n-1].pieces[0], v) {
			out[n-1].pieces = list[i-len(out[n-1].pieces) : i+1]
			continue
		}
		if n := len(out); n > 0 && out[n-1].pieces[0].Serves == v.Serves && out[n-1].pieces[0].Lights == v.Lights &&
			(v.Role == finding.RoleReflectorDiffuser || v.Role == finding.RoleLampDiffuser) {
			out[n-1].before = v
		}
		out = append(out, rank{pieces: list[i : i+1]})
	}
	return out
}

func alike(a, b *sizing.Piece) bool {
	return a.Role == b.Role && a.Serves == b.Serves && a.Lights == b.Lights && a.Face == b.Face && slices.Equal(a.Items, b.Items) && slices.Equal(a.Covers, b.Covers)
}

// roleName is the role of a piece, and for whom where that is not the main zone.
func roleName(to Reader, v *sizing.Piece, many bool) string {
	return For(to, Lit(to, v.Lights, Role(to, v.Role, many)), v.Serves)
}

// lamps is how many lamps an option has.
func lamps(o *sizing.Option) (n int) {
	for i := range o.Pieces {
		if o.Pieces[i].Lamp != nil {
			n++
		}
	}
	return n
}

// pieces describes what an option puts up. What stands just so in an option before is named and not described again.
func (p *printer) pieces(number int, o *sizing.Option) {
	names := map[string]string{}
	for _, l := range o.Kit.Lines {
		names[l.SKU] = l.Name
	}
	again := map[int][]string{}
	for _, g := range ranks(o.Pieces) {
		if at := p.once(number, func() { p.rank(o, &g, names) }); at > 0 {
			again[at] = append(again[at], g.short(p.to))
		}
	}
	for at := 1; at < number; at++ {
		if list := again[at]; len(list) > 0 {
			p.say("   ", "As in %d: %s.", at, strings.Join(list, ", "))
		}
	}
}

// once prints a paragraph of an option. Where an earlier option has the very same it takes it back and returns the
// earlier one's number; else 0.
func (p *printer) once(number int, describe func()) (earlier int) {
	start := p.b.Len()
	describe()
	text := string(p.b.Bytes()[start:])
	if at := p.shown[text]; at > 0 && at < number {
		p.b.Truncate(start)
		return at
	}
	p.shown[text] = number
	return 0
}

// short is a rank in a list: "4 reflectors", "lens shade".
func (g *rank) short(to Reader) string {
	n := len(g.pieces)
	name := roleName(to, &g.pieces[0], n > 1)
	if n > 1 {
		return strconv.Itoa(n) + " " + name
	}
	return name
}

func (p *printer) rank(o *sizing.Option, g *rank, names map[string]string) {
	n := len(g.pieces)
	if len(g.pieces[0].Supports) == 1 {
		onOneStand(p, o, g, names)
		return
	}
	for i := range g.pieces {
		name := upper(roleName(p.to, &g.pieces[i], false))
		if n > 1 {
			name = p.to.say("%s %d of %d", name, i+1, n)
		}
		p.frame(o, g, &g.pieces[i], name, names)
	}
}

// called names a piece's items, and of what is two-sided the side that works.
func called(to Reader, v *sizing.Piece, names map[string]string) string {
	var items []string
	for _, n := range v.Items {
		items = append(items, named(n, names))
	}
	name := items[0]
	for _, item := range items[1:] {
		name = to.say("%s with %s", name, item)
	}
	if works(v) {
		name += ", " + Face(to, v.Face)
	}
	return name
}

// works reports whether a piece has a side that works, which must be turned the right way.
func works(v *sizing.Piece) bool {
	return v.Role == finding.RoleReflector || v.Role == finding.RoleFill || v.Role == finding.RoleBlack
}

func named(n catalog.Count, names map[string]string) string {
	if name := names[n.SKU]; name != "" {
		return name
	}
	return n.SKU
}

// frame describes a piece that supports hold at its ends or corners.
func (p *printer) frame(o *sizing.Option, g *rank, v *sizing.Piece, name string, names map[string]string) {
	c, sides := v.Corners, sidesOf(p, v.Corners)
	turned := ""
	if works(v) {
		turned = "; " + facing(p, v, g.before)
		if by := reflects(p, o, v, g.before); by != "" {
			turned += "; " + by
		}
	}
	stopped := covered(p.to, v)
	does, clear := "", outOfShot(p.to, v.ViewClearanceM)
	switch {
	case v.Role == finding.RoleNet:
		does = p.to.say("fills the picture there with %.2f m to spare; its tubes at least %.2f m out of it", v.MarginM, v.ViewClearanceM)
	case len(stopped) > 0:
		does = p.to.say("stops %s all window, %.2f m to spare at the worst corner", stopped, v.MarginM) + "; " + clear
	default:
		turned += "; " + clear
	}
	p.say("   ", "%s: %s; opening %s × %s, middle %s; %s.", name, called(p.to, v, names),
		p.to.metres(c[1].Sub(c[0]).Len()), p.to.metres(c[2].Sub(c[1]).Len()), placeOf(p, v), sides.heights()+turned)
	if does != "" {
		p.line("     ", upper(does)+".")
	}
	for i := range v.HeldBy {
		h := &v.HeldBy[i]
		p.say("     ", "Person %d of %d holds a side %.2f m up and stands %s.", i+1, len(v.HeldBy), h.Holds.Z, place(p, h.Stands))
	}
	at := holds(p, v, &sides)
	supports := make([]*sizing.Support, len(at))
	for i, h := range at {
		supports[i] = h.support
		p.say("     ", "%s: %s stands %s, %s.", upper(h.at), h.support.SKU, place(p, h.support.Base), raised(p.to, h.support)+ballast(p.to, h.support, names))
	}
	ropes(p, v, &sides, at, names)
	bending(p, supports)
	p.line("     ", upper(wind(p, v))+".")
}

// covered names the sources that a piece stops.
func covered(to Reader, v *sizing.Piece) string {
	var list []string
	for _, label := range v.Covers {
		list = append(list, source(to, label))
	}
	return strings.Join(list, ", ")
}

// shades says what a lens shade does, and how it is turned to do it.
func shades(to Reader, v *sizing.Piece) string {
	return to.say("keeps %[1]s off the lens: tilt it to face %[1]s, so that its shadow falls on the lens", covered(to, v))
}

// behindLensM is the clearance that the engine gives a piece wholly behind the lens ([sizing.Piece]).
const behindLensM = 100

func outOfShot(to Reader, clearanceM float64) string {
	if clearanceM >= behindLensM {
		return to.say("wholly behind the lens")
	}
	return to.say("at least %.2f m out of the picture", clearanceM)
}

func raised(to Reader, s *sizing.Support) string {
	if a := s.Arm; a != nil {
		return to.say("raised to %s, arm %.2f m, feet within %.2f m of the mast", to.metres(s.HeightM), a[1].Sub(a[0]).Len(), s.FootprintM)
	}
	return to.say("raised to %s, feet within %.2f m of the mast", to.metres(s.HeightM), s.FootprintM)
}
