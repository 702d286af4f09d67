package web

import (
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/office"
	"kitspan/internal/phrase"
	"kitspan/internal/shot"
	"kitspan/internal/text"
)

// The sheet says when it was printed by the clock that the office was given, in the house's zone and the reader's language.
func TestTheSheetSaysWhenItWasPrinted(t *testing.T) {
	t.Parallel()
	s := newSiteWith(t, func(o *setup) {
		o.Office = office.Office{Stock: o.Office.Stock, Now: func() time.Time { return time.Date(2027, 6, 14, 22, 41, 7, 0, time.UTC) }}
	})
	for lang, want := range map[string]string{"en": "Printed 14 June 2027, 23:41 WEST.", "de": "Gedruckt 14.06.2027, 23:41 WEST."} {
		if got := s.get(t, "/option?"+small(), "Accept-Language", lang).text(".printed"); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %q", lang, got)
		}
	}
}

// A revision stays as long as request and catalogue do, in whichever order the address has its fields, and no longer.
func TestARevisionIsOfTheRequestAndTheCatalogue(t *testing.T) {
	stock := func(change func(items []catalog.Item)) *catalog.Snapshot {
		demo, _ := catalog.DemoSnapshot("quayside")
		items := append([]catalog.Item(nil), demo.Items()...)
		change(items)
		return catalog.NewSnapshot(demo.House, items)
	}
	of := func(query string, s *catalog.Snapshot) string {
		t.Helper()
		revision, err := revisionOf(query, s)
		if err != nil || !regexp.MustCompile(`^[0-9a-f]{8}$`).MatchString(revision) {
			t.Fatalf("%q, %v", revision, err)
		}
		return revision
	}
	as := stock(func([]catalog.Item) {})
	first := of("width=3&gust=8", as)
	if of("gust=8&width=3", stock(func([]catalog.Item) {})) != first {
		t.Error("the same request of the same catalogue is another revision")
	}
	if of("gust=9&width=3", as) == first {
		t.Error("another gust is the same revision")
	}
	if of("width=3&gust=8", stock(func(items []catalog.Item) { items[0].Owned++ })) == first {
		t.Error("another number of an item is the same revision")
	}
	if of("width=3&gust=8", stock(func(items []catalog.Item) { items[3].Rates = items[3].Rates[:0] })) == first {
		t.Error("another rate is the same revision")
	}
}

// What stands at the foot of each page is a text of the user's: it is no style of theirs, and the policy lets just this style in.
func TestTheFootOfAPageIsNoStyle(t *testing.T) {
	t.Parallel()
	const name = `Pier"}</style><script>alert(1)</script>{} \a; é`
	if got, want := string(marginStyle(`a"}</ é`)), `:root{--margin:"a\22 \7d \3c \2f  \e9 "}`; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	p := newSite(t).get(t, "/option?"+small("name", name))
	if p.Find("script").Length() != 1 || p.text("h1") != strings.Join(strings.Fields(name), " ") {
		t.Errorf("%d scripts, titled %q", p.Find("script").Length(), p.text("h1"))
	}
	style := p.Find("style").Text()
	if !strings.Contains(style, `:root{--margin:"Pier\22 \7d \3c \2f style\3e `) {
		t.Errorf("no margin in %s", style[max(0, len(style)-300):])
	}
	sum := sha256.Sum256([]byte(style))
	if policy := p.header.Get("Content-Security-Policy"); !strings.Contains(policy, "'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'") {
		t.Errorf("the style is not that of the policy %s", policy)
	}
}

// A place that the reader keeps is called by its name; coordinates that differ in how they were typed are the same.
func TestTheSheetNamesAPlaceThatIsKept(t *testing.T) {
	r := readerOf(httptest.NewRequest(http.MethodGet, "/", nil), "")
	kept := []place{{Name: "The slip", Lat: "41.10", Lon: "-8.6"}, {Name: "The pier", Lat: "41.2", Lon: "-8.6"}}
	for want, at := range map[string]*shot.Site{
		"The slip (41.1000°, −8.6000°)": {LatitudeDeg: 41.1, LongitudeDeg: -8.6},
		"41.1000°, −8.7000°":            {LatitudeDeg: 41.1, LongitudeDeg: -8.7},
	} {
		if got := placeNamed(kept, at, r); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// What is aimed alike is said once of a row, and what differs beside each.
func TestARowSaysOnceWhatItsBoardsShare(t *testing.T) {
	staked := func(by, on string) text.Staked {
		return text.Staked{AimedBy: by, AimedOn: on, Stakes: []text.Stake{{Is: "faces"}}}
	}
	for want, row := range map[string][]text.Staked{
		"by the sun on A: faces, faces":                     {staked("by the sun", "A"), staked("by the sun", "A")},
		"by the sun: faces; beam on A, faces; beam on B":    {staked("by the sun", "A"), staked("by the sun", "B")},
		": faces; by the sun on A, faces; by the lamp on A": {staked("by the sun", "A"), staked("by the lamp", "A")},
		": faces; by the sun on A, faces":                   {staked("by the sun", "A"), staked("", "")},
		": faces, faces":                                    {staked("", ""), staked("", "")},
	} {
		shared := strings.Join(aimed(row, phrase.English), "")
		var each []string
		for _, p := range row {
			each = append(each, p.Stakes[0].Is)
		}
		if got := shared + ": " + strings.Join(each, ", "); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
