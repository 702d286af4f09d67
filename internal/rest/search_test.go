package rest

import (
	"net/url"
	"slices"
	"strings"
	"testing"

	"kitspan/internal/catalog"
)

func TestItemsAreFoundByWords(t *testing.T) {
	f := newFace(t, newMemory())
	const path = "/v1/houses/quayside/items?limit=500"
	for name, tc := range map[string]struct {
		query url.Values
		finds string // one item that must be there
		all   func(Item) bool
	}{
		"a word of the name":   {url.Values{"q": {"silver"}}, "QG-BOARD-SILVER-110", func(i Item) bool { return strings.Contains(strings.ToLower(i.Sku+" "+i.Name), "silver") }},
		"a part of the SKU":    {url.Values{"q": {"08x12"}}, "QG-FRAME-08X12", func(i Item) bool { return strings.Contains(strings.ToLower(i.Sku+" "+i.Name), "08x12") }},
		"words and a kind":     {url.Values{"q": {"12 FT"}, "kind": {"frame"}}, "QG-FRAME-12X12", func(i Item) bool { return i.Kind == "frame" }},
		"no words find all":    {url.Values{"q": {""}}, "QG-VAN-06", func(Item) bool { return true }},
		"percent is no spread": {url.Values{"q": {"%"}}, "", func(Item) bool { return false }},
		"control characters":   {url.Values{"q": {"\x00\n"}}, "", func(Item) bool { return false }},
	} {
		t.Run(name, func(t *testing.T) {
			f := *f
			f.t = t
			var page ItemPage
			f.do("GET", path+"&"+tc.query.Encode(), "").want(200).into(&page)
			if tc.finds != "" && !slices.ContainsFunc(page.Items, func(i Item) bool { return i.Sku == tc.finds }) {
				t.Errorf("%s is not among the %d found", tc.finds, len(page.Items))
			}
			for _, item := range page.Items {
				if !tc.all(item) {
					t.Errorf("finds %s, %s", item.Sku, item.Name)
				}
			}
		})
	}
}

func TestPagesOfASearchHoldEveryItemOnce(t *testing.T) {
	f := newFace(t, newMemory())
	var whole ItemPage
	f.do("GET", "/v1/houses/quayside/items?q=frame&limit=500", "").want(200).into(&whole)
	var got []Item
	for path := "/v1/houses/quayside/items?q=frame&limit=2"; path != ""; {
		var page ItemPage
		answer := f.do("GET", path, "").want(200)
		answer.into(&page)
		got = append(got, page.Items...)
		path = strings.TrimSuffix(strings.TrimPrefix(answer.header.Get("Link"), "<"), `>; rel="next"`)
	}
	same := slices.EqualFunc(got, whole.Items, func(a, b Item) bool { return a.Sku == b.Sku })
	if !same || len(got) < 5 {
		t.Errorf("%d items on pages, %d in one", len(got), len(whole.Items))
	}
}

func TestWordsToSearchForAreBounded(t *testing.T) {
	f := newFace(t, newMemory())
	const path = "/v1/houses/quayside/items?q="
	f.do("GET", path+strings.Repeat("%C3%BC", catalog.MaxSearch), "").want(200)
	long := f.do("GET", path+strings.Repeat("%C3%BC", catalog.MaxSearch+1), "").want(400)
	if got := long.places(); !slices.Equal(got, []string{"q"}) || !strings.Contains(string(long.body), `"code":"too_long"`) {
		t.Errorf("faults at %v: %s", got, long.body)
	}
	f.do("GET", path+"a&q=b", "").want(400)
}
