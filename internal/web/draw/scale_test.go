package draw_test

import (
	"math"
	"strconv"
	"testing"

	"kitspan/internal/scene"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// sheet reads a drawing's own scale and says where on it a point of the answer must lie.
type sheet struct {
	list             []element
	scale            float64
	x, y             float64 // of the origin
	sin, cos         float64
	width, height    float64
	right, up        func(right, away, high float64) float64
	bottom           float64 // of what is to scale
	perspective      bool
	eye, fwd, lat, v geom.Vec // of the lens, in the world; lat to the right, v up
}

func sheetOf(t *testing.T, kind, svg string, r *sizing.Result) *sheet {
	t.Helper()
	s := &sheet{list: read(t, svg)}
	root := s.list[0]
	origin, view := root.numbers(t, "data-origin"), root.numbers(t, "viewBox")
	s.scale, s.x, s.y = root.num(t, "data-scale"), origin[0], origin[1]
	s.width, s.height = view[2], view[3]
	b := root.num(t, "data-bearing")
	if b != r.Shot.Camera.BearingDeg {
		t.Errorf("drawn along %v°, the lens looks %v°", b, r.Shot.Camera.BearingDeg)
	}
	s.sin, s.cos = math.Sin(b*math.Pi/180), math.Cos(b*math.Pi/180)
	switch kind {
	case "plan":
		s.right, s.up = func(x, _, _ float64) float64 { return x }, func(_, y, _ float64) float64 { return y }
	case "along":
		s.right, s.up = func(_, y, _ float64) float64 { return y }, func(_, _, z float64) float64 { return z }
	case "across":
		s.right, s.up = func(x, _, _ float64) float64 { return x }, func(_, _, z float64) float64 { return z }
	case "lens":
		s.perspective = true
		d := r.Shot.Framing.DistanceM
		s.eye = geom.Vec{X: -d * s.sin, Y: -d * s.cos, Z: r.Shot.Camera.HeightM}
		s.fwd = geom.Vec{Z: r.Shot.Camera.AimHeightM}.Sub(s.eye).Unit()
		s.lat = geom.Vec{X: s.cos, Y: -s.sin}
		s.v = s.lat.Cross(s.fwd)
	}
	return s
}

// at is where a point of the answer must be drawn; ok is false behind the lens.
func (s *sheet) at(p geom.Vec) (q point, ok bool) {
	if s.perspective {
		d := p.Sub(s.eye)
		depth := d.Dot(s.fwd)
		return point{s.x + s.scale*d.Dot(s.lat)/depth, s.y - s.scale*d.Dot(s.v)/depth}, depth > 1e-3
	}
	x, y := p.X*s.cos-p.Y*s.sin, p.X*s.sin+p.Y*s.cos
	return point{s.x + s.scale*s.right(x, y, p.Z), s.y - s.scale*s.up(x, y, p.Z)}, true
}

// rounding is half a hundredth of a unit either way, and what float64 adds.
const rounding = 0.0051

func near(a, b point) bool { return math.Abs(a.x-b.x) <= rounding && math.Abs(a.y-b.y) <= rounding }

func (s *sheet) same(t *testing.T, what string, got []point, want ...geom.Vec) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s has %d points, not %d", what, len(got), len(want))
		return
	}
	for i, w := range want {
		if q, _ := s.at(w); !near(got[i], q) {
			t.Errorf("%s: point %d is drawn at %v, belongs at %v", what, i, got[i], q)
		}
	}
}

// TestPiecesStandWhereTheAnswerPutsThem compares everything drawn to scale with the answer's coordinates.
func TestPiecesStandWhereTheAnswerPutsThem(t *testing.T) {
	each(t, func(t *testing.T, a *answer, o *sizing.Option, kind, svg string) {
		if kind == "levels" || kind == "wind" || kind == "curve" || kind == "lens" {
			return
		}
		s := sheetOf(t, kind, svg, &a.res)
		for i := range o.Pieces {
			if kind == "across" && o.Pieces[i].Role == finding.RoleCameraShade { // it hangs at the lens, behind which this view is
				for _, e := range s.list {
					if e.attr["data-piece"] == strconv.Itoa(i) {
						t.Errorf("the lens shade is drawn: %v", e)
					}
				}
				continue
			}
			s.piece(t, kind, i, &o.Pieces[i])
			if n := len(part(s.list, i, "number")); n != 1 {
				t.Errorf("piece %d is numbered %d times", i, n)
			}
		}
	})
}

