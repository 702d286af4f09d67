package shot

import (
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/sun"
)

// Ranges of sky, look, background and exposure. Levels: direct sun outside the atmosphere is under 140 000 lx. Stops:
// what a picture can want, common practice, no source. Exposure: wider than any camera's settings.
var (
	readingBound       = bound{lo: 0, hi: 200000, unit: "lx"}
	keyBound           = bound{lo: -6, hi: 6, unit: "stops against the reference"}
	contrastBound      = bound{lo: 0, hi: 8, unit: "stops"}
	netBound           = bound{lo: 0, hi: 4, unit: "stops"}
	softBound          = bound{lo: 0, hi: 120, unit: "degrees"}
	backgroundBound    = bound{lo: 0, hi: 1, open: true}
	ev100Bound         = bound{lo: -10, hi: 25, unit: "EV at ISO 100"}
	placementBound     = bound{lo: -6, hi: 6, unit: "stops against mid grey"}
	isoBound           = bound{lo: 1, hi: 1e6}
	frameRateBound     = bound{lo: 0, hi: 100000, open: true, unit: "frames per second"}
	shutterAngleBound  = bound{lo: 0, hi: 360, open: true, unit: "degrees"}
	stopBound          = bound{lo: 0.5, hi: 128}
	defaultLook        = Look{KeyStops: -0.5, ContrastStops: 1.5}
	defaultExposure    = Exposure{ISO: 800, FrameRateFPS: 25, ShutterAngleDeg: 180, TStop: 2.8}
	defaultReflectance = 0.18 // mid grey
)

func resolveSky(r *resolver, d DraftSky, roofed bool) Sky {
	var weathers []string
	for _, c := range sun.Conditions() {
		weathers = append(weathers, string(c))
	}
	s := Sky{
		Condition: r.word("/shot/sky/condition", d.Condition, string(sun.Clear), weathers...),
		SunLx:     r.optional("/shot/sky/sun_lx", d.SunLx, readingBound),
		SkyLx:     r.optional("/shot/sky/sky_lx", d.SkyLx, readingBound),
	}
	switch {
	case roofed && (s.SunLx != nil || s.SkyLx != nil):
		r.note(finding.ReadingsUnderRoof{})
	case s.SunLx != nil && s.SkyLx != nil && *s.SunLx < *s.SkyLx:
		r.note(finding.SunUnderSky{SunLx: *s.SunLx, SkyLx: *s.SkyLx})
	}
	return s
}

// brighterThanAny is by how much a reading may be over what any sky of the model gives before it is doubted: two stops;
// common practice, no source.
const brighterThanAny = 4

// checkReadings remarks on what a meter can hardly have read at its hour, by the brightest sky of the model.
func checkReadings(r *resolver, s *Shot) {
	if s.Site.Roofed || s.Sky.ReadAt.IsZero() {
		return
	}
	at := sunPosition(s.Site, s.Sky.ReadAt)
	var sunLx, skyLx float64
	for _, c := range sun.Conditions() {
		d := sun.DaylightAt(at, c)
		sunLx, skyLx = math.Max(sunLx, d.BeamNormalLx), math.Max(skyLx, d.SkyHorizontalLx)
	}
	remark := func(field string, reading *float64, of finding.Daylight, most float64) {
		switch {
		case reading == nil || *reading == 0:
		case most == 0:
			r.note(finding.ReadingInTheDark{Reading: field, ReadingLx: *reading, Of: of, At: s.Sky.ReadAt})
		case *reading > brighterThanAny*most:
			r.note(finding.ReadingTooBright{Reading: field, ReadingLx: *reading, Of: of, At: s.Sky.ReadAt, MostLx: most})
		}
	}
	remark("sun_lx", s.Sky.SunLx, finding.OfSun, sunLx)
	remark("sky_lx", s.Sky.SkyLx, finding.OfSky, skyLx)
}

