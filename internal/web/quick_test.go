package web

import (
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"kitspan/internal/text"
)

// The ways in which maps, receivers and people write one point, and what is no point.
func TestCoordinatesAreReadAsMapsWriteThem(t *testing.T) {
	t.Parallel()
	const lat, lon = 38.6935, -9.2057
	for _, in := range []string{
		"38.6935, -9.2057", "38.6935 -9.2057", "38.6935,-9.2057", "geo:38.6935,-9.2057", "38,6935; -9,2057", "38.6935° N, 9.2057° W", "N38.6935 W9.2057", "38.6935N 9.2057W",
		"W 9.2057, N 38.6935", "38°41′36.6″N 9°12′20.52″W", `38°41'36.6"N 9°12'20.52"W`, "N 38° 41.610' W 009° 12.342'", "38 41 36.6 -9 12 20.52", "38.6935 north 9.2057 west",
		"38,6935 -9,2057", "+38.6935, −9.2057",
	} {
		if a, o, err := coordinates(in); err != nil || math.Abs(a-lat) > 1e-5 || math.Abs(o-lon) > 1e-5 {
			t.Errorf("%q is %v, %v, %v", in, a, o, err)
		}
	}
	if a, o, err := coordinates("0°30′S 0°15′W"); err != nil || a != -0.5 || o != -0.25 {
		t.Errorf("just south and west of nothing: %v, %v, %v", a, o, err)
	}
	for _, in := range []string{
		"", "38", "38.6935", "91, 0", "0, 181", "38 61 -9 12", "38.5 41 -9 12", "N 38 S 9", "38 N 9", "E 38 W 9", "north", "38.6935, -9.2057, 4", "1e5, 3", "here", "38°41′60″N 9°W", "NaN, 1",
		"N N 1 W 2", "38 N W 9", "38..5, 9", "38, 4-1",
	} {
		if a, o, err := coordinates(in); err == nil {
			t.Errorf("%q is read as %v, %v", in, a, o)
		}
	}
}

// Whatever a point is, as decimals or as minutes, it is read back.
func TestAnyPointIsReadBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		lat, lon := rapid.Float64Range(-90, 90).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon")
		sexagesimal := func(v float64, positive, negative string) string {
			letter := positive
			v += 0 // no negative zero
			if v < 0 {
				letter, v = negative, -v
			}
			deg, rest := math.Modf(v)
			return strconvFixed(deg, 0) + "°" + strconvFixed(math.Min(rest*60, 59.99999), 5) + "′" + letter
		}
		for _, in := range []string{degreesTyped(lat, 6) + ", " + degreesTyped(lon, 6), sexagesimal(lat, "N", "S") + " " + sexagesimal(lon, "E", "W")} {
			if a, o, err := coordinates(in); err != nil || math.Abs(a-lat) > 1e-5 || math.Abs(o-lon) > 1e-5 {
				t.Fatalf("%q is %v, %v, %v", in, a, o, err)
			}
		}
	})
}

func FuzzCoordinates(f *testing.F) {
	f.Add("38°41′36.6″N 9°12′20.5″W")
	f.Fuzz(func(t *testing.T, s string) {
		if lat, lon, err := coordinates(s); err == nil && !(math.Abs(lat) <= 90 && math.Abs(lon) <= 180) {
			t.Errorf("%q is %v, %v", s, lat, lon)
		}
	})
}

// Directions that need no formula: along a meridian, along the equator, and the first course of the great circle from Lisbon to New York, with
// the azimuth that a hand calculation by the half-angle formulas gives.
func TestBearingsFromPointToPoint(t *testing.T) {
	t.Parallel()
	for name, c := range map[string][6]float64{
		"north": {10, 20, 11, 20, 0, 111195}, "south": {10, 20, 9, 20, 180, 111195}, "east on the equator": {0, 20, 0, 21, 90, 111195}, "west over the date line": {0, -179.5, 0, 179.5, 270, 111195},
		"toward the pole": {60, 0, 90, 123, 0, 30 * 111195},
	} {
		deg, far := bearingTo(c[0], c[1], c[2], c[3])
		if off := math.Abs(math.Mod(deg-c[4]+540, 360) - 180); off > 1e-6 || math.Abs(far-c[5]) > 1e-4*c[5] {
			t.Errorf("%s: %v° and %v m", name, deg, far)
		}
	}
}

