package web

import (
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"html/template"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"time"

	"github.com/labstack/echo/v4"
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
	longestPlace = 40
)

// placesOf are the reader's places, each with the present shot moved there.
func placesOf(r *http.Request) []place {
	c, err := r.Cookie(placesCookie)
	if err != nil {
		return nil
	}
	raw, err := base64.RawURLEncoding.DecodeString(c.Value)
	if err != nil {
		return nil
	}
	var out []place
	if json.Unmarshal(raw, &out) != nil || len(out) > mostPlaces {
		return nil
	}
	for i := range out {
		q := url.Values{}
		for k, v := range r.URL.Query() {
			if known(k) {
				q[k] = v
			}
		}
		q.Set("lat", out[i].Lat)
		q.Set("lon", out[i].Lon)
		q.Set("zone", out[i].Zone)
		out[i].Link = template.URL(q.Encode()) //nolint:gosec // encoded by net/url
	}
	return out
}

// savePlace keeps a place under a name and goes back to the shot.
func (s *Server) savePlace(c echo.Context) error {
	one := place{Name: strings.TrimSpace(c.FormValue("place_name")), Lat: c.FormValue("lat"), Lon: c.FormValue("lon"), Zone: c.FormValue("zone")}
	back, err := url.ParseQuery(c.FormValue("back"))
	if err != nil {
		return &oops{http.StatusBadRequest, "That address cannot be read."}
	}
	_, latOK := parseNumber(one.Lat)
	_, lonOK := parseNumber(one.Lon)
	if one.Name == "" || len([]rune(one.Name)) > longestPlace || !latOK || !lonOK || one.Zone == "" {
		return &oops{http.StatusUnprocessableEntity, "A place to keep needs a name of up to 40 characters, latitude, longitude and time zone: go back and fill them in."}
	}
	list := []place{one}
	for _, p := range placesOf(c.Request()) {
		if p.Name != one.Name && len(list) < mostPlaces {
			list = append(list, p)
		}
	}
	raw, err := json.Marshal(list)
	if err != nil {
		return err
	}
	c.SetCookie(&http.Cookie{
		Name: placesCookie, Value: base64.RawURLEncoding.EncodeToString(raw), Path: "/", MaxAge: int(placeYears / time.Second),
		HttpOnly: true, SameSite: http.SameSiteLaxMode, Secure: c.Request().TLS != nil,
	})
	return c.Redirect(http.StatusSeeOther, "/plan?"+back.Encode())
}

// example is a shot of the demo job to begin with.
type example struct {
	Name, Says string
	Query      template.URL
}

// examples are shots that show what grows with the picture.
func examples() []example {
	with := func(changes ...string) template.URL {
		q := url.Values{}
		for k, v := range starter {
			q.Set(k, v)
		}
		for i := 0; i+1 < len(changes); i += 2 {
			q.Set(changes[i], changes[i+1])
		}
		return template.URL(q.Encode()) //nolint:gosec // encoded by net/url
	}
	return []example{
		{"Hands mending a net", "a close-up, one small frame", with("name", "Hands mending a net", "width", "0.9", "distance", "2.2", "zone_width", "0.8",
			"zone_depth", "0.5", "zone_base", "0.7", "zone_top", "1.3", "aim_height", "1", "gust", "5")},
		{"Two anglers on the jetty", "an afternoon hour, sun behind", with()},
		{"Six people at the slip", "a wide picture in a breeze", with("name", "Six people at the slip", "width", "6", "distance", "9", "zone_width", "5.4",
			"zone_depth", "1.5", "zone_base", "0", "zone_top", "1.9", "from", "17:30", "to", "18:15", "gust", "6")},
	}
}
