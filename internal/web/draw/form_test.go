package draw_test

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"kitspan/internal/lighting"

	"kitspan/internal/scene"

	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/web/draw"
)

// slack is what rounding to a hundredth of a unit may put beside a place.
const slack = 0.011

// wellMade checks what holds for every drawing: an accessible name, nothing that a strict content policy stops, nothing
// off the paper, no label on another.
func wellMade(t *testing.T, kind, svg string) {
	t.Helper()
	wellMadeOn(t, kind, svg, 720)
}

// wellMadeOn is wellMade on paper of another width.
func wellMadeOn(t *testing.T, kind, svg string, width float64) {
	t.Helper()
	list := read(t, svg)
	root := list[0]
	if root.attr["role"] != "img" || root.attr["xmlns"] != "http://www.w3.org/2000/svg" {
		t.Errorf("svg element %v", root.attr)
	}
	if want := kind + "-title " + kind + "-desc"; root.attr["aria-labelledby"] != want {
		t.Errorf("named by %q, not %q", root.attr["aria-labelledby"], want)
	}
	view := root.numbers(t, "viewBox")
	if len(view) != 4 || view[0] != 0 || view[1] != 0 || view[2] != width || view[3] < 50 || view[3] > 1100 {
		t.Fatalf("viewBox %v", view)
	}
	ids := map[string]string{}
	var boxes []box
	var words []string
	for i, e := range list {
		if id := e.attr["id"]; id != "" {
			if ids[id] != "" || !strings.HasPrefix(id, kind+"-") {
				t.Errorf("id %q", id)
			}
			ids[id] = e.name
		}
		switch e.name {
		case "style", "script", "image", "a", "foreignObject", "use":
			t.Errorf("a %s element", e.name)
		}
		for name, v := range e.attr {
			if name == "style" || strings.HasPrefix(name, "on") || strings.Contains(name, "href") {
				t.Errorf("%s has %s=%q", e.name, name, v)
			}
			if strings.Contains(v, "NaN") || strings.Contains(v, "Inf") {
				t.Errorf("%s %s=%q", e.name, name, v)
			}
		}
		r := 0.0
		if e.name == "circle" {
			r = e.num(t, "r")
		}
		for _, p := range e.points(t) {
			if p.x-r < -slack || p.x+r > view[2]+slack || p.y-r < -slack || p.y+r > view[3]+slack {
				t.Errorf("element %d (%s %s) reaches to %.2f, %.2f, off the paper", i, e.name, e.attr["data-part"], p.x, p.y)
			}
		}
		if e.attr["data-box"] != "" {
			b := e.numbers(t, "data-box")
			boxes = append(boxes, box{b[0], b[1], b[2], b[3]})
			words = append(words, strings.TrimSpace(e.text))
		} else if e.name == "text" && !strings.Contains(svg, "<g data-piece") {
			t.Errorf("the text %q says nothing of its room", e.text)
		}
	}
	if ids[kind+"-title"] != "title" || ids[kind+"-desc"] != "desc" {
		t.Errorf("ids %v", ids)
	}
	for _, m := range regexp.MustCompile(`url\(#([^)]*)\)`).FindAllStringSubmatch(svg, -1) {
		if ids[m[1]] != "pattern" {
			t.Errorf("%s is not there", m[0])
		}
	}
	for i, b := range boxes {
		if b.x < 0 || b.y < 0 || b.x+b.w > view[2] || b.y+b.h > view[3] {
			t.Errorf("the label %q is off the paper: %v", words[i], b)
		}
		for k, o := range boxes[:i] {
			if b.x < o.x+o.w-slack && o.x < b.x+b.w-slack && b.y < o.y+o.h-slack && o.y < b.y+b.h-slack {
				t.Errorf("the labels %q and %q overlap", words[k], words[i])
			}
		}
	}
}

type box struct{ x, y, w, h float64 }

func TestDrawingsAreWellMade(t *testing.T) {
	each(t, func(t *testing.T, a *answer, o *sizing.Option, kind, svg string) {
		wellMade(t, kind, svg)
		for _, d := range kinds {
			if d.name == kind {
				if again := d.draw(&a.res, o, metric); again != svg {
					t.Error("drawn again it differs")
				}
				wellMade(t, kind, d.draw(&a.res, o, imperial))
			}
		}
	})
}

func TestDaysAreWellMade(t *testing.T) {
	files, err := filepath.Glob("../../../docs/examples/*.json")
	if err != nil || len(files) == 0 {
		t.Fatal("no examples", err)
	}
	for _, f := range files {
		for _, step := range []int{30, 120} {
			res := sweepOf(t, f, step)
			svg := draw.Day(&res, metric)
			wellMade(t, "day", svg)
			if svg != draw.Day(&res, metric) {
				t.Error("drawn again it differs")
			}
		}
	}
}

// TestTextsAreEscaped takes names that would break out of the drawing.
func TestTextsAreEscaped(t *testing.T) {
	a := examples()[4]
	r := a.res
	const bad = `</text><script>alert("x")</script> & 'y' ]]> ` + "\x01\xff"
	r.Shot.Name = bad
	r.Shot.OtherZones = append([]shot.OtherZone(nil), r.Shot.OtherZones...)
	r.Shot.OtherZones[0].Label = bad
	o := r.Options[0]
	o.Pieces = append([]sizing.Piece(nil), o.Pieces...)
	for i := range o.Pieces {
		if o.Pieces[i].Serves != "main" {
			o.Pieces[i].Serves = bad
		}
	}
	o.Levels.OtherZones = []lighting.ZoneLevels{{Label: bad, KeyStops: -1}}
	for _, d := range kinds {
		svg := d.draw(&r, &o, metric)
		read(t, svg)
		if strings.Contains(svg, "<script") {
			t.Errorf("%s lets a script through", d.name)
		}
	}
}

// TestLongNamesAreCut takes names longer than the paper is wide.
func TestLongNamesAreCut(t *testing.T) {
	long := strings.Repeat("wide ", 60)
	a := examples()[8] // the hall
	r := a.res
	o := r.Options[0]
	r.Shot.Lamps = append([]shot.Lamp(nil), r.Shot.Lamps...)
	r.Sources = append([]scene.SourceTrack(nil), r.Sources...)
	for i := range r.Sources {
		r.Sources[i].Label, r.Shot.Lamps[i].Label = long+r.Sources[i].Label, long+r.Sources[i].Label
	}
	r.Shot.OtherZones = []shot.OtherZone{{Label: long, CenterX: 1, CenterY: 4, WidthM: 1, DepthM: 1, TopM: 1.8}}
	o.Levels.OtherZones = []lighting.ZoneLevels{{Label: long, KeyStops: -1}}
	for _, d := range kinds {
		svg := d.draw(&r, &o, metric)
		wellMade(t, d.name, svg)
		if d.name != "wind" && d.name != "curve" && !strings.Contains(svg, "…<") { // which names no zone
			t.Errorf("%s leaves the zone's name out", d.name)
		}
	}
}
