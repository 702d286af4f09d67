package sharedkit

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// spansOf is a problem whose shots each have one option, up for one span, with so many units of one item.
func spansOf(way [][]int, shots ...[4]int) *Problem { // from, to, place, units
	p := &Problem{Days: 1, Items: []Item{{Charges: Flat(1, 1), Free: []int{4}}}, Way: way}
	for _, s := range shots {
		p.Shots = append(p.Shots, Shot{Place: s[2], Options: []Option{{From: s[0], To: s[1], Items: []Use{{Of: 0, N: s[3]}}}}})
	}
	return p
}

// Published exercises on intervals (meeting rooms and car pooling: xingvoong, varshinireddyt; platforms from memory), half open as a kit
// that is struck when another goes up.
func TestWhatIsUpAtOnce(t *testing.T) {
	minutes := func(from, to int) [4]int { return [4]int{from/100*60 + from%100, to/100*60 + to%100, 0, 1} }
	for _, tc := range []struct {
		name  string
		way   [][]int
		shots [][4]int
		want  int
		keeps bool
	}{
		{"one meets two others", nil, [][4]int{{0, 30, 0, 1}, {5, 10, 0, 1}, {15, 20, 0, 1}}, 2, true},
		{"apart", nil, [][4]int{{7, 10, 0, 1}, {2, 4, 0, 1}}, 1, true},
		{"one ends as the next begins", nil, [][4]int{{1, 2, 0, 1}, {2, 3, 0, 1}}, 1, true},
		{"five of four", nil, [][4]int{{1, 5, 0, 2}, {3, 7, 0, 3}}, 5, false},
		{"platforms", nil, [][4]int{minutes(900, 910), minutes(940, 1200), minutes(950, 1120), minutes(1100, 1130), minutes(1500, 1900), minutes(1800, 2000)}, 3, true},
		{"a way between places", [][]int{{0, 5}, {5, 0}}, [][4]int{{0, 10, 0, 1}, {14, 20, 1, 1}}, 2, true},
		{"the way just made", [][]int{{0, 5}, {5, 0}}, [][4]int{{0, 10, 0, 1}, {15, 20, 1, 1}}, 1, true},
		{"no way within a place", [][]int{{0, 5}, {5, 0}}, [][4]int{{0, 10, 1, 1}, {14, 20, 1, 1}}, 1, true},
		{"a kit that moves on at once to a near place", [][]int{{0, 0, 20}, {0, 0, 20}, {20, 20, 0}}, [][4]int{{0, 10, 0, 1}, {10, 25, 1, 1}, {20, 40, 2, 1}}, 2, true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := spansOf(tc.way, tc.shots...)
			pl := p.Evaluate(make([]int, len(tc.shots)))
			if pl.Need[0][0] != tc.want || pl.Keeps() != tc.keeps {
				t.Errorf("%d at once, keeps the stock of 4: %t; want %d, %t", pl.Need[0][0], pl.Keeps(), tc.want, tc.keeps)
			}
		})
	}
}

func TestMomentsAreSpansWithTheSameShotsUp(t *testing.T) {
	p := spansOf(nil, [4]int{0, 30, 0, 1}, [4]int{10, 20, 0, 1}, [4]int{30, 40, 0, 1}, [4]int{50, 60, 0, 1})
	want := []Moment{{0, 10, []int{0}}, {10, 20, []int{0, 1}}, {20, 30, []int{0}}, {30, 40, []int{2}}, {50, 60, []int{3}}}
	if diff := cmp.Diff(want, p.Moments(make([]int, 4))); diff != "" {
		t.Error(diff)
	}
}

// Three shots worked out by hand, all eight choices: A 8 to 10, B 9 to 11, C 13 to 14 o'clock.
func TestThreeShotsShare(t *testing.T) {
	problem := func(b int) *Problem {
		up := func(from, to int, items ...Use) Option { return Option{From: from * 60, To: to * 60, Items: items} }
		p := &Problem{Days: 1}
		for _, rate := range []int64{10, 6, 4} {
			p.Items = append(p.Items, Item{Charges: Flat(1, rate), Free: []int{9}})
		}
		p.Shots = []Shot{
			{Options: []Option{up(8, 10, Use{0, 1}), up(8, 10, Use{1, 2})}},
			{Options: []Option{up(b, b+2, Use{0, 1}), up(b, b+2, Use{2, 2})}},
			{Options: []Option{up(13, 14, Use{0, 1}), up(13, 14, Use{1, 1}, Use{2, 1})}},
		}
		return p
	}
	for _, tc := range []struct {
		b    int
		want int64
	}{{9, 18}, {10, 10}} {
		got, err := Choose(t.Context(), problem(tc.b))
		if err != nil || got.Plan.TotalMinor != tc.want || !got.Proven || got.BoundMinor != tc.want {
			t.Errorf("B from %d: %+v, %v, want %d proven", tc.b, got, err, tc.want)
		}
	}
}

// A search that is ended early gives a choice and a bound that both hold.
func TestAnEndedSearchStillBounds(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	p := randomCover(20, 30, 5)
	got, err := Choose(ctx, p)
	if err != nil || got.Proven {
		t.Fatalf("%+v, %v: want what there is, not proven", got, err)
	}
	best, err := Choose(t.Context(), p)
	if err != nil || !best.Proven {
		t.Fatalf("%+v, %v", best, err)
	}
	if least := best.Plan.TotalMinor; got.BoundMinor > least || got.Plan.TotalMinor < least {
		t.Errorf("bound %d and choice %d do not hold the least, %d", got.BoundMinor, got.Plan.TotalMinor, least)
	}
}

func TestContradictionsAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(p *Problem){
		"no days":              func(p *Problem) { p.Days = 0 },
		"a day beyond the end": func(p *Problem) { p.Shots[0].Day = 1 },
		"an unknown item":      func(p *Problem) { p.Shots[0].Options[0].Items[0].Of = 7 },
		"an item twice":        func(p *Problem) { p.Shots[0].Options[0].Items = []Use{{0, 1}, {0, 1}} },
		"up for no time":       func(p *Problem) { p.Shots[0].Options[0].To = p.Shots[0].Options[0].From },
		"stock of other days":  func(p *Problem) { p.Items[0].Free = nil },
		"charges cut short":    func(p *Problem) { p.Items[0].Charges = Charges{{}} },
	} {
		p := spansOf(nil, [4]int{0, 30, 0, 1})
		spoil(p)
		if _, err := Choose(t.Context(), p); err == nil {
			t.Errorf("%s: not refused", name)
		}
	}
}
