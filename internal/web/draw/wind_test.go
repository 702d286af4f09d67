package draw_test

import (
	"math"
	"strconv"
	"testing"

	"kitspan/internal/sizing"
)

// Every piece's gusts lie where the numbers of the scale say, the gust asked as well; what is beyond the scale at its end.
func TestGustsLieOnTheirScale(t *testing.T) {
	each(t, func(t *testing.T, a *answer, o *sizing.Option, kind, svg string) {
		if kind != "wind" {
			return
		}
		list := read(t, svg)
		unit, zero := scaleOf(t, list)
		most, found := math.NaN(), 0
		for _, e := range list {
			if v, ok := e.attr["data-most"]; ok {
				most, _ = strconv.ParseFloat(v, 64)
			}
		}
		const rounded = 0.03 // units of paper
		for _, e := range list {
			for _, of := range []struct {
				name, at string
				gustMS   func(h *sizing.Hold) float64
			}{
				{"data-goes", "cx", func(h *sizing.Hold) float64 { return h.GoesAtMS }},
				{"data-safe", "x1", func(h *sizing.Hold) float64 { return h.SafeToMS }},
			} {
				v, ok := e.attr[of.name]
				if !ok {
					continue
				}
				i, err := strconv.Atoi(v)
				if err != nil {
					t.Fatal(err)
				}
				found++
				gustMS := of.gustMS(&o.Pieces[i].Hold)
				want := zero + unit*math.Min(gustMS, most)
				if x := e.num(t, of.at); !(math.Abs(x-want) < rounded) {
					t.Errorf("piece %d, %s: %.2f m/s, drawn at %.2f and not %.2f", i, of.name, gustMS, x, want)
				}
			}
			if _, ok := e.attr["data-asked"]; ok {
				if x, want := e.num(t, "x1"), zero+unit*a.res.Shot.GustMS; !(math.Abs(x-want) < rounded) {
					t.Errorf("asked %.2f m/s, drawn at %.2f and not %.2f", a.res.Shot.GustMS, x, want)
				}
			}
		}
		if found != 2*len(o.Pieces) {
			t.Errorf("%d gusts of %d pieces", found, len(o.Pieces))
		}
	})
}
