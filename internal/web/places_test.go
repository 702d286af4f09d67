package web

import (
	"encoding/base64"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// keepPlace sends a sound place with some members changed.
func (s *site) keepPlace(t *testing.T, changes ...string) *page {
	t.Helper()
	form := url.Values{"place_name": {"Slip"}, "lat": {"41.1"}, "lon": {"-8.6"}, "zone": {"Europe/Lisbon"}, "back": {night()}}
	for i := 0; i+1 < len(changes); i += 2 {
		form.Set(changes[i], changes[i+1])
	}
	return s.post(t, "/places", form)
}

func TestPlacesAreBounded(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for field, values := range map[string][]string{
		"place_name": {"", "  ", strings.Repeat("é", longestPlace+1), "a\x00b", "\xff", "\x1b[2J"},
		"lat":        {"", "x", "90.1", "-91", "NaN", "0x10", "1" + strings.Repeat("0", 100), "0." + strings.Repeat("0", 100)},
		"lon":        {"", "180.5", "inf"},
		"zone":       {"", strings.Repeat("z", longestPart+1), "a\nb"},
		"back":       {"%zz", "name=" + strings.Repeat("x", longestAddress)},
	} {
		for _, value := range values {
			if p := s.keepPlace(t, field, value); p.status != http.StatusUnprocessableEntity || p.text(".lead") == "" {
				t.Errorf("%s %.20q: %d at %s", field, value, p.status, p.at.Path)
			}
		}
	}
	if kept := s.client.Jar.(*jar).kept[placesCookie]; kept != nil {
		t.Errorf("a place that was refused is kept: %s", kept.Value)
	}
	if p := s.keepPlace(t, "place_name", strings.Repeat("é", longestPlace), "lat", "90", "lon", "-180", "zone", "Etc/UTC"); p.status != http.StatusOK {
		t.Errorf("a place at the bounds: %d %q", p.status, p.text("main"))
	}
	if p := s.keepPlace(t, "back", with()+"&foreign=1"); p.at.Query().Has("foreign") {
		t.Errorf("leads back with what is not of the form: %s", p.at)
	}
}

// Browsers drop a cookie that is too long without a word: the newest places must stay.
func TestTheNewestPlacesFitTheCookie(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	wide := strings.Repeat("𝄞", longestPlace-1)
	for i := range mostPlaces + 3 {
		s.keepPlace(t, "place_name", wide+string(rune('a'+i)), "lat", "41."+strings.Repeat("1", longestPart-3), "zone", strings.Repeat("z", longestPart))
	}
	kept := s.client.Jar.(*jar).kept[placesCookie]
	if n := len(kept.String()); n > 4096 {
		t.Errorf("the cookie has %d bytes", n)
	}
	places := s.get(t, "/plan?"+night()).Find(".places li")
	if n := places.Length(); n < 5 || n > mostPlaces || strings.TrimSpace(places.First().Text()) != wide+string(rune('a'+mostPlaces+2)) {
		t.Errorf("%d places, the first %q", n, places.First().Text())
	}
}

func TestACookieThatIsNotOursHoldsNoPlaces(t *testing.T) {
	t.Parallel()
	pack := func(list any) string {
		raw, err := json.Marshal(list)
		if err != nil {
			t.Fatal(err)
		}
		return base64.RawURLEncoding.EncodeToString(raw)
	}
	good := place{Name: "Slip", Lat: "41", Lon: "-8", Zone: "Europe/Lisbon"}
	many := make([]place, mostPlaces+1)
	for i := range many {
		many[i] = good
	}
	long, far := good, good
	long.Name, far.Lat = strings.Repeat("x", longestPlace+1), "91"
	for name, c := range map[string]struct {
		value string
		want  int
	}{
		"ours": {pack([]place{good}), 1}, "no base64": {"!!", 0}, "no JSON": {base64.RawURLEncoding.EncodeToString([]byte("{")), 0}, "too many": {pack(many), 0},
		"a long name": {pack([]place{good, long}), 0}, "off the earth": {pack([]place{far}), 0}, "too long": {strings.Repeat("A", longestPlaces+4), 0},
	} {
		r := httptest.NewRequest(http.MethodGet, "/plan", nil)
		r.AddCookie(&http.Cookie{Name: placesCookie, Value: c.value})
		if got := len(placesOf(r)); got != c.want {
			t.Errorf("%s: %d places, want %d", name, got, c.want)
		}
	}
}
