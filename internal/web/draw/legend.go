package draw

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/phrase"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// Mark is what a number in the drawings of an option stands for: its n-th piece, or several that are alike from First to Last.
type Mark struct {
	First, Last int
	// Numbers are those of the drawings: "3", or "2 to 7".
	Numbers, Name, Detail string
}

// Numbers are those of the drawings from first to last, in the reader's language.
func Numbers(l *phrase.Language, first, last int) string {
	if first == last {
		return strconv.Itoa(first)
	}
	return l.Say("pieces|%d to %d", first, last)
}

// Rows are the pieces of an option, those together that follow each other and are of the same items on the same stands, held down by the
// same.
func Rows(o *sizing.Option) [][]sizing.Piece {
	var out [][]sizing.Piece
	first := 0
	for i := range o.Pieces {
		if i+1 < len(o.Pieces) && alike(&o.Pieces[i], &o.Pieces[i+1]) && heldAlike(&o.Pieces[i], &o.Pieces[i+1]) {
			continue
		}
		out = append(out, o.Pieces[first:i+1])
		first = i + 1
	}
	return out
}

// heldAlike reports whether two pieces stand on the same and are held down by the same. Ropes make each a thing of its own.
func heldAlike(a, b *sizing.Piece) bool {
	return len(a.Lines) == 0 && len(b.Lines) == 0 && slices.EqualFunc(a.Supports, b.Supports, func(s, t sizing.Support) bool {
		return s.SKU == t.SKU && s.Ballast == t.Ballast && s.EachLeg == t.EachLeg && s.AtMast == t.AtMast
	})
}

// Legend returns what each number stands for, in order. names gives an item's name; where it has none the SKU stands in.
func Legend(o *sizing.Option, names func(sku string) string, u Units) []Mark {
	var list []Mark
	n := 0
	for _, row := range Rows(o) {
		m := Mark{n + 1, n + len(row), Numbers(u.Text.Language(), n+1, n+len(row)), capital(roleName(&row[0], u)), detail(row, names, u)}
		if n += len(row); len(row) > 1 {
			m.Name = strconv.Itoa(len(row)) + " " + text.For(u.Text, shortRole(&row[0], true, u), row[0].Serves)
			m.Detail = u.say("each %s", m.Detail)
		}
		list = append(list, m)
	}
	return list
}

// roleName is the role of a piece, and for whom where that is not the subject.
func roleName(p *sizing.Piece, u Units) string {
	return text.For(u.Text, shortRole(p, false, u), p.Serves)
}

// shortRole is the role of a piece, with the side that a lamp is there for.
func shortRole(p *sizing.Piece, many bool, u Units) string {
	return text.Lit(u.Text, p.Lights, text.ShortRole(u.Text, hangs(p), many))
}

// hangs is a piece's role by how it hangs: a frame of the overheads that stands more upright than uprightZ is a side.
func hangs(p *sizing.Piece) finding.Role {
	if p.Role == finding.RoleOverhead && p.Lamp == nil && math.Abs(p.Faces().Z) < uprightZ {
		return finding.RoleSide
	}
	return p.Role
}

// uprightZ is the height of a unit vector square to a frame that is 45° off level: what stands so is beside people, not over them (common
// practice, no source).
const uprightZ = 0.7072

func capital(s string) string {
	if s == "" {
		return s
	}
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[size:]
}

// detail is what the pieces of a row are made of, how large and how high they are, and what holds each.
func detail(row []sizing.Piece, names func(sku string) string, u Units) string {
	p := &row[0]
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
	made := items[0]
	for _, more := range items[1:] {
		made = u.say("%s with %s", made, more)
	}
	parts := []string{made}
	if p.Face != "" && (p.Role == finding.RoleReflector || p.Role == finding.RoleFill || p.Role == finding.RoleBlack) {
		parts[0] = made + ", " + text.Face(u.Text, p.Face)
	}
	low, high := edges(row, u)
	switch {
	case p.Lamp != nil && low == high:
		parts = append(parts, u.say("%s up", low))
	case p.Lamp != nil:
		parts = append(parts, u.say("%s to %s up", low, high))
	default:
		c := p.Corners
		parts = append(parts, u.Length(c[1].Sub(c[0]).Len())+" × "+u.Length(c[2].Sub(c[1]).Len()))
		if low == high {
			parts = append(parts, u.say("level, %s up", low))
		} else {
			parts = append(parts, u.say("edges %s to %s up", low, high))
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
	add := func(says func(string) string, list []catalog.Count, more []string) {
		var words []string
		for _, c := range list {
			words = append(words, name(c))
		}
		if words = append(words, more...); len(words) > 0 {
			all := words[0]
			for _, w := range words[1:] {
				all = u.say("list|%s and %s", all, w)
			}
			parts = append(parts, says(all))
		}
	}
	if n := len(p.HeldBy); n > 0 {
		parts = append(parts, u.Text.Language().Count("held by one person", "held by %d people", n, n))
	}
	add(func(s string) string { return u.say("on %s", s) }, stands, nil)
	add(func(s string) string { return u.say("held down by %s", s) }, bags, nil)
	if n := len(p.Lines); n > 0 {
		add(func(s string) string {
			return u.Text.Language().Count("1 rope to %[2]s", "%[1]d ropes to %[2]s", n, n, s)
		}, anchors, points)
	}
	return strings.Join(parts, "; ")
}

// edges are the heights of the lowest and of the highest corner of a row, or of its lamps.
func edges(row []sizing.Piece, u Units) (low, high string) {
	least, most := math.Inf(1), math.Inf(-1)
	for i := range row {
		at := row[i].Corners[:]
		if row[i].Lamp != nil {
			at = []geom.Vec{row[i].Lamp.Position}
		}
		for _, v := range at {
			least, most = math.Min(least, v.Z), math.Max(most, v.Z)
		}
	}
	return u.Length(least), u.Length(most)
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