// Quick entries fill in what they stand for, and the address holds that; one that cannot be read stays, with what to do.
func TestQuickEntriesFillOtherFields(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.client.CheckRedirect = func(r *http.Request, _ []*http.Request) error { // looked at, not worked out
		if r.URL.Path == "/plan" {
			return http.ErrUseLastResponse
		}
		return nil
	}
	for name, c := range map[string]struct {
		address string
		want    map[string]string
	}{
		"a place":                {night("lat", "", "lon", "", "at", "41°30′N 8°45′W"), map[string]string{"lat": "41.5", "lon": "-8.75", "at": ""}},
		"a place before another": {night("at", "41.5, -8.75"), map[string]string{"lat": "41.5", "lon": "-8.75"}},
		"what the lens looks at": {night("at", "41.5, -8.75", "toward", "41.6, -8.75"), map[string]string{"bearing": "0", "toward": ""}},
		"the sun behind at noon": {night("sun_behind", "13:38"), map[string]string{"sun_behind": "", "width": "3"}},
	} {
		p := s.get(t, "/plan?"+c.address)
		to, err := url.Parse(p.header.Get("Location"))
		if err != nil || p.status != http.StatusSeeOther {
			t.Errorf("%s: %d, %v", name, p.status, err)
			continue
		}
		for field, want := range c.want {
			if got := to.Query().Get(field); got != want {
				t.Errorf("%s: %s is %q, want %q", name, field, got, want)
			}
		}
	}
	// The sun is due south at 12:00 UTC, 36.8 minutes for 9.2° of longitude and 1 minute of the equation of time in mid-June later (from memory).
	to, err := url.Parse(s.get(t, "/plan?"+night("sun_behind", "13:38")).header.Get("Location"))
	if err != nil {
		t.Fatal(err)
	}
	if deg, err := strconv.ParseFloat(to.Query().Get("bearing"), 64); err != nil || math.Abs(deg-180) > 1.5 {
		t.Errorf("with the sun behind at noon the lens looks %v°, %v", deg, err)
	}
	for name, c := range map[string][3]string{
		"no point": {night("at", "by the slip"), "at", "give a point such as"}, "no place yet": {night("lat", "", "toward", "41, -8"), "toward", "give the place first"},
		"too near": {night("toward", "38.6935, -9.2057"), "toward", "nearer than 50 m"}, "no sun": {night("sun_behind", "23:30"), "sun_behind", "the sun is down then"},
		"no time": {night("sun_behind", "late"), "sun_behind", "such as 17:00"}, "no zone": {night("zone", "", "sun_behind", "17:00"), "sun_behind", "time zone and the date first"},
	} {
		p := s.get(t, "/plan?"+c[0])
		if got := p.text("#e-" + c[1]); p.status != http.StatusUnprocessableEntity || !strings.Contains(got, c[2]) {
			t.Errorf("%s: %d %q", name, p.status, got)
		}
		if v, _ := p.Find("#f-" + c[1]).Attr("value"); v == "" {
			t.Errorf("%s: what was typed is gone", name)
		}
	}
}

// A new shot has a day, a house and units, shows what is taken for blanks, and blames nobody; what it needs is listed.
func TestANewShotIsBlank(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, "/plan")
	if p.status != http.StatusOK || p.Find(".summary, .wrong").Length() != 0 || p.Find("#results figure").Length() != 0 {
		t.Errorf("%d, %s", p.status, p.text(".summary"))
	}
	if day, _ := p.Find("#f-date").Attr("value"); len(day) != len("2027-06-18") || p.Find("#f-house option[selected]").Length() != 1 {
		t.Errorf("the day is %q", day)
	}
	if got := p.text("#headline"); !strings.Contains(got, "Still to fill in: Picture width, Lens to people, From, To, Latitude, Longitude, Time zone, The lens looks toward") {
		t.Errorf("it asks for %q", got)
	}
	for field, want := range map[string]string{"iso": "800", "gust": "8", "contrast": "1.5", "zone_width": "", "key": ""} {
		if got, _ := p.Find("#f-" + field).Attr("placeholder"); got != want {
			t.Errorf("blank %s shows %q, want %q", field, got, want)
		}
	}
	if p = s.get(t, "/plan?units=ft"); p.status != http.StatusOK || p.Find("[name=units][value=ft][checked]").Length() != 1 {
		t.Errorf("a new shot in feet: %d", p.status)
	}
	if p = s.get(t, "/plan?name=Sent"); p.status != http.StatusUnprocessableEntity || p.Find(".summary li").Length() < 8 {
		t.Errorf("a form that was sent: %d", p.status)
	}
}

