package text

import (
	"fmt"
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
		stands[i] = stand(p, v) + ballast(&v.Supports[0], names)
		switch {
		case v.Lamp != nil:
			facings[i] = "aimed at " + aimOf(p, v, g.before)
		case v.Role == finding.RoleCameraShade:
			facings[i] = shades(v)
		default:
			facings[i], aims[i] = facing(p, v, g.before), reflects(p, o, v, g.before)
		}
	}
	about := []string{called(first, names)}
	each := ""
	if n > 1 {
		each = "each "
	}
	if first.Lamp == nil {
		w, h := sheetSize(first.Corners)
		about = append(about, fmt.Sprintf("%s%s wide × %s high", each, metres(w), metres(h)))
	} else if w := lampPower(o); w > 0 {
		about = append(about, fmt.Sprintf("%s%.0f W", each, w))
	}
	var apart [][]string
	for _, list := range [][]string{facings, stands} {
		if same(list) {
			about = append(about, each+list[0])
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
	about = append(about, outOfShot(clearance))
	hold := weakest(g.pieces)
	if n == 1 {
		about = slices.Insert(about, 1, placeOf(p, first))
		p.line("   ", "%s: %s.", roleName(first, false), strings.Join(about, "; "))
		ropes(p, first, nil, nil, names)
		bending(p, []*sizing.Support{&first.Supports[0]})
		p.line("     ", "%s.", capital(wind(p, hold)))
		return
	}
	supports := make([]*sizing.Support, n)
	p.line("   ", "%s, %d in a row: %s.", roleName(first, true), n, strings.Join(about, "; "))
	for i := range g.pieces {
		v := &g.pieces[i]
		words := []string{placeOf(p, v)}
		for _, list := range apart {
			if list[i] != "" {
				words = append(words, list[i])
			}
		}
		p.line("     ", "%s %d of %d: %s.", upper(Lit(v.Lights, Role(v.Role, false))), i+1, n, strings.Join(words, "; "))
		ropes(p, v, nil, nil, names)
		supports[i] = &v.Supports[0]
	}
	bending(p, supports)
	p.line("     ", "%s.", capital(wind(p, hold)))
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
	at, where := standsAt(v), ""
	if math.Hypot(s.Base.X-at.X, s.Base.Y-at.Y) >= printedAsBelow {
		where = " " + place(p, s.Base) + ","
	}
	return fmt.Sprintf("on %s%s %s", s.SKU, where, raised(s))
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