// keyBefore returns the default of the key against a background. Sides turned to the lens are in the shade where the sun is behind, two
// stops and more under level ground: people stand out by a stop before them, and lie half a stop under all else (common practice, no
// source).
func keyBefore(b *Background, roofed bool) float64 {
	if b.Faces == FacesUpright && b.EV100 == nil && !roofed {
		return keyBeforeShadeStops
	}
	return defaultLook.KeyStops
}

// keyBeforeShadeStops is the default key before a background in the shade.
const keyBeforeShadeStops = 1

// resolveLook reads what the picture, so wide in metres, should look like, by a default of the key; an "auto" key side stays until the
// window is known.
func resolveLook(r *resolver, d DraftLook, widthM, keyStops float64) Look {
	var l Look
	l.Soften = r.word("/shot/look/soften", d.Soften, SoftenRequired, SoftenRequired, SoftenPreferred, SoftenOff)
	l.KeySide = r.word("/shot/look/key_side", d.KeySide, SideAuto, SideLeft, SideRight, SideAuto)
	l.KeyStops, _ = r.number("/shot/look/key_stops", d.KeyStops, keyStops, keyBound)
	l.ContrastStops, _ = r.number("/shot/look/contrast_stops", d.ContrastStops, defaultLook.ContrastStops, contrastBound)
	l.NetStops, _ = r.number("/shot/look/net_stops", d.NetStops, defaultLook.NetStops, netBound)
	back := BackRequired
	switch l.BackStops = r.optional("/shot/look/back_stops", d.BackStops, keyBound); {
	case d.AnyBack:
		l.BackStops, back = nil, BackPreferred
	case d.BackStops == nil:
		usual := usualBackStops
		l.BackStops, back = &usual, BackPreferred
	}
	l.Back = r.word("/shot/look/back", d.Back, back, BackRequired, BackPreferred)
	l.SoftDeg, _ = r.number("/shot/look/soft_deg", d.SoftDeg, softDeg(widthM), softBound)
	l.Colour = r.word("/shot/look/colour", d.Colour, ColourNeutral, ColourNeutral, ColourWarm)
	return l
}

// usualBackStops is what hair and shoulders commonly get over the background, from nothing to a stop (common practice, no source).
const usualBackStops = 0.5

// softDeg returns how large what lights the key is to look for a picture so wide, in metres: the tighter the picture, the more of the
// face a shadow's edge takes (common practice, no source). Head and shoulders fill a picture up to 1.2 m wide, one or two people down to
// the waist one up to 2.5 m.
func softDeg(widthM float64) float64 {
	switch {
	case widthM <= closeUpM:
		return 20
	case widthM <= mediumM:
		return 10
	}
	return 5
}

// The widest picture of a close-up and of a medium shot, in metres, at the place of the people.
const (
	closeUpM = 1.2
	mediumM  = 2.5
)

// resolveBackground reads what the camera is set for. A measured level sets the reference; what faces the lens and its reflectance may
// stand beside it, as they do in every echo.
func resolveBackground(r *resolver, d DraftBackground) Background {
	var b Background
	b.Faces = r.word("/shot/background/faces", d.Faces, FacesUpright, FacesUpright, FacesLevel, FacesSky)
	b.Reflectance, _ = r.number("/shot/background/reflectance", d.Reflectance, defaultReflectance, backgroundBound)
	b.EV100 = r.optional("/shot/background/ev100", d.EV100, ev100Bound)
	b.PlacementStops, _ = r.number("/shot/background/placement_stops", d.PlacementStops, 0, placementBound)
	return b
}

func resolveExposure(r *resolver, d DraftExposure) Exposure {
	e := defaultExposure
	e.ISO, _ = r.number("/shot/exposure/iso", d.ISO, e.ISO, isoBound)
	e.FrameRateFPS, _ = r.number("/shot/exposure/frame_rate_fps", d.FrameRateFPS, e.FrameRateFPS, frameRateBound)
	e.ShutterAngleDeg, _ = r.number("/shot/exposure/shutter_angle_deg", d.ShutterAngleDeg, e.ShutterAngleDeg, shutterAngleBound)
	e.TStop, _ = r.number("/shot/exposure/t_stop", d.TStop, e.TStop, stopBound)
	return e
}