func (s *sheet) piece(t *testing.T, kind string, i int, p *sizing.Piece) {
	t.Helper()
	name := "piece " + strconv.Itoa(i) + " "
	one := func(what string, n int) []element {
		t.Helper()
		found := part(s.list, i, what)
		if len(found) != n {
			t.Errorf("%s%s: drawn %d times, not %d", name, what, len(found), n)
			return nil
		}
		return found
	}
	if p.Lamp != nil {
		for _, e := range one("lamp", 1) {
			s.same(t, name+"lamp", e.points(t), p.Lamp.Position)
		}
		for _, e := range one("aim", 1) {
			s.same(t, name+"aim", e.points(t), p.Lamp.Position, p.Lamp.Aim)
		}
	} else {
		for _, e := range one("opening", 1) {
			s.same(t, name+"opening", e.points(t), p.Corners[0], p.Corners[1], p.Corners[2], p.Corners[3])
		}
	}
	arms := 0
	feet := one("feet", len(p.Supports))
	for k, e := range one("mast", len(p.Supports)) {
		h := &p.Supports[k]
		if kind == "plan" {
			s.same(t, name+"mast", e.points(t), h.Base)
			s.same(t, name+"feet", feet[k].points(t), h.Base)
			if r := feet[k].num(t, "r"); math.Abs(r-h.FootprintM*s.scale) > rounding {
				t.Errorf("%sfeet of radius %v, not %v", name, r, h.FootprintM*s.scale)
			}
		} else {
			s.same(t, name+"mast", e.points(t), h.Base, geom.Vec{X: h.Base.X, Y: h.Base.Y, Z: h.HeightM})
			q, _ := s.at(h.Base)
			f := feet[k].points(t)
			if r := h.FootprintM * s.scale; !near(f[0], point{q.x - r, q.y}) || !near(f[2], point{q.x + r, q.y}) {
				t.Errorf("%sfeet from %v to %v", name, f[0], f[2])
			}
		}
		if h.Arm != nil {
			arms++
		}
	}
	for k, e := range one("arm", arms) {
		for n := range p.Supports {
			if p.Supports[n].Arm == nil {
				continue
			}
			if k == 0 {
				s.same(t, name+"arm", e.points(t), p.Supports[n].Arm[0], p.Supports[n].Arm[1])
			}
			k--
		}
	}
	for k, e := range one("line", len(p.Lines)) {
		s.same(t, name+"line", e.points(t), p.Lines[k].From, p.Lines[k].To)
	}
	one("anchor", len(p.Lines))
}

// TestShadowsLieWhereTheLightPutsThem follows each corner along its ray down to the ground.
func TestShadowsLieWhereTheLightPutsThem(t *testing.T) {
	seen := 0
	each(t, func(t *testing.T, a *answer, o *sizing.Option, kind, svg string) {
		if kind != "plan" || !o.Window.From.Equal(a.res.Shot.Window.From) || !o.Window.To.Equal(a.res.Shot.Window.To) {
			return
		}
		s := sheetOf(t, kind, svg, &a.res)
		for i := range o.Pieces {
			for _, e := range part(s.list, i, "shadow") {
				seen++
				s.shadow(t, a, &o.Pieces[i], &e)
			}
		}
	})
	if seen < 100 {
		t.Errorf("only %d shadows", seen)
	}
}

