package geom

import "math"

// earthKm is the mean radius of the Earth, (2a + b) / 3 of the WGS 84 ellipsoid (IUGG; from memory).
const earthKm = 6371.0088

// GreatCircleKm is how far two points are from each other on a sphere of the Earth's mean radius, in kilometres, by the haversine formula:
// within half a percent of the ellipsoid.
func GreatCircleKm(latDeg1, lonDeg1, latDeg2, lonDeg2 float64) float64 {
	const rad = math.Pi / 180
	dLat, dLon := (latDeg2-latDeg1)*rad, (lonDeg2-lonDeg1)*rad
	h := math.Pow(math.Sin(dLat/2), 2) + math.Cos(latDeg1*rad)*math.Cos(latDeg2*rad)*math.Pow(math.Sin(dLon/2), 2)
	return 2 * earthKm * math.Asin(math.Sqrt(math.Min(1, h)))
}
