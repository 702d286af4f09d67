package scene

import (
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/shot"
)

// BackgroundLevel is the exposure reference of the background and the neutral density that puts it where wanted.
type BackgroundLevel struct {
	ReferenceLx float64 // exposure reference, lux
	EV100       float64 // its exposure value at ISO 100
	// UprightLx and LevelLx are what the reference would be of sides turned to the lens and of the ground, whatever was asked or read.
	UprightLx, LevelLx float64
	NDStops            float64 // neutral density in stops; negative where the background is too dark
	NDDensity          float64 // the same as optical density, never below 0
}

// BackgroundOf returns the background of a shot at mid-window: its reference is that of what the lens sees there, or what was
// measured. Lamps at a position count as they do at the people.
func BackgroundOf(s *shot.Shot, list []*Source, k *Sky) BackgroundLevel {
	towardLens := geom.Toward(s.Camera.BearingDeg+180, 0)
	var sky, level, facing float64
	add := func(lx, azimuthDeg, elevationDeg float64) {
		dir := geom.Toward(azimuthDeg, elevationDeg)
		level += lx * math.Max(0, dir.Z)
		facing += lx * math.Max(0, dir.Dot(towardLens))
	}
	if !s.Site.Roofed {
		p, d := k.At(s.Window.Mid())
		sky = d.SkyHorizontalLx
		level = sky
		add(d.BeamNormalLx, p.AzimuthDeg, p.ElevationDeg)
	}
	for _, src := range list {
		if src.Lamp != nil {
			m := &src.Moments[0]
			add(m.Lux, m.AzimuthDeg, m.ElevationDeg)
		}
	}
	reflectance := s.Background.Reflectance
	out := BackgroundLevel{
		UprightLx: light.ReferenceLx(light.UprightLx(sky, level, s.Site.GroundReflectance)+facing, reflectance),
		LevelLx:   light.ReferenceLx(level, reflectance),
	}
	switch {
	case s.Background.EV100 != nil:
		out.ReferenceLx = light.LuxOfEV100(*s.Background.EV100)
	case s.Background.Faces == shot.FacesSky:
		out.ReferenceLx = light.SkyReferenceLx(sky)
	case s.Background.Faces == shot.FacesLevel:
		out.ReferenceLx = out.LevelLx
	default:
		out.ReferenceLx = out.UprightLx
	}
	out.ReferenceLx = math.Max(out.ReferenceLx, DarkestLx)
	exp := light.Exposure{
		ISO: s.Exposure.ISO, FrameRateFPS: s.Exposure.FrameRateFPS,
		ShutterAngleDeg: s.Exposure.ShutterAngleDeg, TStop: s.Exposure.TStop,
	}
	out.EV100, out.NDStops = light.EV100(out.ReferenceLx), exp.NDStops(out.ReferenceLx, s.Background.PlacementStops)
	out.NDDensity = light.NDDensity(out.NDStops)
	return out
}

// KeyLx returns the key level, in lux, that is so many stops over the reference.
func (b BackgroundLevel) KeyLx(stops float64) float64 { return b.ReferenceLx * math.Exp2(stops) }

// TradeND returns the neutral density as filters are engraved, and the thirds of a stop that remain; see [light.TradeND].
func (b BackgroundLevel) TradeND() (engraved float64, thirds int) { return light.TradeND(b.NDStops) }

// BothStops is how far apart, in stops, the two models of a background are before both are shown.
const BothStops = 1

// Apart returns by how many stops the ground is over what stands upright; 0 where either is dark.
func (b BackgroundLevel) Apart() float64 {
	if b.UprightLx <= DarkestLx || b.LevelLx <= DarkestLx {
		return 0
	}
	return light.Stops(b.LevelLx, b.UprightLx)
}

// BothEV100 returns the exposure values at ISO 100 of the two models.
func (b BackgroundLevel) BothEV100() (upright, level float64) {
	return light.EV100(b.UprightLx), light.EV100(b.LevelLx)
}

// DarkestLx is the illuminance, in lux, that stands for no light at all, so that its exposure value is a number: starlight (from
// memory).
const DarkestLx = 1e-3
