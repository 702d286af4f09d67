package lighting

import "testing"

// What was tried in vain is passed over where it would be in vain again, and nowhere else.
func TestVainIsNotTriedAgain(t *testing.T) {
	t.Parallel()
	board := &emitter{}
	small, weak, blocked := array{of: board, n: 1}, array{of: board, n: 2}, array{of: board, n: 3}
	at20 := &lightSearch{query: query{to: &aim{}, soft: true, softDeg: 20, want: 1000, least: 800, most: 1200}, have: 500}
	pl := &Planner{tried: &[]*vain{}}
	v := pl.vainFor(at20)
	for _, tried := range []struct {
		t            array
		small, stood bool
	}{{small, true, false}, {weak, false, false}, {blocked, false, true}} {
		placed := tried.t
		placed.phi, placed.r, placed.z = 30, 2, 1.5 // what is remembered does not hang on where it was tried last
		at20.small, at20.stood = tried.small, tried.stood
		v.add(&placed, at20)
	}

	here := map[string]struct {
		t       array
		softDeg float64
		want    bool
	}{
		"too small for as soft a look":    {small, 20, true},
		"too small for a softer one":      {small, 25, true},
		"large enough for a harder one":   {small, 10, false},
		"too weak, however hard the look": {weak, 10, true},
		"in the way of something":         {blocked, 10, true},
		"never tried":                     {array{of: board, n: 4}, 20, false},
		"turned":                          {array{of: board, n: 2, turned: true}, 20, false},
	}
	for name, c := range here {
		if got := v.has(&c.t, c.softDeg); got != c.want {
			t.Errorf("%s: passed over %v", name, got)
		}
	}

	// Another setup with nearly the same levels: what something stood in the way of may find room there.
	beside := *at20
	beside.have = 510
	o := pl.vainFor(&beside)
	if !o.has(&weak, 20) || o.has(&blocked, 20) || o.has(&small, 10) || !o.has(&small, 20) {
		t.Errorf("beside another rig: weak %v, blocked %v, small at 10 %v and at 20 %v", o.has(&weak, 20), o.has(&blocked, 20), o.has(&small, 10), o.has(&small, 20))
	}
	// Other levels, or a key that is to be warm: nothing is known.
	brighter, warm := *at20, *at20
	brighter.want, warm.warm = 2000, true
	for name, q := range map[string]*lightSearch{"twice the level": &brighter, "warm": &warm} {
		if pl.vainFor(q).has(&weak, 20) {
			t.Errorf("%s: what was too weak is passed over", name)
		}
	}

	// What did but for the corners, and was then too small for the look, may do for a harder one.
	second := newVain()
	at20.small, at20.stood = true, false
	second.add(&weak, at20)
	v.merge(second)
	if v.has(&weak, 10) || !v.has(&weak, 20) {
		t.Errorf("after a second attempt: at 10° %v, at 20° %v", v.has(&weak, 10), v.has(&weak, 20))
	}
	var none *vain
	none.add(&weak, at20)
	if none.merge(second); none.has(&weak, 20) {
		t.Error("nil passes something over")
	}
}
