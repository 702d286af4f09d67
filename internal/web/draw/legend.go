package draw

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// Mark is what a number in the drawings of an option stands for: its n-th piece.
type Mark struct {
	Number       int
	Name, Detail string
}

// Legend returns what each number stands for, in order. names gives an item's name; where it has none the SKU stands in.
func Legend(o *sizing.Option, names func(sku string) string, u Units) []Mark {
	list := make([]Mark, len(o.Pieces))
	for i := range o.Pieces {
		p := &o.Pieces[i]
		list[i] = Mark{i + 1, capital(roleName(p)), detail(p, names, u)}
	}
	return list
}

// roleName is the role of a piece, and for whom where that is not the subject.
func roleName(p *sizing.Piece) string {
	return text.ShortRole(p.Role, false) + text.For(p.Serves)
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// detail is what the piece is made of, how large and how high it is, and what holds it.
func detail(p *sizing.Piece, names func(sku string) string, u Units) string {
	name := func(c catalog.Count) string {
		n := names(c.SKU)
		if n == "" {
			n = c.SKU
		}
		if c.Quantity > 1 {
			n = u.Number(float64(c.Quantity), 0) + " × " + n
		}
		return n
	}
	var items []string
	for _, c := range p.Items {
		items = append(items, name(c))
	}
	parts := []string{strings.Join(items, " with ")}
	if p.Face != "" && (p.Role == finding.RoleReflector || p.Role == finding.RoleFill || p.Role == finding.RoleBlack) {
		parts[0] += ", " + p.Face + " side"
	}
	if p.Lamp != nil {
		parts = append(parts, u.Length(p.Lamp.Position.Z)+" up")
	} else {
		c := p.Corners
		low, high := math.Inf(1), math.Inf(-1)
		for _, v := range c {
			low, high = math.Min(low, v.Z), math.Max(high, v.Z)
		}
		parts = append(parts, u.Length(c[1].Sub(c[0]).Len())+" × "+u.Length(c[2].Sub(c[1]).Len()))
		if l, h := u.Length(low), u.Length(high); l == h {
			parts = append(parts, "level, "+l+" up")
		} else {
			parts = append(parts, "edges "+l+" to "+h+" up")
		}
	}
	var stands, bags, anchors []catalog.Count
	var points []string
	for i := range p.Supports {
		stands = more(stands, p.Supports[i].SKU, 1)
		bags = more(bags, p.Supports[i].Ballast.SKU, p.Supports[i].Ballast.Quantity)
	}
	for i := range p.Lines {
		l := &p.Lines[i]
		anchors = more(anchors, l.Anchor.SKU, l.Anchor.Quantity)
		if l.Point != "" && !slices.Contains(points, l.Point) {
			points = append(points, l.Point)
		}
	}
	add := func(lead string, list []catalog.Count, more []string) {
		var words []string
		for _, c := range list {
			words = append(words, name(c))
		}
		if words = append(words, more...); len(words) > 0 {
			parts = append(parts, lead+strings.Join(words, " and "))
		}
	}
	add("on ", stands, nil)
	add("held down by ", bags, nil)
	if n := len(p.Lines); n > 0 {
		add(plural(n, "rope")+" to ", anchors, points)
	}
	return strings.Join(parts, "; ")
}

// more adds to the count of an item.
func more(list []catalog.Count, sku string, n int) []catalog.Count {
	if n == 0 || sku == "" {
		return list
	}
	for i := range list {
		if list[i].SKU == sku {
			list[i].Quantity += n
			return list
		}
	}
	return append(list, catalog.Count{SKU: sku, Quantity: n})
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}
