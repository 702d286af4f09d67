package web

import (
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"errors"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"github.com/labstack/echo/v4"

	"kitspan/internal/phrase"
)

//go:embed static/zones.txt
var zoneList string

// zoneNames are the time zones offered: those of the IANA table of zones by country.
var zoneNames = sync.OnceValue(func() []string { return strings.Fields(zoneList) })

// place is a spot that the reader has kept; it lives in the reader's own browser.
type place struct {
	Name string       `json:"n"`
	Lat  string       `json:"a"`
	Lon  string       `json:"o"`
	Zone string       `json:"z"`
	Link template.URL `json:"-"`
}

const (
	placesCookie = "places"
	mostPlaces   = 12
	placeYears   = 365 * 24 * time.Hour
	longestPlace = 40 // characters of a name
	longestPart  = 64 // bytes of a coordinate as it was typed, and of a zone
	// longestPlaces is how many bytes of places are kept: browsers drop a cookie of more than 4096 bytes, its name and attributes
	// included (RFC 6265bis, 5.7).
	longestPlaces = 3800
)

// sound reports whether a place is one that is kept, with a sentence that says what is asked of it. Its coordinates are kept as every
// notation reads them.
func (p place) sound() (says phrase.Key, ok bool) {
	if p.Name == "" || utf8.RuneCountInString(p.Name) > longestPlace || !plainText(p.Name, "") {
		return "A place to keep needs a name of 1 to 40 characters: go back and give one.", false
	}
	lat, latErr := notations[0].number(p.Lat)
	lon, lonErr := notations[0].number(p.Lon)
	if latErr != nil || lonErr != nil || len(p.Lat) > longestPart || len(p.Lon) > longestPart || math.Abs(lat) > 90 || math.Abs(lon) > 180 {
		return "A place to keep needs a latitude from -90 to 90 and a longitude from -180 to 180: go back and fill them in.", false
	}
	if p.Zone == "" || len(p.Zone) > longestPart || !plainText(p.Zone, "") {
		return "A place to keep needs a time zone, such as Europe/Lisbon: go back and fill it in.", false
	}
	return "", true
}

// placesOf are the reader's places, each with the present shot moved there.
func placesOf(r *http.Request) []place {
	list := keptPlaces(r)
	for i := range list {
		q := knownOf(r.URL.Query())
		q.Set("lat", list[i].Lat)
		q.Set("lon", list[i].Lon)
		q.Set("zone", list[i].Zone)
		list[i].Link = template.URL(q.Encode()) //nolint:gosec // encoded by net/url
	}
	return list
}

// keptPlaces reads the reader's cookie. What a browser sends is not believed: a list with anything wrong in it is none.
func keptPlaces(r *http.Request) []place {
	c, err := r.Cookie(placesCookie)
	if err != nil || len(c.Value) > longestPlaces {
		return nil
	}
	raw, err := base64.RawURLEncoding.DecodeString(c.Value)
	if err != nil {
		return nil
	}
	var list []place
	if json.Unmarshal(raw, &list) != nil || len(list) > mostPlaces {
		return nil
	}
	for _, p := range list {
		if _, ok := p.sound(); !ok {
			return nil
		}
	}
	return list
}

// knownOf are the values of the form's own fields.
func knownOf(q url.Values) url.Values {
	out := url.Values{}
	for k, v := range q {
		if known(k) {
			out[k] = v
		}
	}
	return out
}

// savePlace keeps a place under a name and goes back to the shot.
func (s planPages) savePlace(c echo.Context) error {
	one := place{
		Name: strings.TrimSpace(c.FormValue("place_name")), Lat: strings.TrimSpace(c.FormValue("lat")), Lon: strings.TrimSpace(c.FormValue("lon")),
		Zone: strings.TrimSpace(c.FormValue("zone")),
	}
	reads := readerOf(c.Request(), "").notation
	for _, coordinate := range []*string{&one.Lat, &one.Lon} {
		v, err := reads.number(*coordinate)
		var two *ambiguousError
		if errors.As(err, &two) {
			return &pageError{http.StatusUnprocessableEntity, "The place cannot be kept: %s.", []any{two.in(languageOf(c.Request()))}}
		}
		if err == nil && len(*coordinate) <= longestPart {
			*coordinate = anyNotation(v)
		}
	}
	if says, ok := one.sound(); !ok {
		return &pageError{status: http.StatusUnprocessableEntity, says: says}
	}
	back, err := url.ParseQuery(c.FormValue("back"))
	if err != nil || len(c.FormValue("back")) > longestAddress {
		return &pageError{status: http.StatusUnprocessableEntity, says: "The shot to go back to cannot be read: go back, reload the page and keep the place again."}
	}
	list := []place{one}
	for _, p := range keptPlaces(c.Request()) {
		if p.Name != one.Name && len(list) < mostPlaces {
			list = append(list, p)
		}
	}
	kept, err := packed(list)
	if err != nil {
		return err
	}
	c.SetCookie(&http.Cookie{
		Name: placesCookie, Value: kept, Path: "/", MaxAge: int(placeYears / time.Second),
		HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: secure(c),
	})
	return c.Redirect(http.StatusSeeOther, "/plan?"+knownOf(back).Encode())
}

// packed are places as their cookie holds them; the oldest, which come last, are left out where it would become too long.
func packed(list []place) (string, error) {
	for {
		raw, err := json.Marshal(list)
		if err != nil {
			return "", err
		}
		if value := base64.RawURLEncoding.EncodeToString(raw); len(value) <= longestPlaces || len(list) == 1 {
			return value, nil
		}
		list = list[:len(list)-1]
	}
}
