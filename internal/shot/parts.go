package shot

import (
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
)

// This file resolves parts of a draft by themselves, for requests that hold them elsewhere than in a shot. Faults of a part have the
// pointer that they would have in the body of POST /v1/sizings, unless one is given.

// Resolve fills in every default of a place and its forecast.
func (d DraftSite) Resolve(forecast []DraftForecastRow) (Site, []ForecastRow, []fault.Fault) {
	var r resolver
	s, loc := resolveSite(&r, d)
	rows := resolveForecast(&r, forecast, nil, s.TimeZone, loc)
	return s, rows, r.faults
}

// Resolve reads a window on the clocks of a zone.
func (d DraftWindow) Resolve(zone string, loc *time.Location) (Window, []fault.Fault) {
	var r resolver
	w := resolveWindow(&r, d, zone, loc)
	return w, r.faults
}

// ResolveDate reads a date of the years that a shot may be of.
func ResolveDate(pointer string, v *string) (catalog.Date, []fault.Fault) {
	var r resolver
	d, _ := resolveDate(&r, pointer, v)
	return d, r.faults
}

// ResolveTimeZone reads the name of a zone.
func ResolveTimeZone(pointer string, v *string) (*time.Location, []fault.Fault) {
	var r resolver
	_, loc := resolveTimeZone(&r, pointer, v)
	return loc, r.faults
}

// ResolveNumber reads a whole number within a range.
func ResolveNumber(pointer string, v *int, least, most int, unit string) (int, []fault.Fault) {
	var r resolver
	var f *float64
	if v != nil {
		n := float64(*v)
		f = &n
	}
	n, _ := r.needed(pointer, f, bound{lo: float64(least), hi: float64(most), unit: unit})
	return int(n), r.faults
}
