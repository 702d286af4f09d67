package draw

import "strconv"

// tagRadius is that of the circle around a piece's number.
const tagRadius = 11.0

// note puts a line of text beside a thing, with a leader where it had to go further; false where it found no place that
// was worth it.
func (c *canvas) note(w wish, size float64, colour, text string) bool {
	l, ok := c.keep(w, size, colour, text)
	if ok {
		c.space.boxes = c.space.boxes[:len(c.space.boxes)-1]
		c.put(l)
	}
	return ok
}

// kept is a label that has its place and is still to be written, over what comes between.
type kept struct {
	b        box
	from, at pt
	size     float64
	colour   string
	text     string
}

// keep finds and takes the place of a label.
func (c *canvas) keep(w wish, size float64, colour, text string) (l kept, ok bool) {
	w.w, w.h = textWidth(text, size), (ascent+descent)*size
	if w.in == (box{}) {
		w.in = c.bounds()
	}
	b, from, ok := c.space.find(w)
	if ok {
		c.space.take(b)
	}
	return kept{b, from, w.at, size, colour, text}, ok
}

func (c *canvas) put(l kept) {
	c.leader(l.from, l.at)
	c.say(pt{l.b.x, l.b.y + ascent*l.size}, "start", l.size, l.colour, l.text)
}

// leader ties a label to its thing where it stands too far off to be understood without.
func (c *canvas) leader(from, at pt) {
	if from.sub(at).len() <= noLeader {
		return
	}
	c.line(from, at, pen{stroke: grey, width: 0.8}, "")
	const dot = 1.8
	if c.bounds().grow(-dot).holds(at) {
		c.circle(at, dot, pen{fill: grey, faint: true}, "")
	}
}

// tag puts a piece's number beside it, and lines of words where there is room.
func (c *canvas) tag(piece int, w wish, words ...string) {
	if w.in == (box{}) {
		w.in = c.bounds()
	}
	number := strconv.Itoa(piece + 1)
	wide := 2 * tagRadius
	if len(number) > 2 {
		wide += 8
	}
	w.w, w.h = wide, 2*tagRadius
	if len(words) > 0 && words[0] != "" {
		full := w
		if full.worst == 0 {
			full.worst, full.reach = 260, 125
		}
		for i, line := range words {
			full.w = max(full.w, wide+4+textWidth(line, smallSize))
			full.h = max(full.h, float64(i+1)*(smallSize+2))
		}
		if b, from, ok := c.space.find(full); ok {
			c.leader(from, w.at)
			c.disc(piece, number, box{b.x, b.middle().y - tagRadius, wide, 2 * tagRadius})
			base := b.middle().y + 5 - float64(len(words)-1)*(smallSize+2)/2
			for i, line := range words {
				c.say(pt{b.x + wide + 4, base + float64(i)*(smallSize+2)}, "start", smallSize, ink, line)
			}
			return
		}
	}
	w.worst, w.reach = 0, 0
	b, from, ok := c.space.find(w)
	if !ok {
		return
	}
	c.leader(from, w.at)
	c.disc(piece, number, b)
}

func (c *canvas) disc(piece int, number string, b box) {
	c.raw("<g" + part(piece, "number") + boxAttr(b) + ">\n")
	if m := b.middle(); b.w > b.h {
		c.shape([]pt{{b.x, b.y}, {b.x + b.w, b.y}, {b.x + b.w, b.y + b.h}, {b.x, b.y + b.h}}, false, pen{stroke: ink, width: 1.5, fill: paper, faint: true}, "")
	} else {
		c.circle(m, tagRadius-0.75, pen{stroke: ink, width: 1.5, fill: paper, faint: true}, "")
	}
	c.raw("<text")
	c.attr("x", b.middle().x)
	c.attr("y", b.middle().y+5)
	c.raw(` text-anchor="middle" font-weight="bold" fill="` + ink + `">` + number + "</text>\n</g>\n")
	c.space.take(b)
}
