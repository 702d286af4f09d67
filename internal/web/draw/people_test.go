package draw_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"kitspan/internal/geom"
	"kitspan/internal/web/draw"
)

// People are to scale in every view: in their zone, the feet on the ground and the highest point of the body a head's height, 0.3 m, under
// the top of the zone or of a person of 1.85 m.
func TestPeopleAreToScaleInEveryView(t *testing.T) {
	seen := map[string]int{}
	for _, a := range examples() {
		if a.res.Shot.Walks() {
			continue // their zone is all of the way
		}
		z := &a.res.Shot.Zone
		top := math.Min(z.TopM, 1.85)
		for _, kind := range []string{"plan", "along", "across", "lens"} {
			for _, d := range kinds {
				if d.name != kind {
					continue
				}
				s := sheetOf(t, kind, d.draw(&a.res, &a.res.Options[0], metric), &a.res)
				people := find(s.list, "person")
				if (len(people) > 0) != (top >= 0.92) && len(a.res.Shot.OtherZones) == 0 {
					t.Errorf("%s, %s: %d people, the zone is %.2f m high", a.name, kind, len(people), top)
				}
				if len(people) == 0 || people[0].name != "polygon" { // cut at the drawing's edge
					continue
				}
				seen[kind]++
				// The first stands in the middle, or as far to the left as of several side by side.
				n := math.Max(1, math.Min(8, math.Floor(z.WidthM/1.3)))
				right := -z.WidthM / 2 * (n - 1) / n
				axis := a.res.Shot.Axes()
				low, high, left, wide := math.Inf(-1), math.Inf(1), math.Inf(1), math.Inf(-1)
				for _, p := range people[0].points(t) {
					low, high, left, wide = math.Max(low, p.y), math.Min(high, p.y), math.Min(left, p.x), math.Max(wide, p.x)
				}
				at := func(up float64) point {
					q, _ := s.at(axis.ToWorld(geom.Vec{X: right, Z: up}))
					return q
				}
				const shoulders = 0.5
				want := [4]float64{at(0).y, at(top - 0.3).y, at(0).x - shoulders/2*s.scale, at(0).x + shoulders/2*s.scale}
				switch kind {
				case "plan":
					want = [4]float64{at(0).y + 0.13*s.scale, at(0).y - 0.13*s.scale, at(0).x - 0.23*s.scale, at(0).x + 0.23*s.scale}
				case "lens":
					depth := axis.ToWorld(geom.Vec{X: right}).Sub(s.eye).Dot(s.fwd)
					want[2], want[3] = at(top-0.92+0.03).x-shoulders/2*s.scale/depth, at(top-0.92+0.03).x+shoulders/2*s.scale/depth
				}
				got := [4]float64{low, high, left, wide}
				for i := range got {
					if math.Abs(got[i]-want[i]) > 0.02*math.Abs(want[1]-want[0])+rounding {
						t.Errorf("%s, %s: a person from %v, by hand %v", a.name, kind, got, want)
						break
					}
				}
			}
		}
	}
	for _, kind := range []string{"plan", "along", "across", "lens"} {
		if seen[kind] < 3 {
			t.Errorf("%s: people in %d drawings", kind, seen[kind])
		}
	}
}

// Labels keep off lines: of twenty no more than two are crossed by one, where a drawing has no other room.
func TestLabelsKeepOffLines(t *testing.T) {
	crossed, all := map[string]int{}, map[string]int{}
	for _, a := range examples() {
		for _, d := range kinds[:4] {
			list := sheetOf(t, d.name, d.draw(&a.res, &a.res.Options[0], metric), &a.res).list
			var lines [][2]point
			for _, e := range list {
				const dotted, leader = "1 4", "0.8" // the horizon, and what ties a label to its thing
				if e.attr["stroke"] == "" || e.attr["stroke-dasharray"] == dotted || e.attr["stroke-width"] == leader {
					continue
				}
				if e.name != "line" && e.name != "polyline" && e.name != "polygon" {
					continue
				}
				p := e.points(t)
				for i := 1; i < len(p); i++ {
					lines = append(lines, [2]point{p[i-1], p[i]})
				}
				if e.name == "polygon" {
					lines = append(lines, [2]point{p[len(p)-1], p[0]})
				}
			}
			for _, e := range list {
				if e.name != "text" || e.attr["data-box"] == "" {
					continue
				}
				var x, y, w, h float64
				if _, err := fmt.Sscan(e.attr["data-box"], &x, &y, &w, &h); err != nil {
					t.Fatal(err)
				}
				all[d.name]++
				const room, rim = 1.13, 3 // a label's box is for the widest of faces; and it has a rim
				for _, l := range lines {
					if meets(l, x+rim, y+rim, x+w/room-rim, y+h-rim) {
						crossed[d.name]++
						break
					}
				}
			}
		}
	}
	for name, n := range crossed {
		if n*10 > all[name] {
			t.Errorf("%s: %d of %d labels lie on lines", name, n, all[name])
		}
	}
}

// meets reports whether a line runs through a box.
func meets(l [2]point, x0, y0, x1, y1 float64) bool {
	from, to := 0.0, 1.0
	dx, dy := l[1].x-l[0].x, l[1].y-l[0].y
	for _, c := range [4][2]float64{{-dx, l[0].x - x0}, {dx, x1 - l[0].x}, {-dy, l[0].y - y0}, {dy, y1 - l[0].y}} {
		switch {
		case c[0] == 0 && c[1] < 0:
			return false
		case c[0] < 0:
			from = math.Max(from, c[1]/c[0])
		case c[0] > 0:
			to = math.Min(to, c[1]/c[0])
		}
	}
	return from <= to
}

// A drawing has no colour but those that the pages' themes know (style.css).
func TestDrawingsUseTheirColoursAlone(t *testing.T) {
	for _, a := range examples() {
		for _, d := range kinds {
			for _, m := range regexp.MustCompile(`(?:fill|stroke)="([^"]*)"`).FindAllStringSubmatch(d.draw(&a.res, &a.res.Options[0], metric), -1) {
				if v := m[1]; v != "none" && v != "stroke" && !strings.HasPrefix(v, "url(#") && !slices.Contains(draw.Palette(), v) {
					t.Errorf("%s, %s: %s", a.name, d.name, m[0])
				}
			}
		}
	}
}
