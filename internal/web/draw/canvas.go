package draw

import (
	"math"
	"strconv"
	"strings"
)

// pen is how a shape is drawn. No stroke or no fill leaves it out.
type pen struct {
	stroke  string
	width   float64
	dash    string
	fill    string
	opacity float64 // of the fill; 0 is full
	faint   bool    // labels may lie on it
}

// canvas gathers the elements of a drawing, and remembers where ink lies so that labels keep off it.
type canvas struct {
	kind   string // what it is a drawing of
	id     string // prefixes every id: several drawings share a page
	body   []byte
	width  float64
	height float64
	space  space
}

func newCanvas(kind string, width, height float64) *canvas {
	return &canvas{kind: kind, id: kind, body: make([]byte, 0, 16<<10), width: width, height: height, space: newSpace(width, height)}
}

func (c *canvas) bounds() box { return box{0, 0, c.width, c.height} }

// finish is the whole drawing. data are further attributes of the svg element, made by [attr].
func (c *canvas) finish(title, desc, data string) string {
	w, h := strconv.FormatFloat(c.width, 'f', 0, 64), strconv.FormatFloat(c.height, 'f', 0, 64)
	var b strings.Builder
	b.Grow(len(c.body) + len(desc) + 512)
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ` + w + ` ` + h + `" role="img" class="drawing drawing-` + c.kind +
		`" aria-labelledby="` + c.id + `-title ` + c.id + `-desc" font-family="sans-serif" font-size="15" fill="none" stroke-linejoin="round"` + data + ">\n")
	b.WriteString(`<title id="` + c.id + `-title">` + escape(title) + "</title>\n")
	b.WriteString(`<desc id="` + c.id + `-desc">` + escape(desc) + "</desc>\n")
	b.WriteString("<rect width=\"" + w + "\" height=\"" + h + "\" fill=\"" + paper + "\"/>\n")
	b.Write(c.body)
	b.WriteString("</svg>\n")
	return b.String()
}

// raw adds text as it is: pieces that are constant, such as patterns.
func (c *canvas) raw(s string) { c.body = append(c.body, s...) }

func (c *canvas) num(v float64) {
	v = math.Round(v*100) / 100
	if v == 0 {
		v = 0 // no minus before nothing
	}
	c.body = strconv.AppendFloat(c.body, v, 'f', -1, 64)
}

func (c *canvas) attr(name string, v float64) {
	c.raw(" " + name + `="`)
	c.num(v)
	c.raw(`"`)
}

func (c *canvas) pen(p *pen) {
	if p.stroke != "" {
		c.raw(` stroke="` + p.stroke + `"`)
		c.attr("stroke-width", p.width)
		if p.dash != "" {
			c.raw(` stroke-dasharray="` + p.dash + `"`)
		}
	}
	if p.fill != "" {
		c.raw(` fill="` + p.fill + `"`)
		if p.opacity > 0 {
			c.attr("fill-opacity", p.opacity)
		}
	}
}

func (c *canvas) inked(a, b pt, p *pen) {
	if !p.faint && p.stroke != "" {
		c.space.line(a, b)
	}
}

// line draws a to b. data are attributes made by [attr] or [part], here and below.
func (c *canvas) line(a, b pt, p pen, data string) {
	c.raw("<line")
	c.attr("x1", a.x)
	c.attr("y1", a.y)
	c.attr("x2", b.x)
	c.attr("y2", b.y)
	c.pen(&p)
	c.raw(data + "/>\n")
	c.inked(a, b, &p)
}

// shape draws a polygon, or a line through points where open.
func (c *canvas) shape(points []pt, open bool, p pen, data string) {
	if len(points) < 2 {
		return
	}
	name := "polygon"
	if open {
		name = "polyline"
	}
	c.raw("<" + name + ` points="`)
	for i, v := range points {
		if i > 0 {
			c.raw(" ")
		}
		c.num(v.x)
		c.raw(",")
		c.num(v.y)
	}
	c.raw(`"`)
	c.pen(&p)
	c.raw(data + "/>\n")
	for i := range points {
		if i > 0 {
			c.inked(points[i-1], points[i], &p)
		} else if !open {
			c.inked(points[len(points)-1], points[0], &p)
		}
	}
}

// cut draws a convex polygon as far as it lies in a box: the fill is cut, and only true edges are drawn, none along the
// box. The cut polygon carries the data.
func (c *canvas) cut(points []pt, in box, p pen, data string) (drawn []pt) {
	drawn = clipShape(points, in)
	if len(drawn) < 3 {
		return nil
	}
	whole := true
	for _, q := range points {
		whole = whole && in.holds(q)
	}
	if whole {
		c.shape(points, false, p, data)
		return drawn
	}
	fill := p
	fill.stroke = ""
	c.shape(drawn, false, fill, data)
	for i, b := range points {
		if a, b, ok := clipLine(points[(i+len(points)-1)%len(points)], b, in); ok {
			c.line(a, b, p, "")
		}
	}
	return drawn
}

func (c *canvas) circle(at pt, r float64, p pen, data string) {
	c.raw("<circle")
	c.attr("cx", at.x)
	c.attr("cy", at.y)
	c.attr("r", r)
	c.pen(&p)
	c.raw(data + "/>\n")
	const sides = 16
	last := pt{at.x + r, at.y}
	for i := 1; i <= sides; i++ {
		s, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
		next := pt{at.x + r*cos, at.y + r*s}
		c.inked(last, next, &p)
		last = next
	}
}

func (c *canvas) rect(b box, p pen, data string) {
	c.shape([]pt{{b.x, b.y}, {b.x + b.w, b.y}, {b.x + b.w, b.y + b.h}, {b.x, b.y + b.h}}, false, p, data)
}

// arrow is a line with a head at b.
func (c *canvas) arrow(a, b pt, p pen, data string) {
	c.line(a, b, p, data)
	c.head(a, b, p.stroke)
}

// head is an arrow's head at b for a line from a.
func (c *canvas) head(a, b pt, colour string) {
	const length, half = 9.0, 3.5
	d := b.sub(a).unit()
	back := b.sub(d.scale(length))
	side := pt{-d.y, d.x}.scale(half)
	c.shape([]pt{b, back.add(side), back.sub(side)}, false, pen{fill: colour}, "")
}

// attr is one attribute, escaped.
func attr(name, value string) string { return " " + name + `="` + escape(value) + `"` }

// part names the thing that an element stands for.
func part(piece int, name string) string {
	return ` data-piece="` + strconv.Itoa(piece) + `" data-part="` + name + `"`
}

var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;", "'", "&#39;")

// escape makes text fit for elements and attributes. What XML has no place for becomes a mark that says so.
func escape(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r == 0xFFFE || r == 0xFFFF {
			return '\uFFFD'
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
	return escaper.Replace(s)
}