// Other units convert what is typed, with or without a script: nothing is another length than before.
func TestOtherUnitsConvertWhatIsTyped(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, "/plan?"+night("units", "ft", "lengths", "m", "width", "3", "distance", "18 ft"))
	for field, want := range map[string]string{"width": "9.8425", "distance": "18", "zone_width": "8.5302"} { // m / 0.3048
		if got, _ := p.Find("#f-" + field).Attr("value"); got != want {
			t.Errorf("%s is %q, want %q", field, got, want)
		}
	}
	if unit := p.text("label[for=f-width] .unit"); unit != "ft" {
		t.Errorf("the label says %q", unit)
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.SampledFrom(notations).Draw(t, "notation")
		feet := rapid.Bool().Draw(t, "feet")
		typed := strconvFixed(float64(rapid.IntRange(0, 50000).Draw(t, "hundredths"))/100, 2)
		m, err := n.length(typed, feet)
		if err != nil {
			t.Skip()
		}
		there := n.plainLength(m, !feet)
		m2, err := n.length(there, !feet)
		if err != nil || math.Abs(m2-m) > 1.001*leastLengthM {
			t.Fatalf("%s is %s, %v", typed, there, err)
		}
		back, err := n.number(n.plainLength(m2, feet))
		if want, _ := n.number(typed); err != nil || math.Abs(back-want) > 5e-4 {
			t.Fatalf("%s comes back as %v", typed, back)
		}
	})
}

// An end earlier than the start is the next day's, where that is no long day; a longer one is a slip, and an end's date says it all the same.
func TestAShotOverMidnightIsTyped(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	roofed := func(changes ...string) string {
		return with(append([]string{"roofed", "yes", "from", "22:30", "background", "5"}, changes...)...)
	}
	q, _ := url.ParseQuery(roofed("to", "01:15"))
	if f := readForm(q, "EUR", notations[0], text.Metres); f.Draft.Window.EndDate == nil || *f.Draft.Window.EndDate != "2027-06-19" {
		t.Errorf("the end's date is %v", f.Draft.Window.EndDate)
	}
	if p := s.get(t, "/plan?"+roofed("to", "01:15")); p.status != http.StatusOK {
		t.Errorf("until a quarter past one: %d %s", p.status, p.text(".summary"))
	}
	if p := s.get(t, "/plan?"+roofed("to", "22:00")); !strings.Contains(p.text("#e-to"), "is not after") || strings.Contains(p.text("#e-to"), "end_date") {
		t.Errorf("nearly a day: %d %s", p.status, p.text("#e-to"))
	}
	q, _ = url.ParseQuery(roofed("to", "22:00", "end_date", "2027-06-19"))
	if f := readForm(q, "EUR", notations[0], text.Metres); len(f.Errors) != 0 || *f.Draft.Window.EndDate != "2027-06-19" {
		t.Errorf("with an end's date: %v", f.Errors)
	}
}

// Faults name fields as the page does, not as programs do.
func TestFaultsNameFieldsByTheirLabels(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, changes := range [][]string{
		{"focal", "50", "sensor", "25"}, {"focal", "50", "width", ""}, {"ballast", "40", "ballast_high", "20"}, {"to", ""}, {"mean", "5", "gust", "5"}, {"lamps", "a; 1; 2; 3; 4\nb; 1; 2; 3; radius 99"},
		{"zone_base", "2", "zone_top", "1"}, {"others", "them; 1; 1; 0"}, {"end_date", "2027-06-17"}, {"ladder", "0"}, {"vehicle", "NONE"}, {"anchors", "a; 1; 2; 3"},
		{"walk_east", "30"}, {"price", "-1"}, {"supply_east", "900"},
	} {
		p := s.get(t, "/plan?"+night(changes...))
		said := p.text(".summary")
		if p.status != http.StatusUnprocessableEntity || said == "" {
			t.Errorf("%v is no fault: %d", changes, p.status)
		}
		if name := memberName.FindString(said); name != "" {
			t.Errorf("%v: a fault names %q: %s", changes, name, said)
		}
	}
}
