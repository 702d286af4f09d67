package draw_test

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

// metric is a reader of metres.
var metric = draw.Units{
	Length: func(m float64) string { return fmt.Sprintf("%.2f m", m) },
	Number: func(v float64, decimals int) string {
		if v = math.Round(v*math.Pow10(decimals)) / math.Pow10(decimals); v == 0 {
			v = 0
		}
		return strings.ReplaceAll(fmt.Sprintf("%.*f", decimals, v), "-", "−")
	},
	Area: func(m2 float64, decimals int) string { return fmt.Sprintf("%.*f m²", decimals, m2) },
}

// imperial is one of feet, whose words run longer.
var imperial = draw.Units{
	Length: func(m float64) string {
		inches := int(math.Round(m / 0.0254))
		return fmt.Sprintf("%d ft %d in", inches/12, inches%12)
	},
	Number: metric.Number,
	Area:   func(m2 float64, _ int) string { return fmt.Sprintf("%.0f ft²", m2/0.3048/0.3048) },
	Text:   text.Feet,
}

// kinds are the drawings of an option.
var kinds = []struct {
	name string
	draw func(*sizing.Result, *sizing.Option, draw.Units) string
}{
	{"plan", draw.Plan}, {"along", draw.Along}, {"across", draw.Across}, {"lens", draw.Lens}, {"levels", draw.Levels}, {"wind", draw.Wind},
	{"curve", draw.WindCurve},
}

// answer is a shot's result by name.
type answer struct {
	name  string
	res   sizing.Result
	stock *catalog.Snapshot
}

func sized(tb testing.TB, name, house string, s oracle.Shoot) (a answer, ok bool) {
	tb.Helper()
	stock, found := catalog.DemoSnapshot(house)
	if !found {
		tb.Fatalf("no demo house %q", house)
	}
	res, err := oracle.Size(context.Background(), s, stock)
	if err != nil {
		return a, false
	}
	return answer{name, res, stock}, true
}

// examples are the answers to the documented requests.
var examples = sync.OnceValue(func() []answer {
	var t tb
	files, _ := filepath.Glob("../../../docs/examples/*.json")
	var list []answer
	for _, f := range files {
		house, s, err := oracle.Example(f)
		if err != nil {
			panic(err)
		}
		a, ok := sized(&t, strings.TrimSuffix(filepath.Base(f), ".json"), house, s)
		if !ok {
			panic("no answer to " + f)
		}
		list = append(list, a)
	}
	return list
})

// tb lets the examples be sized outside of any one test.
type tb struct{ testing.TB }

func (*tb) Helper() {}

func (*tb) Fatalf(format string, args ...any) { panic(fmt.Sprintf(format, args...)) }

// randomScenes is how many random shots are drawn, each kind and more.
const randomScenes = 30

var answers = sync.OnceValue(func() []answer {
	list := examples()
	for _, s := range oracle.Scenes(1, randomScenes) {
		if a, ok := sized(&tb{}, s.String(), "quayside", s); ok {
			list = append(list, a)
		}
	}
	return list
})

// each runs a check on every drawing of every option.
func each(t *testing.T, check func(t *testing.T, a *answer, o *sizing.Option, kind, svg string)) {
	t.Helper()
	list := answers()
	if len(list) < randomScenes {
		t.Fatalf("only %d answers", len(list))
	}
	for i := range list {
		a := &list[i]
		for k := range a.res.Options {
			o := &a.res.Options[k]
			for _, d := range kinds {
				t.Run(fmt.Sprintf("%s/%s/%s", a.name, o.Label, d.name), func(t *testing.T) {
					check(t, a, o, d.name, d.draw(&a.res, o, metric))
				})
			}
		}
	}
}

// element is one of a drawing.
type element struct {
	name string
	attr map[string]string
	text string
}

func (e *element) num(t *testing.T, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(e.attr[name], 64)
	if err != nil {
		t.Fatalf("%s %s=%q: %v", e.name, name, e.attr[name], err)
	}
	return v
}

type point struct{ x, y float64 }

// points are the corners of whatever the element is.
func (e *element) points(t *testing.T) (list []point) {
	t.Helper()
	switch e.name {
	case "line":
		return []point{{e.num(t, "x1"), e.num(t, "y1")}, {e.num(t, "x2"), e.num(t, "y2")}}
	case "circle":
		return []point{{e.num(t, "cx"), e.num(t, "cy")}}
	case "polygon", "polyline":
		for _, p := range strings.Fields(e.attr["points"]) {
			x, y, _ := strings.Cut(p, ",")
			px, err1 := strconv.ParseFloat(x, 64)
			py, err2 := strconv.ParseFloat(y, 64)
			if err1 != nil || err2 != nil {
				t.Fatalf("point %q", p)
			}
			list = append(list, point{px, py})
		}
	}
	return list
}

// read parses a drawing; the first element is the svg.
func read(t *testing.T, svg string) []element {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(svg))
	var list []element
	var open []int
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not well formed: %v", err)
		}
		switch v := token.(type) {
		case xml.StartElement:
			e := element{name: v.Name.Local, attr: map[string]string{}}
			for _, a := range v.Attr {
				if _, twice := e.attr[a.Name.Local]; twice {
					t.Errorf("%s has %s twice", e.name, a.Name.Local)
				}
				e.attr[a.Name.Local] = a.Value
			}
			open = append(open, len(list))
			list = append(list, e)
		case xml.CharData:
			if len(open) > 0 {
				list[open[len(open)-1]].text += string(v)
			}
		case xml.EndElement:
			open = open[:len(open)-1]
		}
	}
	if len(list) == 0 || list[0].name != "svg" {
		t.Fatal("not an svg")
	}
	return list
}

// numbers splits an attribute of numbers.
func (e *element) numbers(t *testing.T, name string) (list []float64) {
	t.Helper()
	for _, f := range strings.Fields(e.attr[name]) {
		v, err := strconv.ParseFloat(f, 64)
		if err != nil {
			t.Fatalf("%s=%q", name, e.attr[name])
		}
		list = append(list, v)
	}
	return list
}

// part finds the elements that stand for a part of a piece.
func part(list []element, piece int, name string) (found []element) {
	for _, e := range list {
		if e.attr["data-piece"] == strconv.Itoa(piece) && e.attr["data-part"] == name {
			found = append(found, e)
		}
	}
	return found
}

// sweepOf is the day of an example.
func sweepOf(tb testing.TB, path string, stepMin int) sizing.SweepResult {
	tb.Helper()
	house, s, err := oracle.Example(path)
	if err != nil {
		tb.Fatal(err)
	}
	stock, _ := catalog.DemoSnapshot(house)
	asked, faults := s.Draft.Resolve()
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	steps, faults := shot.DraftSteps{StepMin: &stepMin}.Resolve(asked)
	if len(faults) > 0 {
		tb.Fatal(faults)
	}
	res, err := sizing.Sweep(context.Background(), asked, steps, stock, price.NewDesk(stock, asked.Window.Date), 2)
	if err != nil {
		tb.Fatal(err)
	}
	return res
}
