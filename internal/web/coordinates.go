package web

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// errNoPoint is the error of a text that is no point on the earth.
var errNoPoint = errors.New("no coordinates")

// Patterns of [coordinates]: what it is made of, and one number or letter of it.
var (
	pointText  = regexp.MustCompile(`^[NSEW0-9.,;:°º˚'"′″’”+\- ]+$`)
	pointToken = regexp.MustCompile(`[NSEW]|[+-]?[0-9]+(\.[0-9]+)?`)
	// decimalComma is a comma with digits on both sides.
	decimalComma = regexp.MustCompile(`([0-9]),([0-9])`)
)

// pointWords are hemispheres in words, and characters that look like a minus.
var pointWords = strings.NewReplacer("NORTH", "N", "SOUTH", "S", "EAST", "E", "WEST", "W", "−", "-", "–", "-", "\u00a0", " ", "\u202f", " ", "\t", " ", "GEO:", "")

// coordinates reads a point as maps and receivers write it: degrees with decimals, degrees and minutes, or degrees, minutes and seconds, with
// hemispheres as letters, before or after, or as signs; latitude first unless letters say otherwise (ISO 6709, annex D, loosely). The error is
// [errNoPoint].
func coordinates(s string) (latDeg, lonDeg float64, err error) {
	s = pointWords.Replace(strings.ToUpper(strings.TrimSpace(s)))
	if !pointText.MatchString(s) {
		return 0, 0, errNoPoint
	}
	readings := []string{s}
	if !strings.Contains(s, ".") { // a comma may be the decimal's
		readings = []string{decimalComma.ReplaceAllString(s, "$1.$2"), s}
	}
	for _, reading := range readings {
		if lat, lon, ok := point(pointToken.FindAllString(reading, -1)); ok {
			return lat, lon, nil
		}
	}
	return 0, 0, errNoPoint
}

// point reads the numbers and letters of a point.
func point(tokens []string) (latDeg, lonDeg float64, ok bool) {
	var halves [2][]string
	var letters []byte
	isLetter := func(t string) bool { return strings.ContainsAny(t, "NSEW") }
	at, before := 0, len(tokens) > 0 && isLetter(tokens[0])
	for _, t := range tokens {
		switch {
		case isLetter(t):
			if letters = append(letters, t[0]); len(letters) > 2 {
				return 0, 0, false
			}
			if before {
				at = len(letters) - 1
			} else {
				at = min(len(letters), 1)
			}
		default:
			halves[at] = append(halves[at], t)
		}
	}
	switch {
	case len(letters) == 0:
		all := halves[0]
		if len(all)%2 != 0 {
			return 0, 0, false
		}
		halves = [2][]string{all[:len(all)/2], all[len(all)/2:]}
		letters = []byte("NE")
	case len(letters) != 2 || !before && !isLetter(tokens[len(tokens)-1]):
		return 0, 0, false
	}
	if strings.IndexByte("EW", letters[0]) >= 0 {
		halves[0], halves[1] = halves[1], halves[0]
		letters[0], letters[1] = letters[1], letters[0]
	}
	if strings.IndexByte("NS", letters[0]) < 0 || strings.IndexByte("EW", letters[1]) < 0 {
		return 0, 0, false
	}
	latDeg, okLat := degrees(halves[0], letters[0] == 'S', 90)
	lonDeg, okLon := degrees(halves[1], letters[1] == 'W', 180)
	return latDeg, lonDeg, okLat && okLon
}

// degrees reads degrees with minutes and seconds, if there are any; only the last may have decimals.
func degrees(parts []string, negative bool, most float64) (deg float64, ok bool) {
	if len(parts) < 1 || len(parts) > 3 {
		return 0, false
	}
	sum, unit := 0.0, 1.0
	for i, part := range parts {
		v, err := strconv.ParseFloat(strings.TrimLeft(part, "+-"), 64)
		signed := strings.HasPrefix(part, "-") || strings.HasPrefix(part, "+")
		if err != nil || i > 0 && (v >= 60 || signed) || i < len(parts)-1 && v != math.Trunc(v) {
			return 0, false
		}
		sum += v / unit
		unit *= 60
	}
	if strings.HasPrefix(parts[0], "-") {
		negative = !negative
	}
	if negative {
		sum = -sum
	}
	return sum, sum >= -most && sum <= most
}

// earthRadiusM is the mean radius of the earth, m (IUGG, R1).
const earthRadiusM = 6371008.8

// bearingTo is the direction from one point on the earth to another, clockwise from true north, and how far it is, m: of the great circle
// on a sphere, which is within a quarter of a degree and half a percent of the ellipsoid (Sinnott, Sky and Telescope 68, 1984, for the
// distance).
func bearingTo(latDeg, lonDeg, toLatDeg, toLonDeg float64) (deg, farM float64) {
	const rad = math.Pi / 180
	a, b, by := latDeg*rad, toLatDeg*rad, (toLonDeg-lonDeg)*rad
	deg = math.Atan2(math.Sin(by)*math.Cos(b), math.Cos(a)*math.Sin(b)-math.Sin(a)*math.Cos(b)*math.Cos(by)) / rad
	h := math.Pow(math.Sin((b-a)/2), 2) + math.Cos(a)*math.Cos(b)*math.Pow(math.Sin(by/2), 2)
	return math.Mod(deg+360, 360), 2 * earthRadiusM * math.Asin(math.Sqrt(math.Min(1, h)))
}
