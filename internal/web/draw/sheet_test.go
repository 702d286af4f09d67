package draw_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"kitspan/internal/geom"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// TestSheetsAreWellMade draws for the printed sheet: what stands two abreast there is narrower and to scale like the rest.
func TestSheetsAreWellMade(t *testing.T) {
	for _, a := range examples() {
		o := &a.res.Options[0]
		for _, d := range kinds {
			for _, u := range []*struct{ feet, narrow bool }{{false, d.name != "plan" && d.name != "wind"}, {true, d.name != "plan" && d.name != "wind"}} {
				units := metric
				if u.feet {
					units = imperial
				}
				units.Sheet = true
				svg := d.draw(&a.res, o, units)
				width := 720.0
				if u.narrow {
					width = 560
				}
				wellMadeOn(t, d.name, svg, width)
				if t.Failed() {
					t.Fatalf("%s, %s, feet %v", a.name, d.name, u.feet)
				}
			}
		}
	}
}

// TestEveryStandOfSeveralHasItsLetter looks for the marks of the staking-out table in the plan of the sheet, each nearer to its own
// stand than a leader reaches.
func TestEveryStandOfSeveralHasItsLetter(t *testing.T) {
	letters := 0
	units := metric
	units.Sheet = true
	for _, a := range examples() {
		for i := range a.res.Options {
			o := &a.res.Options[i]
			svg := kinds[0].draw(&a.res, o, units)
			s := sheetOf(t, "plan", svg, &a.res)
			for k := range o.Pieces {
				for n, at := range spotsOf(&o.Pieces[k]) {
					letters++
					if mark := text.StakeMark(k, n, o.Pieces[k].Spots()); !s.marked(t, mark, at) {
						t.Errorf("%s, %s: %s is not marked by its stand", a.name, o.Name, mark)
					}
				}
			}
		}
	}
	if letters < 50 {
		t.Errorf("only %d letters", letters)
	}
}

// spotsOf are the places of the stands and people of a piece with several.
func spotsOf(p *sizing.Piece) (list []geom.Vec) {
	if p.Spots() < 2 {
		return nil
	}
	for i := range p.Supports {
		list = append(list, p.Supports[i].Base)
	}
	for i := range p.HeldBy {
		list = append(list, p.HeldBy[i].Stands)
	}
	return list
}

// marked reports whether a label begins with a mark, once, and is tied to a place: beside it, or with a leader that ends there.
func (s *sheet) marked(t *testing.T, mark string, place geom.Vec) bool {
	t.Helper()
	at, _ := s.at(place)
	found, tied := 0, false
	for i, e := range s.list {
		if words := strings.Fields(e.text); e.name != "text" || len(words) == 0 || words[0] != mark || e.attr["data-box"] == "" {
			continue
		}
		found++
		b := e.numbers(t, "data-box")
		off := math.Hypot(max(b[0]-at.x, 0, at.x-b[0]-b[2]), max(b[1]-at.y, 0, at.y-b[1]-b[3]))
		const beside = 15.0 // no leader is drawn up to here
		tied = off <= beside+1 || slices.ContainsFunc(s.list[max(0, i-2):i], func(l element) bool {
			return l.name == "line" && near(l.points(t)[1], at)
		})
	}
	return found == 1 && tied
}
