package text

import (
	"fmt"
	"slices"
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
func roleName(v *sizing.Piece, many bool) string {
	return upper(Lit(v.Lights, Role(v.Role, many))) + For(v.Serves)
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
			again[at] = append(again[at], g.short())
		}
	}
	for at := 1; at < number; at++ {
		if list := again[at]; len(list) > 0 {
			p.line("   ", "As in %d: %s.", at, strings.Join(list, ", "))
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
func (g *rank) short() string {
	n := len(g.pieces)
	name := roleName(&g.pieces[0], n > 1)
	name = strings.ToLower(name[:1]) + name[1:]
	if n > 1 {
		return fmt.Sprintf("%d %s", n, name)
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
		name := roleName(&g.pieces[i], false)
		if n > 1 {
			name = fmt.Sprintf("%s %d of %d", name, i+1, n)
		}
		p.frame(o, g, &g.pieces[i], name, names)
	}
}

// called names a piece's items, and of what is two-sided the side that works.
func called(v *sizing.Piece, names map[string]string) string {
	var items []string
	for _, n := range v.Items {
		items = append(items, named(n, names))
	}
	name := strings.Join(items, " with ")
	if works(v) {
		name += ", " + v.Face + " side"
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
	stopped := covered(v)
	does, clear := "", outOfShot(v.ViewClearanceM)
	switch {
	case v.Role == finding.RoleNet:
		does = fmt.Sprintf("fills the picture there with %.2f m to spare; its tubes at least %.2f m out of it", v.MarginM, v.ViewClearanceM)
	case len(stopped) > 0:
		does = fmt.Sprintf("stops %s all window, %.2f m to spare at the worst corner; %s", stopped, v.MarginM, clear)
	default:
		turned += "; " + clear
	}
	p.line("   ", "%s: %s; opening %s × %s, middle %s; %s%s.", name, called(v, names),
		metres(c[1].Sub(c[0]).Len()), metres(c[2].Sub(c[1]).Len()), placeOf(p, v), sides.heights(), turned)
	if does != "" {
		p.line("     ", "%s.", capital(does))
	}
	for i := range v.HeldBy {
		h := &v.HeldBy[i]
		p.line("     ", "Person %d of %d holds a side %.2f m up and stands %s.", i+1, len(v.HeldBy), h.Holds.Z, place(p, h.Stands))
	}
	at := holds(p, v, &sides)
	supports := make([]*sizing.Support, len(at))
	for i, h := range at {
		supports[i] = h.support
		p.line("     ", "%s: %s stands %s, %s%s.", capital(h.at), h.support.SKU, place(p, h.support.Base), raised(h.support), ballast(h.support, names))
	}
	ropes(p, v, &sides, at, names)
	bending(p, supports)
	p.line("     ", "%s.", capital(wind(p, v)))
}

// covered names the sources that a piece stops.
func covered(v *sizing.Piece) string {
	var list []string
	for _, label := range v.Covers {
		list = append(list, source(label))
	}
	return strings.Join(list, ", ")
}

// shades says what a lens shade does, and how it is turned to do it.
func shades(v *sizing.Piece) string {
	return "keeps " + covered(v) + " off the lens: tilt it to face " + covered(v) + ", so that its shadow falls on the lens"
}

// behindLensM is the clearance that the engine gives a piece wholly behind the lens ([sizing.Piece]).
const behindLensM = 100

func outOfShot(clearanceM float64) string {
	if clearanceM >= behindLensM {
		return "wholly behind the lens"
	}
	return fmt.Sprintf("at least %.2f m out of the picture", clearanceM)
}

func raised(s *sizing.Support) string {
	arm := ""
	if a := s.Arm; a != nil {
		arm = fmt.Sprintf(", arm %.2f m", a[1].Sub(a[0]).Len())
	}
	return fmt.Sprintf("raised to %s%s, feet within %.2f m of the mast", metres(s.HeightM), arm, s.FootprintM)
}
