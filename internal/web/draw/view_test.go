package draw_test

import (
	"math"
	"testing"

	"kitspan/internal/scene"

	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// find is the elements with a data-part.
func find(list []element, name string) (found []element) {
	for _, e := range list {
		if e.attr["data-part"] == name {
			found = append(found, e)
		}
	}
	return found
}

// turned is the angle of a line on the paper, in degrees clockwise from up the page.
func turned(t *testing.T, e *element) float64 {
	t.Helper()
	p := e.points(t)
	return math.Atan2(p[1].x-p[0].x, p[0].y-p[1].y) * 180 / math.Pi
}

// apart is the angle between two directions of the paper.
func apart(a, b float64) float64 {
	return math.Abs(math.Remainder(a-b, 360))
}

// angleRounding is what a hundredth of a unit turns the shortest line that is measured, an arrow of some 25 units.
const angleRounding = 0.05

// TestViewAndZonesAreToScale checks what is seen and what is to be lit against the shot itself.
func TestViewAndZonesAreToScale(t *testing.T) {
	each(t, func(t *testing.T, a *answer, o *sizing.Option, kind, svg string) {
		shot := &a.res.Shot
		if kind == "levels" || kind == "wind" || kind == "curve" {
			return
		}
		s := sheetOf(t, kind, svg, &a.res)
		f := &shot.Framing
		pitch := math.Atan2(shot.Camera.AimHeightM-shot.Camera.HeightM, f.DistanceM)
		reach := math.Hypot(f.DistanceM, shot.Camera.AimHeightM-shot.Camera.HeightM)
		high := math.Atan(f.WidthM / f.AspectRatio / 2 / reach)
		deg := 180 / math.Pi
		switch kind {
		case "plan":
			half := math.Atan(f.WidthM/2/f.DistanceM) * deg
			for name, want := range map[string]float64{"view-left": -half, "view-right": half, "north": -shot.Camera.BearingDeg, "axis": 0} {
				for _, e := range find(s.list, name) {
					if got := turned(t, &e); apart(got, want) > angleRounding {
						t.Errorf("%s at %.3f°, not %.3f°", name, got, want)
					}
				}
			}
			axis := find(s.list, "axis")
			if len(axis) != 1 || len(find(s.list, "view-left")) != 1 || len(find(s.list, "north")) != 1 {
				t.Fatal("no axis, view or north")
			}
			if p := axis[0].points(t); math.Abs(p[0].y-p[1].y-s.scale*f.DistanceM) > 2*rounding {
				t.Errorf("the lens at %v, the subject at %v", p[0], p[1])
			}
			s.groundZones(t, shot)
		case "along":
			for name, want := range map[string]float64{"view-top": 90 - (pitch+high)*deg, "view-bottom": 90 - (pitch-high)*deg} {
				found := find(s.list, name)
				if len(found) != 1 {
					t.Fatalf("no %s", name)
				}
				if got := turned(t, &found[0]); apart(got, want) > angleRounding {
					t.Errorf("%s at %.3f°, not %.3f°", name, got, want)
				}
			}
		case "across":
			for _, e := range find(s.list, "picture") {
				for _, p := range e.points(t) {
					if z := (s.y - p.y) / s.scale; p.y > 0 && p.y < s.height && math.Abs(p.x-s.x) < 300 {
						up := math.Atan2(z-shot.Camera.HeightM, f.DistanceM) - pitch
						if math.Abs(math.Abs(up)-high) > 1e-3 && p.y != s.height-46 {
							t.Errorf("the picture's corner %v stands %.4f rad off the axis, not %.4f", p, up, high)
						}
					}
				}
			}
		}
	})
}

func (s *sheet) groundZones(t *testing.T, shot *shot.Shot) {
	t.Helper()
	zones := 0
	for _, e := range s.list {
		if e.attr["data-zone"] == "" {
			continue
		}
		zones++
		sin, cos := math.Sincos(shot.Camera.BearingDeg * math.Pi / 180)
		at, w, d := shot.Walk.Scale(0.5), shot.Zone.WidthM, shot.Zone.DepthM
		w, d = w+math.Abs(shot.Walk.X*cos-shot.Walk.Y*sin), d+math.Abs(shot.Walk.X*sin+shot.Walk.Y*cos) // the box around the way
		if e.attr["data-zone"] != "0" {
			z := &shot.OtherZones[zones-2]
			at, w, d = geom.Vec{X: z.CenterX, Y: z.CenterY}, z.WidthM, z.DepthM
		}
		p := e.points(t)
		mid, _ := s.at(at)
		if math.Abs((p[0].x+p[2].x)/2-mid.x) > rounding || math.Abs((p[0].y+p[2].y)/2-mid.y) > rounding ||
			math.Abs(p[2].x-p[0].x-w*s.scale) > 2*rounding || math.Abs(p[0].y-p[2].y-d*s.scale) > 2*rounding {
			t.Errorf("zone %s at %v", e.attr["data-zone"], p)
		}
	}
	if zones != 1+len(shot.OtherZones) {
		t.Errorf("%d zones", zones)
	}
}

// TestSunComesFromWhereItStands compares arrows and rays with the tracks of the answer.
func TestSunComesFromWhereItStands(t *testing.T) {
	arrows, rays, discs := 0, 0, 0
	each(t, func(t *testing.T, a *answer, o *sizing.Option, kind, svg string) {
		if kind == "levels" || kind == "wind" || kind == "curve" || !o.Window.From.Equal(a.res.Shot.Window.From) || !o.Window.To.Equal(a.res.Shot.Window.To) || len(a.res.Shot.Lamps) > 0 {
			return
		}
		s := sheetOf(t, kind, svg, &a.res)
		bearing := a.res.Shot.Camera.BearingDeg
		at := func(clock string) *scene.TrackPoint {
			track := a.res.Sources[0].Track
			for i := range track {
				if track[i].At.Format("15:04") == clock {
					return &track[i]
				}
			}
			t.Fatalf("no sun at %s", clock)
			return nil
		}
		for _, e := range find(s.list, "sun") {
			p := at(e.attr["data-at"])
			switch {
			case kind == "plan":
				arrows++
				if got, want := turned(t, &e), p.AzimuthDeg-bearing+180; apart(got, want) > 6*angleRounding {
					t.Errorf("the sun of %s shines along %.2f°, not %.2f°", e.attr["data-at"], got, want)
				}
			case e.name == "circle":
				discs++
				if q, ok := s.at(s.eye.Add(geom.Toward(p.AzimuthDeg, p.ElevationDeg).Scale(1e5))); !ok || math.Hypot(q.x-e.num(t, "cx"), q.y-e.num(t, "cy")) > 0.02 {
					t.Errorf("the sun stands at %v, is drawn at %v", q, e.points(t))
				}
			}
		}
		for _, e := range find(s.list, "ray") {
			rays++
			track := a.res.Sources[0].Track
			mid := track[0].At.Add(track[len(track)-1].At.Sub(track[0].At) / 2)
			best := &track[0]
			for i := range track[:len(track)-1] {
				if i > 0 && (best == &track[0] || track[i].At.Sub(mid).Abs() < best.At.Sub(mid).Abs()) {
					best = &track[i]
				}
			}
			if len(track) < 3 {
				best = &track[len(track)/2]
			}
			d := geom.Toward(best.AzimuthDeg-bearing, best.ElevationDeg)
			want := math.Atan2(d.Y, d.Z)
			if kind == "across" {
				want = math.Atan2(d.X, d.Z)
			}
			p := e.points(t)
			length := math.Hypot(p[1].x-p[0].x, p[1].y-p[0].y)
			if got := turned(t, &e); apart(got, want*180/math.Pi) > 0.05+1/length {
				t.Errorf("a ray at %.2f°, the sun at %.2f°", got, want*180/math.Pi)
			}
		}
	})
	if arrows < 100 || rays < 200 || discs == 0 {
		t.Errorf("%d arrows, %d rays, %d discs", arrows, rays, discs)
	}
}
