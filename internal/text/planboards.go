package text

import (
	"math"
	"slices"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// Boards and lamps on one stand each, one or several in a row.

// onOneStand describes boards or lamps: what they share once, and for each where it stands.
func onOneStand(p *printer, o *sizing.Option, g *rank, names map[string]string) {
	n, first := len(g.pieces), &g.pieces[0]
	clearance := math.Inf(1)
	facings, stands, aims := make([]string, n), make([]string, n), make([]string, n)
	for i := range g.pieces {
		v := &g.pieces[i]
		clearance = math.Min(clearance, v.ViewClearanceM)
		stands[i] = stand(p, v) + ballast(p.to, &v.Supports[0], names)
		switch {
		case v.Lamp != nil:
			facings[i] = aimed(p, v, g.before)
		case v.Role == finding.RoleCameraShade:
			facings[i] = shades(p.to, v)
		default:
			facings[i], aims[i] = facing(p, v, g.before), reflects(p, o, v, g.before)
		}
	}
	about := []string{called(p.to, first, names)}
	each := func(s string) string {
		if n > 1 {
			return p.to.say("each %s", s)
		}
		return s
	}
	if first.Lamp == nil {
		w, h := sheetSize(first.Corners)
		about = append(about, each(p.to.say("%s wide × %s high", p.to.metres(w), p.to.metres(h))))
	} else if w := lampPower(o); w > 0 {
		about = append(about, each(p.to.fixed(w, 0)+" W"))
	}
	var apart [][]string
	for _, list := range [][]string{facings, stands} {
		if same(list) {
			about = append(about, each(list[0]))
		} else {
			apart = append(apart, list)
		}
	}
	switch {
	case !same(aims):
		apart = append(apart, aims)
	case aims[0] != "":
		about = append(about, aims[0])
	}
	about = append(about, outOfShot(p.to, clearance))
	hold := weakest(g.pieces)
	if n == 1 {
		about = slices.Insert(about, 1, placeOf(p, first))
		p.line("   ", p.to.say("%s: %s", upper(roleName(p.to, first, false)), strings.Join(about, "; "))+".")
		ropes(p, first, nil, nil, names)
		bending(p, []*sizing.Support{&first.Supports[0]})
		p.line("     ", upper(wind(p, hold))+".")
		return
	}
	supports := make([]*sizing.Support, n)
	p.say("   ", "%s, %d in a row: %s.", upper(roleName(p.to, first, true)), n, strings.Join(about, "; "))
	for i := range g.pieces {
		v := &g.pieces[i]
		words := []string{placeOf(p, v)}
		for _, list := range apart {
			if list[i] != "" {
				words = append(words, list[i])
			}
		}
		p.say("     ", "%s %d of %d: %s.", upper(Lit(p.to, v.Lights, Role(p.to, v.Role, false))), i+1, n, strings.Join(words, "; "))
		ropes(p, v, nil, nil, names)
		supports[i] = &v.Supports[0]
	}
	bending(p, supports)
	p.line("     ", upper(wind(p, hold))+".")
}

// standsAt is the middle of a board, or a lamp.
func standsAt(v *sizing.Piece) geom.Vec {
	if v.Lamp != nil {
		return v.Lamp.Position
	}
	return middle(v.Corners)
}

// stand says what holds a piece, and where it stands where that is not just below.
func stand(p *printer, v *sizing.Piece) string {
	const printedAsBelow = 0.05 // metres
	s := &v.Supports[0]
	at := standsAt(v)
	if math.Hypot(s.Base.X-at.X, s.Base.Y-at.Y) >= printedAsBelow {
		return p.to.say("on %s %s, %s", s.SKU, place(p, s.Base), raised(p.to, s))
	}
	return p.to.say("on %s %s", s.SKU, raised(p.to, s))
}

// sheetSize is how wide and how high a sheet stands: the side that lies more level is its width.
func sheetSize(c [4]geom.Vec) (wide, high float64) {
	a, b := c[1].Sub(c[0]), c[2].Sub(c[1])
	if math.Abs(a.Z)*b.Len() > math.Abs(b.Z)*a.Len() {
		a, b = b, a
	}
	return a.Len(), b.Len()
}

// lampPower is what each lamp draws where all are of one kind; else 0.
func lampPower(o *sizing.Option) float64 {
	sku := ""
	for i := range o.Pieces {
		v := &o.Pieces[i]
		switch {
		case v.Lamp == nil:
		case sku == "":
			sku = v.Items[0].SKU
		case v.Items[0].SKU != sku:
			return 0
		}
	}
	return o.PowerW / float64(lamps(o))
}

func same(list []string) bool {
	return !slices.ContainsFunc(list, func(s string) bool { return s != list[0] })
}
