package catalog

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestSearchFindsItemsByKindAndWords(t *testing.T) {
	stock := NewSnapshot(House{Slug: "h"}, []Item{
		{SKU: "A-FRAME-08X08", Name: "Frame 8 x 8 ft", Spec: &Frame{}},
		{SKU: "A-FRAME-12X12", Name: "Frame 12 x 12 ft", Spec: &Frame{}},
		{SKU: "A-NET-12X12", Name: "Net 12 x 12 ft, ÉTROIT", Spec: &Fabric{}},
	})
	for name, tc := range map[string]struct {
		kind Kind
		text string
		want []string
	}{
		"nothing asked finds all":          {"", "", []string{"A-FRAME-08X08", "A-FRAME-12X12", "A-NET-12X12"}},
		"spaces alone find all":            {"", " \t ", []string{"A-FRAME-08X08", "A-FRAME-12X12", "A-NET-12X12"}},
		"a kind":                           {KindFabric, "", []string{"A-NET-12X12"}},
		"a word of the name, in any case":  {"", "NET", []string{"A-NET-12X12"}},
		"a part of the SKU":                {"", "12x12", []string{"A-FRAME-12X12", "A-NET-12X12"}},
		"all words, in any order":          {"", "ft 8", []string{"A-FRAME-08X08"}},
		"one word missing":                 {"", "frame net", nil},
		"kind and words":                   {KindFrame, "12", []string{"A-FRAME-12X12"}},
		"letters beyond ASCII in any case": {"", "étroit", []string{"A-NET-12X12"}},
		"words do not span SKU and name":   {"", "12X12Frame", nil},
	} {
		t.Run(name, func(t *testing.T) {
			s, err := NewSearch(tc.kind, tc.text)
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for i := range stock.Items() {
				if item := &stock.Items()[i]; s.Finds(item) {
					got = append(got, item.SKU)
				}
			}
			if !slices.Equal(got, tc.want) {
				t.Errorf("found %v, want %v", got, tc.want)
			}
		})
	}
}

func TestSearchIsBounded(t *testing.T) {
	if _, err := NewSearch("", strings.Repeat("ü", MaxSearch)); err != nil {
		t.Errorf("%d characters: %v", MaxSearch, err)
	}
	_, err := NewSearch("", strings.Repeat("ü", MaxSearch+1))
	if long := (*SearchTooLongError)(nil); !errors.As(err, &long) || long.Characters != MaxSearch+1 {
		t.Errorf("%d characters: %v", MaxSearch+1, err)
	}
}

// Any piece of an item's name or SKU finds it.
func TestSearchFindsAnItemByAnyPieceOfItsName(t *testing.T) {
	stock, _ := DemoSnapshot("quayside")
	items := stock.Items()
	rapid.Check(t, func(t *rapid.T) {
		item := &items[rapid.IntRange(0, len(items)-1).Draw(t, "item")]
		name := []rune(rapid.SampledFrom([]string{item.Name, item.SKU}).Draw(t, "text"))
		from := rapid.IntRange(0, len(name)).Draw(t, "from")
		piece := string(name[from:rapid.IntRange(from, len(name)).Draw(t, "to")])
		s, err := NewSearch(item.Kind(), piece)
		if err != nil || !s.Finds(item) {
			t.Errorf("%q does not find %s, %s: %v", piece, item.SKU, item.Name, err)
		}
	})
}
