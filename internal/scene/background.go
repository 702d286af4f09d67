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
	NDStops     float64 // neutral density in stops; negative where the background is too dark
	NDDensity   float64 // the same as optical density, never below 0
}

// BackgroundOf returns the background of a shot at mid-window: its reference is the sunlit ground, or what was measured.
func BackgroundOf(s *shot.Shot, list []*Source, k *Sky) BackgroundLevel {
	var lx float64
	if s.Background.EV100 != nil {
		lx = light.LuxOfEV100(*s.Background.EV100)
	} else {
		if !s.Site.Roofed {
			p, d := k.At(s.Window.Mid())
			lx = d.SkyHorizontalLx + d.BeamNormalLx*math.Max(0, math.Sin(p.ElevationDeg*math.Pi/180))
		}
		for _, src := range list {
			if src.Lamp != nil {
				lx += src.Moments[0].Lux * math.Max(0, geom.Toward(0, src.Moments[0].ElevationDeg).Z)
			}
		}
		lx = light.ReferenceLx(lx, s.Background.Reflectance)
	}
	lx = math.Max(lx, DarkestLx)
	exp := light.Exposure{
		ISO: s.Exposure.ISO, FrameRateFPS: s.Exposure.FrameRateFPS,
		ShutterAngleDeg: s.Exposure.ShutterAngleDeg, TStop: s.Exposure.TStop,
	}
	nd := exp.NDStops(lx, s.Background.PlacementStops)
	return BackgroundLevel{ReferenceLx: lx, EV100: light.EV100(lx), NDStops: nd, NDDensity: light.NDDensity(nd)}
}

// DarkestLx is the illuminance, in lux, that stands for no light at all, so that its exposure value is a number: starlight (from
// memory).
const DarkestLx = 1e-3
