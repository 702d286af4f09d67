package text_test

import (
	"strings"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/text"
)

func TestOrderOfWork(t *testing.T) {
	block := finding.Goods{Item: finding.Item{Name: "Block"}, Quantity: 4}
	bag := finding.Goods{Item: finding.Item{Name: "Bag"}, Quantity: 2}
	atRopes := finding.Goods{Item: finding.Item{Name: "Bag"}, Quantity: 6}
	got := text.Order(text.Metres, []finding.Work{
		{Role: finding.RoleOverhead, Pieces: 1, Ballast: block, Trolley: true, Hands: 2},
		{Role: finding.RoleSide, Pieces: 1, Hands: 3, Stakes: 3, Points: 1, Lines: 4, Stay: 2},
		{Role: finding.RoleReflector, Pieces: 3, Ballast: bag, Hands: 1, Stay: 1, Aims: 3},
		{Role: finding.RoleFill, Pieces: 1, Ballast: block, Carriers: 2, Hands: 1},
		{Role: finding.RoleReflector, Pieces: 2, Hands: 1, Stay: 1, Aims: 2},
		{Role: finding.RoleReflector, Pieces: 1, Hands: 2, Stay: 1, Aims: 1},
		{Role: finding.RoleReflector, Pieces: 1, Hands: 2, Lines: 3, Weights: atRopes, Stay: 2, Aims: 1},
		{Role: finding.RoleLamp, Pieces: 1, Ballast: bag, Hands: 1, Stakes: 1, Lines: 1},
		{Role: finding.RoleLamp, Lights: finding.LitBack, Pieces: 1, Hands: 1},
		{Role: finding.RoleLamp, Lights: finding.LitKey, Pieces: 2, Hands: 1},
		{Role: finding.RoleOverhead, Pieces: 1, Hands: 2, Stay: 2, Held: true},
	})
	want := []string{
		"Look at the ground and overhead, mark bases and anchors, keep everybody else off.",
		"The overhead: 4 × Block, by trolley or machine and not by hand, onto the bases first, 2 people raise it.",
		"A side frame: 3 stakes driven, 1 fixed point checked, 3 people raise it and hold its stands while one of them makes 4 ropes fast and flags them, 2 people stay with it while it is up.",
		"3 reflectors, each: 2 × Bag onto the bases first, 1 person raises it, 1 person stays and re-aims all 3 with the sun.",
		"The fill: 4 × Block, 2 to carry each, onto the bases first, 1 person raises it.",
		"2 reflectors, each: 1 person raises it, 1 person stays and re-aims both with the sun.",
		"A reflector: 2 people raise it, 1 person stays and re-aims it with the sun.",
		"A reflector: 6 × Bag to the feet of its ropes, 2 people raise it and hold its stands while one of them makes 3 ropes fast and flags them, 2 people stay and re-aim it with the sun.",
		"A lamp: 2 × Bag onto the bases first, 1 stake driven, 1 person raises it and makes 1 rope fast and flags it.",
		"The back lamp: 1 person raises it.",
		"2 key lamps, each: 1 person raises it.",
		"The overhead: 2 people raise it, 2 people hold it for each take, and put it down between.",
		"Strike in the reverse order: each piece comes down before its ropes and ballast come off.",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	for _, c := range []struct {
		work []finding.Work
		want string
	}{
		{[]finding.Work{{Role: finding.RoleLamp, Pieces: 1, Hands: 1}}, "Strike in the reverse order."},
		{[]finding.Work{{Role: finding.RoleReflector, Pieces: 1, Ballast: bag, Hands: 1}}, "Strike in the reverse order: the piece comes down before its ballast comes off."},
		{[]finding.Work{{Role: finding.RoleReflector, Pieces: 2, Ballast: bag, Hands: 1}}, "Strike in the reverse order: each piece comes down before its ballast comes off."},
		{[]finding.Work{{Role: finding.RoleOverhead, Pieces: 1, Hands: 2, Lines: 4}}, "Strike in the reverse order: the piece comes down before its ropes come off."},
	} {
		if steps := text.Order(text.Metres, c.work); steps[len(steps)-1] != c.want {
			t.Errorf("%+v: %q, want %q", c.work, steps[len(steps)-1], c.want)
		}
	}
	lift := text.Order(text.Metres, []finding.Work{
		{Role: finding.RoleOverhead, Pieces: 1, Hands: 8, Teams: 2},
		{Role: finding.RoleOverhead, Pieces: 1, Hands: 9, Teams: 2, Lines: 4},
	})
	for i, want := range []string{
		"The overhead: 8 people raise it in 2 teams, side by side and on one person's word.",
		"The overhead: 9 people raise it in 2 teams, side by side and on one person's word, and hold its stands while one of them makes 4 ropes fast and flags them.",
	} {
		if lift[i+1] != want {
			t.Errorf("%q, want %q", lift[i+1], want)
		}
	}
	// The note says the same of the same lift.
	note := text.Note(text.Metres, finding.HeavyLift{Role: finding.RoleOverhead, LiftedKg: 50, People: 8, Most: 4, Teams: 2})
	if !strings.Contains(note, "50 kg, takes 8 people, and no more than 4 lift well as one team: lift it in 2 teams, side by side and on one person's word") {
		t.Error(note)
	}
	if list := text.Order(text.Metres, nil); len(list) != 0 {
		t.Errorf("nothing to put up: %v", list)
	}
}
