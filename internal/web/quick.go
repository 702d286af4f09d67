package web

import (
	"math"
	"strings"
	"time"

	"kitspan/internal/phrase"
	"kitspan/internal/sun"
)

// Quick entries fill other fields and are gone: a place as it was copied from a map, what the lens looks at, when the sun is to be behind the
// people. One that cannot be read stays, with what is wrong beside it.

// quick takes the quick entries that were typed.
func (f *shotForm) quick() {
	for _, entry := range []struct {
		name string
		take func(typed string) (wrong phrase.Key, args []any)
	}{{pastedField, f.pasted}, {towardField, f.toward}, {sunBehindField, f.sunBehind}} {
		typed := strings.TrimSpace(f.typed.Get(entry.name))
		if typed == "" {
			continue
		}
		if wrong, args := entry.take(typed); wrong != "" {
			f.Errors[entry.name] = f.to.Language().Say(wrong, args...)
			continue
		}
		f.fill(entry.name, "")
	}
}

// fill types into a field.
func (f *shotForm) fill(name, value string) {
	f.typed.Set(name, value)
	f.filled[name] = value
}

// coordinateDecimals of a degree are a decimetre.
const coordinateDecimals = 6

// degreesTyped are degrees as every notation reads them.
func degreesTyped(deg float64, decimals int) string {
	p := math.Pow10(decimals)
	return anyNotation(math.Round(deg*p)/p + 0)
}

const wrongPoint phrase.Key = "give a point such as 38.6935, -9.2057 or 38°41′36.6″N 9°12′20.5″W"

func (f *shotForm) pasted(typed string) (wrong phrase.Key, args []any) {
	lat, lon, err := coordinates(typed)
	if err != nil {
		return wrongPoint, nil
	}
	f.fill(latField, degreesTyped(lat, coordinateDecimals))
	f.fill(lonField, degreesTyped(lon, coordinateDecimals))
	return "", nil
}

// place is the place as far as it is typed.
func (f *shotForm) place() (site sun.Site, ok bool) {
	lat, latErr := f.notation.number(f.typed.Get(latField))
	lon, lonErr := f.notation.number(f.typed.Get(lonField))
	ok = latErr == nil && lonErr == nil && math.Abs(lat) <= 90 && math.Abs(lon) <= 180
	return sun.Site{LatitudeDeg: lat, LongitudeDeg: lon, PressureHPa: standardHPa, TemperatureC: standardC}, ok
}

// The air by which a moment's sun is looked for: its azimuth does not depend on it (standard atmosphere at sea level).
const standardHPa, standardC = 1013.25, 15

// nearestM is how far off a point must be for a bearing to it: receivers are right to some metres, so that of a nearer one the direction is
// chance (common practice, no source).
const nearestM = 50

func (f *shotForm) toward(typed string) (wrong phrase.Key, args []any) {
	lat, lon, err := coordinates(typed)
	if err != nil {
		return wrongPoint, nil
	}
	from, ok := f.place()
	if !ok {
		return "give the place first: its latitude and longitude", nil
	}
	deg, far := bearingTo(from.LatitudeDeg, from.LongitudeDeg, lat, lon)
	if far < nearestM {
		return "is nearer than %d m to the place, so that the direction is chance: give a point further off", []any{nearestM}
	}
	f.fill(bearingField, degreesTyped(deg, 1))
	return "", nil
}

// sunBehind turns the lens to where the sun is at a time of the shot's date.
func (f *shotForm) sunBehind(typed string) (wrong phrase.Key, args []any) {
	site, ok := f.place()
	day := strings.TrimSpace(f.typed.Get(dateField))
	zone := strings.TrimSpace(f.typed.Get(zoneField))
	if !ok || day == "" || zone == "" {
		return "give the place, its time zone and the date first", nil
	}
	loc, err := time.LoadLocation(zone)
	if err != nil || zone == "Local" { // which is the server's
		return "give the time zone first, such as Europe/Lisbon", nil
	}
	at, err := time.ParseInLocation("2006-01-02 15:04", day+" "+typed, loc)
	if err != nil {
		return "give a time as HH:MM, such as 17:00, and the date", nil
	}
	position := sun.At(at, site)
	if position.ElevationDeg < 0 {
		return "the sun is down then: give a time between sunrise and sunset", nil
	}
	f.fill(bearingField, degreesTyped(position.AzimuthDeg, 1))
	return "", nil
}
