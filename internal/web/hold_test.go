package web

import (
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/sizing"
)

// A rope that hangs slack is an order only where the piece would not hold the gust asked without it.
func TestTheSheetSaysWhatASlackRopeAsks(t *testing.T) {
	roped := sizing.Piece{
		Lines:    []sizing.GuyLine{{SKU: "ROPE", Point: "railing"}},
		Supports: []sizing.Support{{SKU: "STAND", Legs: 3, AtMast: 2, Ballast: catalog.Count{SKU: "BAG", Quantity: 2}, MastNM: 12}},
	}
	roped.Hold.RopeGoneMS = 5.7
	o := sizing.Option{Pieces: []sizing.Piece{roped}}
	r := readerOf(httptest.NewRequest(http.MethodGet, "/", nil), "m")
	slack := func(gustMS float64) bool {
		return slices.Contains(tiedOf(&o, map[string]string{"BAG": "Bag", "ROPE": "Rope"}, gustMS, r), "1: a rope that hangs slack: lower it at once")
	}
	if !slack(8) || slack(5.7) {
		t.Errorf("asked 8 m/s: %v, asked 5.7: %v", slack(8), slack(5.7))
	}
	if list := tiedOf(&o, map[string]string{"BAG": "Bag"}, 8, r); !strings.Contains(list[0], "2 × Bag (2 on the base, against the mast)") {
		t.Error(list)
	}
	// 12 N·m are worth telling of a gust, not of calm air.
	if windy, calm := bendsOf(&o, 8, r)[0], bendsOf(&o, 0, r)[0]; windy != "12 N·m" || calm != "–" {
		t.Errorf("bends by %s at 8 m/s, by %s in calm air", windy, calm)
	}
}