func (s *sheet) shadow(t *testing.T, a *answer, p *sizing.Piece, e *element) {
	t.Helper()
	var at *scene.TrackPoint
	var lamp *shot.Lamp
	for k := range a.res.Sources {
		src := &a.res.Sources[k]
		if src.Label != e.attr["data-source"] {
			continue
		}
		for n := range src.Track {
			if src.Track[n].At.Format("15:04") == e.attr["data-at"] {
				at = &src.Track[n]
			}
		}
		for n := range a.res.Shot.Lamps {
			if a.res.Shot.Lamps[n].Label == src.Label {
				lamp = &a.res.Shot.Lamps[n]
			}
		}
	}
	if at == nil {
		t.Errorf("a shadow at %s from %s", e.attr["data-at"], e.attr["data-source"])
		return
	}
	got := e.points(t)
	for _, c := range p.Corners {
		az, el := at.AzimuthDeg*math.Pi/180, at.ElevationDeg*math.Pi/180
		ground := geom.Vec{X: c.X - c.Z/math.Tan(el)*math.Sin(az), Y: c.Y - c.Z/math.Tan(el)*math.Cos(az)}
		if lamp != nil && lamp.Position != nil {
			k := lamp.Position.Z / (lamp.Position.Z - c.Z)
			ground = geom.Vec{X: lamp.Position.X + k*(c.X-lamp.Position.X), Y: lamp.Position.Y + k*(c.Y-lamp.Position.Y)}
		}
		q, _ := s.at(ground)
		if !s.onPaper(q) {
			continue
		}
		found := false
		for _, g := range got {
			found = found || near(g, q)
		}
		if !found {
			t.Errorf("no corner of the shadow at %v: %v", q, got)
		}
	}
}

// onPaper leaves out what lies at the drawing's edge or in the strip under it.
func (s *sheet) onPaper(q point) bool {
	for _, e := range s.list {
		if e.name == "line" && e.attr["x1"] == "0" && e.attr["x2"] == "720" {
			if v, err := strconv.ParseFloat(e.attr["y1"], 64); err == nil {
				s.bottom = v
			}
		}
	}
	return q.x > 0 && q.y > 0 && q.x < s.width && q.y < s.bottom
}

// TestLensDrawsWhatItSees projects every corner near the picture by itself.
func TestLensDrawsWhatItSees(t *testing.T) {
	openings := 0
	each(t, func(t *testing.T, a *answer, o *sizing.Option, kind, svg string) {
		if kind != "lens" {
			return
		}
		s := sheetOf(t, kind, svg, &a.res)
		s.pictureEdge(t, &a.res)
		for i := range o.Pieces {
			p := &o.Pieces[i]
			drawn := part(s.list, i, "opening")
			if p.ViewClearanceM >= 1 && len(drawn) > 0 {
				t.Errorf("piece %d is drawn, %v m off", i, p.ViewClearanceM)
			}
			if p.ViewClearanceM < 1 && len(part(s.list, i, "number")) != 1 {
				t.Errorf("piece %d is close and not numbered", i)
			}
			for _, e := range drawn {
				openings++
				s.seenOpening(t, p, e.points(t))
			}
		}
	})
	if openings < 50 {
		t.Errorf("only %d openings", openings)
	}
}

// pictureEdge checks the picture's rectangle: its sides from width, distance and aspect ratio.
func (s *sheet) pictureEdge(t *testing.T, r *sizing.Result) {
	t.Helper()
	for _, e := range s.list {
		if e.attr["data-part"] != "picture" {
			continue
		}
		p := e.points(t)
		f := &r.Shot.Framing
		reach := math.Hypot(f.DistanceM, r.Shot.Camera.HeightM-r.Shot.Camera.AimHeightM)
		w, h := s.scale*f.WidthM/reach, s.scale*f.WidthM/f.AspectRatio/reach
		if math.Abs(p[1].x-p[0].x-w) > 2*rounding || math.Abs(p[2].y-p[1].y-h) > 2*rounding {
			t.Errorf("picture %v, not %v × %v", p, w, h)
		}
		return
	}
	t.Error("no picture")
}

func (s *sheet) seenOpening(t *testing.T, p *sizing.Piece, got []point) {
	t.Helper()
	var frame []point
	for _, e := range s.list {
		if e.attr["data-part"] == "picture" {
			frame = e.points(t)
		}
	}
	const margin = 60 // that much is drawn around every picture
	for _, c := range p.Corners {
		q, ok := s.at(c)
		if !ok || q.x < frame[0].x-margin || q.x > frame[2].x+margin || q.y < frame[0].y-margin || q.y > frame[2].y+margin {
			continue
		}
		found := false
		for _, g := range got {
			found = found || near(g, q)
		}
		if !found {
			t.Errorf("no corner at %v: %v", q, got)
		}
	}
}
