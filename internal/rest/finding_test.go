package rest

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/finding"
)

func TestNotesHaveACodeATextAndTheirQuantities(t *testing.T) {
	limit, _ := currency.NewAmount("400.00", "EUR")
	got, _ := currency.NewAmount("450.60", "EUR")
	over, _ := currency.NewAmount("50.60", "EUR")
	at := time.Date(2027, 6, 18, 20, 48, 0, 0, time.FixedZone("", 3600))
	board := finding.Item{SKU: "B-1", Name: "Board"}
	for want, n := range map[string]finding.Note{
		`{"code":"re_aim","text":"Re-aim every 9 min or sooner, as the sun carries the beam off: one person for up to 4 boards near each other.","every_min":9}`: finding.ReAim{EveryMin: 9},
		`{"code":"aim_holds","text":"Aimed for mid-window, the beam stays on the zone all through."}`:                                                            finding.AimHolds{},
		`{"code":"sun_in_view","text":"The sun is in the picture: turn the lens 7° to the left, or wait until 20:48, when it leaves the picture.",` +
			`"part_of_window":false,"turn_deg":7,"side":"left","until":"2027-06-18T20:48:00+01:00"}`: finding.SunInView{TurnDeg: 7, Side: finding.Left, Until: &at},
		`{"code":"sun_in_view","text":"The sun is in the picture.","part_of_window":false}`: finding.SunInView{},
		`{"code":"over_price","text":"The hire is over the limit of 400.00 EUR a day by 50.60 EUR.","limit":{"amount":"400.00","currency":"EUR"},` +
			`"got":{"amount":"450.60","currency":"EUR"},"over":{"amount":"50.60","currency":"EUR"}}`: finding.OverPrice{Limit: limit, Got: got, Over: over},
		`{"code":"key_placed","text":"2 × Board, silver side, 6.0 m from the subject on the right.",` +
			`"by":{"sku":"B-1","name":"Board","quantity":2,"face":"silver"},"distance_m":6.0123,"side":"right"}`: finding.KeyPlaced{
			By: finding.Array{Goods: finding.Goods{Item: board, Quantity: 2}, Face: "silver"}, DistanceM: 6.012345, Side: finding.Right,
		},
		`{"code":"too_few","text":"The plan takes 5 × Board, the house has 2: bring the others.","sku":"B-1","name":"Board","quantity":5,"owned":2}`: finding.TooFew{
			Goods: finding.Goods{Item: board, Quantity: 5}, Owned: 2,
		},
	} {
		var p printer
		if printed := string(p.notes([]finding.Note{n})[0]); printed != want || p.broken > 0 {
			t.Errorf("%T (%d broken)\n got %s\nwant %s", n, p.broken, printed, want)
		}
	}
	var p printer
	// A view that reaches past the vertical has no width and no top.
	endless := finding.NetNoRoom{ViewBehind: finding.ViewBehind{BehindM: 2, WidthM: math.Inf(1), TopM: math.Inf(1)}}
	if got := string(p.notes([]finding.Note{endless})[0]); !strings.HasSuffix(got, `","behind_m":2}`) || p.broken > 0 {
		t.Errorf("an endless view (%d broken): %s", p.broken, got)
	}
	if p.notes([]finding.Note{finding.LampsDraw{PowerW: math.NaN()}}); p.broken != 1 {
		t.Errorf("%d numbers that JSON cannot say, want 1", p.broken)
	}
}

// The nearest frame of a note is the same object as in the list of those ruled out.
func TestTheNearestFrameOfANoteIsAsInTheList(t *testing.T) {
	near := finding.RuledOut{
		SKU: "F-1", Name: "Frame", Role: finding.RoleOverhead, Because: finding.TooHigh, ShortByM: 0.25, Obstacle: finding.OverHeightLimit{LimitM: 3},
	}
	var p printer
	var note struct {
		Code    string
		NoFrame bool `json:"no_frame"`
		Nearest json.RawMessage
	}
	if err := json.Unmarshal(p.notes([]finding.Note{finding.SofteningLeftOut{NoFrame: true, Nearest: &near}})[0], &note); err != nil {
		t.Fatal(err)
	}
	listed, err := json.Marshal(p.ruledOut(&near))
	if err != nil {
		t.Fatal(err)
	}
	if note.Code != "softening_left_out" || !note.NoFrame || string(note.Nearest) != string(listed) ||
		!strings.Contains(string(listed), `"obstacle":{"code":"over_height_limit","limit_m":3}`) {
		t.Errorf("note %+v\nlist %s", note, listed)
	}
}
