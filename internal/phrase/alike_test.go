//go:build !race

package phrase_test

// alike are sentences that a language has just as English does.
var alike = map[string][]string{
	"de": {"Plan", "April", "August", "September", "November", "Arm", "Ballast", "Mast", "Name", "Transport", "Wind", "Wind: %s", "Zone"},
	"pt": {"total", "stops", "Latitude", "Longitude", "T-stop", "lux"},
	"fr": {"Plan", "Catalogue", "Catalogues", "Date", "Latitude", "Longitude", "Transport", "Zone", "lux", "total", "minutes", "transport", "zone", "six", "Production", "Contact", "Notes", "Position", "Minutes", "Distance"},
	"es": {"Plan", "total", "reflector", "lux", "no"},
}
