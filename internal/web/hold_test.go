package web

import (
	"net/http"
	"net/http/httptest"
	"slices"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

var tackle = map[string]string{"BAG": "Bag", "ROPE": "Rope"}

func onStand(bags int, at geom.Vec) sizing.Support {
	return sizing.Support{SKU: "STAND", Base: at, Legs: 3, AtMast: bags, Ballast: catalog.Count{SKU: "BAG", Quantity: bags}, MastNM: 11.2}
}

// A rope that hangs slack is an order only where the piece would not hold the gust asked without it.
func TestThePageSaysWhatASlackRopeAsks(t *testing.T) {
	roped := sizing.Piece{Lines: []sizing.GuyLine{{SKU: "ROPE", Point: "railing"}}, Supports: []sizing.Support{onStand(2, geom.Vec{})}}
	roped.Hold.RopeGoneMS = 5.7
	o := sizing.Option{Pieces: []sizing.Piece{roped}}
	r := readerOf(httptest.NewRequest(http.MethodGet, "/", nil), "m")
	slack := func(gustMS float64) bool {
		return slices.Contains(tiedOf(&o, tackle, &shot.Shot{GustMS: gustMS}, r), "1: a rope that hangs slack: lower it at once")
	}
	if !slack(8) || slack(5.7) {
		t.Errorf("asked 8 m/s: %v, asked 5.7: %v", slack(8), slack(5.7))
	}
}

// Whoever lays it out reads from the page where each rope goes, and which stand takes which bags where they differ. The lens looks north.
func TestThePageSaysWhereBagsAndRopesGo(t *testing.T) {
	bags := catalog.Count{SKU: "BAG", Quantity: 3}
	frame := sizing.Piece{
		Supports: []sizing.Support{onStand(2, geom.Vec{X: -2}), onStand(4, geom.Vec{X: 2, Y: 1})},
		Lines: []sizing.GuyLine{
			{SKU: "ROPE", To: geom.Vec{X: -4, Y: 2.5}, Anchor: bags, PullN: 100}, {SKU: "ROPE", Support: 1, To: geom.Vec{X: 5, Y: -1}, Anchor: bags, PullN: 240.2},
		},
	}
	frame.Hold.RopeGoneMS = 9
	board := sizing.Piece{Role: finding.RoleReflector, Supports: []sizing.Support{onStand(2, geom.Vec{X: -4})}}
	o := sizing.Option{Pieces: []sizing.Piece{frame, board, board}}
	s := &shot.Shot{GustMS: 8}
	other := board
	other.Role = finding.RoleFill
	if got := tiedOf(&sizing.Option{Pieces: []sizing.Piece{board, board, other, other}}, tackle, s, readerOf(httptest.NewRequest(http.MethodGet, "/", nil), "m")); len(got) != 1 ||
		got[0] != "1 to 2, 3 to 4: on each stand 2 × Bag (2 on the base, against the mast)" {
		t.Errorf("pieces of other roles on the same bags: %q", got)
	}
	for units, want := range map[string][]string{
		"m": {
			"1: 2 × Bag (2 on the base, against the mast) on the stand 2.0 m to the left, level with the subject; " +
				"4 × Bag (4 on the base, against the mast) on the stand 2.0 m to the right, 1.0 m behind the subject",
			"1: 2 times Rope from the head of a stand to 3 × Bag, pull up to 241 N: " +
				"4.0 m to the left, 2.5 m behind the subject; 5.0 m to the right, 1.0 m in front of the subject",
			"2 to 3: on each stand 2 × Bag (2 on the base, against the mast)",
		},
		"ft": {"", "1: 2 times Rope from the head of a stand to 3 × Bag, pull up to 241 N: " +
			"13 ft 1 in to the left, 8 ft 2 in behind the subject; 16 ft 5 in to the right, 3 ft 3 in in front of the subject", ""},
	} {
		got := tiedOf(&o, tackle, s, readerOf(httptest.NewRequest(http.MethodGet, "/", nil), units))
		if len(got) != 3 {
			t.Fatalf("%q", got)
		}
		for i := range want {
			if want[i] != "" && got[i] != want[i] {
				t.Errorf("%s: %q, want %q", units, got[i], want[i])
			}
		}
	}
}

// Pieces alike share a row that has the worst of each: what loads them is rounded up, what they hold down.
func TestTheSheetsHoldIsTheWorstOfPiecesAlike(t *testing.T) {
	a := sizing.Piece{Role: finding.RoleReflector, Supports: []sizing.Support{onStand(2, geom.Vec{})}}
	a.Hold.ForceN, a.Hold.WatchAtMS, a.Hold.LowerAtMS, a.Hold.SafeToMS, a.Hold.GoesAtMS = 87.1, 6.29, 8.39, 8.6, 10.5
	b := a
	b.Supports = []sizing.Support{onStand(2, geom.Vec{})}
	b.Hold.ForceN, b.Hold.LowerAtMS, b.Hold.GoesAtMS, b.Supports[0].MastNM = 86, 8.5, 10.44, 11.9
	r := readerOf(httptest.NewRequest(http.MethodGet, "/", nil), "m")
	o := sizing.Option{Pieces: []sizing.Piece{a, b}}
	if got, want := holdRows(&o, 8, r), (holdRow{"1 to 2", "88", "6.2", "8.3", "8.6", "10.4", "–", "12"}); len(got) != 1 || got[0] != want {
		t.Errorf("%+v, want %+v", got, want)
	}
	// 12 N·m are worth telling of a gust, not of calm air, and no wind is no force.
	if got, want := holdRows(&o, 0, r)[0], (holdRow{"1 to 2", "–", "6.2", "8.3", "8.6", "10.4", "–", "–"}); got != want {
		t.Errorf("in calm air %+v, want %+v", got, want)
	}
	o.Pieces[1].Lines, o.Pieces[1].Hold.RopeGoneMS = []sizing.GuyLine{{SKU: "ROPE"}}, 7.59
	if got := holdRows(&o, 8, r); len(got) != 2 || got[0].RopeGone != "–" || got[1].RopeGone != "7.5" || got[1].Pieces != "2" {
		t.Errorf("one with a rope: %+v", got)
	}
}
