package text_test

import (
	"strings"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/rigging"
	"kitspan/internal/text"
)

// Whoever reads that a piece does not hold learns what goes first and what would hold it, and no rope goes by another name.
func TestWhatDoesNotHoldSaysWhatWould(t *testing.T) {
	bag := finding.Item{Name: "Bag"}
	for what, want := range map[finding.RemedyKind]string{
		finding.SmallerFrame: "smaller frame", finding.StrongerRopes: "stronger ropes", finding.StrongerSupports: "larger load",
		finding.MoreBallast: "7 × Bag on each support (6 are", finding.RoomForRopes: "ropes, for which there is no room", finding.LongerRopes: "longer or more ropes",
		finding.FixedPoint: "such as a railing or a bollard, named as a fixed point in site.anchors", finding.Stakes: "set ground_anchor to stakes",
		finding.WiderFeet: "wider feet", finding.SmallerSheet: "a sheet of about 3.0 m²", finding.CalmerHour: "gusts under 6.2 m/s",
	} {
		n := finding.NotHeld{
			Role: finding.RoleOverhead, LowerAtMS: 6.29, AskedMS: 8, Governs: rigging.GovernsLine,
			Remedies: []finding.Remedy{{What: what, Ballast: &bag, Each: 7, Most: 6, AreaM2: 3, UnderMS: 6.29}},
		}
		got := text.Note(text.Metres, n)
		if !strings.HasPrefix(got, "The overhead holds a gust of 6.2 m/s at most, 8.0 m/s is asked; what goes first: a rope is past its working load. It would take ") || !strings.Contains(got, want) {
			t.Errorf("%s: %s", what, got)
		}
		if strings.Contains(got, "guy") || strings.Contains(got, " line") {
			t.Errorf("%s: a rope by another name: %s", what, got)
		}
	}
}
