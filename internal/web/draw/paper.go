package draw

import "math"

// The paper: on a page every drawing is this many units wide, which is about one pixel each.
const paperWidth = 720.0

// halfWidth is the paper of a drawing that takes half the width of the printed sheet, some 96 mm: its smallest letters are 7.3 pt there.
const halfWidth = 560.0

// width is the paper's for all drawings that the sheet shows two abreast.
func (u Units) width() float64 {
	if u.Sheet {
		return halfWidth
	}
	return paperWidth
}

// Sizes of text in units of the paper: 15 is 14.6 px where the drawing is 700 px wide, and 8 on a telephone of 390.
const (
	textSize  = 17.0
	smallSize = 15.0
)

// The colours: ink, two greys, two accents that differ in grey too, and two pale fills. In the dark and in high contrast the page's style
// replaces them, matching on these values; a drawing on its own is always light.
const (
	ink      = "#1b1b18"
	grey     = "#5a5a52"
	paleGrey = "#b9b6a8"
	paper    = "#fff"
	sunInk   = "#8a5200" // light that is hard
	beamInk  = "#0b4f6c" // light that is thrown back or made
	taken    = "#f4f3ec" // what the camera takes
	cloth    = "#e9e7dc" // what light passes through
)

// Palette returns every colour that a drawing has.
func Palette() []string { return []string{ink, grey, paleGrey, paper, sunInk, beamInk, taken, cloth} }

// pt is a point on the paper: x to the right, y down.
type pt struct{ x, y float64 }

func (a pt) add(b pt) pt               { return pt{a.x + b.x, a.y + b.y} }
func (a pt) sub(b pt) pt               { return pt{a.x - b.x, a.y - b.y} }
func (a pt) scale(k float64) pt        { return pt{a.x * k, a.y * k} }
func (a pt) len() float64              { return math.Hypot(a.x, a.y) }
func (a pt) toward(b pt, d float64) pt { return a.add(b.sub(a).unit().scale(d)) }

func (a pt) unit() pt {
	l := a.len()
	if l == 0 {
		return a
	}
	return a.scale(1 / l)
}

// box is an upright rectangle on the paper.
type box struct{ x, y, w, h float64 }

func (b box) grow(m float64) box { return box{b.x - m, b.y - m, b.w + 2*m, b.h + 2*m} }

func (b box) overlaps(o box) bool {
	return b.x < o.x+o.w && o.x < b.x+b.w && b.y < o.y+o.h && o.y < b.y+b.h
}

func (b box) holds(p pt) bool {
	return p.x >= b.x && p.x <= b.x+b.w && p.y >= b.y && p.y <= b.y+b.h
}

func (b box) within(o box) bool {
	return b.x >= o.x && b.y >= o.y && b.x+b.w <= o.x+o.w && b.y+b.h <= o.y+o.h
}

func (b box) middle() pt { return pt{b.x + b.w/2, b.y + b.h/2} }

// nearest is the point of the box that is nearest to p.
func (b box) nearest(p pt) pt {
	return pt{math.Min(math.Max(p.x, b.x), b.x+b.w), math.Min(math.Max(p.y, b.y), b.y+b.h)}
}
