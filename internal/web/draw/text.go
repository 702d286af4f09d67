package draw

import "strings"

// widths are those of a common sans-serif face in thousandths of its size, from the space on; from memory, and only to
// leave room by.
var widths = [...]int{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
}

// widest is how much wider other faces run that a reader's machine may have in its place.
const widest = 1.13

// textWidth is the room that a line of text takes at most.
func textWidth(s string, size float64) float64 {
	sum := 0
	for _, r := range s {
		switch {
		case r >= ' ' && int(r-' ') < len(widths):
			sum += widths[r-' ']
		case r < 0x2E80:
			sum += 600
		default:
			sum += 1000 // ideographs
		}
	}
	return float64(sum) / 1000 * size * widest
}

// wrap breaks small text into lines no wider than width.
func wrap(s string, width float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if next := strings.TrimSpace(line + " " + word); line == "" || textWidth(next, smallSize) <= width {
			line = next
			continue
		}
		lines = append(lines, line)
		line = word
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// nameWidth is the room for a name that the user gave.
const nameWidth = 240.0

// clip shortens text to a width, with dots where something is left out.
func clip(s string, size, width float64) string {
	if textWidth(s, size) <= width {
		return s
	}
	r := []rune(s)
	for len(r) > 0 && textWidth(string(r)+"…", size) > width {
		r = r[:len(r)-1]
	}
	return strings.TrimRight(string(r), " ,;") + "…"
}

// The share of a text's size that its box reaches over and under its baseline.
const ascent, descent = 0.82, 0.24

// say puts text with its left end (anchor "start"), middle or end at p, on the baseline, and keeps labels off it.
func (c *canvas) say(p pt, anchor string, size float64, colour, text string) {
	w := textWidth(text, size)
	b := box{p.x, p.y - ascent*size, w, (ascent + descent) * size}
	switch anchor {
	case "middle":
		b.x -= w / 2
	case "end":
		b.x -= w
	}
	c.raw("<text")
	c.attr("x", p.x)
	c.attr("y", p.y)
	if size != smallSize {
		c.attr("font-size", size)
	}
	if anchor != "start" {
		c.raw(` text-anchor="` + anchor + `"`)
	}
	// A rim of paper keeps words legible where a line runs under them.
	c.raw(` fill="` + colour + `" stroke="` + paper + `" stroke-width="3" paint-order="stroke"` + boxAttr(b) + `>` + escape(text) + "</text>\n")
	c.space.take(b)
}

// boxAttr says how much room a label was given.
func boxAttr(b box) string {
	c := canvas{}
	for i, v := range [4]float64{b.x, b.y, b.w, b.h} {
		if i > 0 {
			c.raw(" ")
		}
		c.num(v)
	}
	return ` data-box="` + string(c.body) + `"`
}
