package draw

import (
	"math"
	"strconv"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/sizing"
)

// sheet is a canvas on which the camera's frame is drawn to scale, seen along one of its axes.
type sheet struct {
	*canvas
	*stage
	u      Units
	scale  float64 // units of paper a metre
	origin pt      // where the shot's origin lies
	flat   func(geom.Vec) (right, up float64)
	area   box // the drawing proper; what is to scale is clipped to it
	// beforeLens leaves out what shades the lens: seen from behind it would sit on the people's heads, who are metres beyond.
	beforeLens bool
}

func (s *sheet) omits(p *sizing.Piece) bool { return s.beforeLens && p.Role == finding.RoleCameraShade }

func fromAbove(v geom.Vec) (right, up float64)   { return v.X, v.Y }
func fromTheSide(v geom.Vec) (right, up float64) { return v.Y, v.Z }
func fromBehind(v geom.Vec) (right, up float64)  { return v.X, v.Z }

// at is where a point of the camera's frame lies on the paper.
func (s *sheet) at(v geom.Vec) pt {
	right, up := s.flat(v)
	return pt{s.origin.x + s.scale*right, s.origin.y - s.scale*up}
}

func (s *sheet) points(list []geom.Vec) []pt {
	out := make([]pt, len(list))
	for i, v := range list {
		out[i] = s.at(v)
	}
	return out
}

// extent is a rectangle of the flattened frame in metres.
type extent struct{ left, right, low, high float64 }

func nowhere() extent {
	return extent{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
}

func (e *extent) add(right, up float64) {
	e.left, e.right = math.Min(e.left, right), math.Max(e.right, right)
	e.low, e.high = math.Min(e.low, up), math.Max(e.high, up)
}

// newSheet fits an extent into the paper: margins are in units of paper, tallest bounds the height of what is to scale,
// foot is room under it.
func newSheet(st *stage, u Units, kind string, flat func(geom.Vec) (right, up float64), e extent, width, side, above, below, tallest, foot float64) *sheet {
	wide, high := math.Max(e.right-e.left, 0.1), math.Max(e.high-e.low, 0.1)
	scale := math.Min((width-2*side)/wide, tallest/high)
	drawn := math.Ceil(above + scale*high + below)
	c := newCanvas(kind, width, drawn+foot)
	c.id += st.after() + u.ID
	return &sheet{
		canvas: c, stage: st, u: u, scale: scale, flat: flat,
		origin: pt{width/2 - scale*(e.left+e.right)/2, above + scale*e.high},
		area:   box{0, 0, width, drawn},
	}
}

// clipped draws what of a line lies in the area.
func (s *sheet) clipped(a, b pt, p pen, data string) {
	if a, b, ok := clipLine(a, b, s.area); ok {
		s.line(a, b, p, data)
	}
}

// data are the svg element's attributes that say how the drawing is to scale.
func (s *sheet) data() string {
	return scaleData(s.scale, s.origin, s.shot.Camera.BearingDeg)
}

func scaleData(scale float64, origin pt, bearingDeg float64) string {
	f := func(v float64) string { return strconv.FormatFloat(v, 'g', 12, 64) }
	return attr("data-scale", f(scale)) + attr("data-origin", f(origin.x)+" "+f(origin.y)) + attr("data-bearing", f(bearingDeg))
}

const metresPerFoot = 0.3048 // international foot, exact

// scaleBar draws one bar of whole metres over one of whole feet, from its left end at p; on the printed sheet's elevations they are abreast.
func (s *sheet) scaleBar(p pt, room float64) {
	bar := func(p pt, unitM float64, name string) {
		n := 1.0
		for _, k := range [...]float64{2, 5, 10, 20, 50, 100} {
			if k*unitM*s.scale <= room {
				n = k
			}
		}
		w := n * unitM * s.scale
		s.rect(box{p.x, p.y, w / 2, 6}, pen{stroke: ink, width: 1, fill: ink}, "")
		s.rect(box{p.x + w/2, p.y, w / 2, 6}, pen{stroke: ink, width: 1, fill: paper}, "")
		s.say(pt{p.x + w + 8, p.y + 8}, "start", smallSize, ink, s.u.Number(n, 0)+" "+name)
	}
	second := pt{0, 18}
	if s.width < paperWidth {
		second = pt{room + 70, 0}
	}
	bar(p, 1, "m")
	bar(p.add(second), metresPerFoot, "ft")
}
