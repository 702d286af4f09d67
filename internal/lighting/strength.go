package lighting

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/overhead"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// preferredBackStops is how far the back may be off a level that is only preferred (common practice, no source).
const preferredBackStops = 1.0

// gainStops is the least that a weaker cloth, or a piece on the fill side, is to bring: less is seen by nobody (common practice, no
// source).
const gainStops = 1.0 / 6

// Hang hangs each frame of a setup with nothing else up as an arrangement does.
func (pl *Planner) Hang(s *Setup) { pl.choose(s) }

// choose hangs each frame with the diffusion that leaves back and contrast nearest to what is asked, frame by frame, before anything is
// lifted: the softened sun may stay as a rim. A weaker cloth than the strongest has to bring the two nearer by a sixth of a stop.
func (pl *Planner) choose(a *Setup) {
	if pl.shot.Look.BackStops == nil {
		return // the contrast is the fill side's to make
	}
	for i, r := range a.Rigs {
		strongest := r.Candidate.Fabric
		best, least := strongest, pl.offLook(a)
		for _, cloth := range r.Candidate.Weaker {
			if a.Remaining(cloth.SKU) < 1 {
				continue
			}
			a.hangUp(i, cloth)
			if off := pl.offLook(a); off < least-gainStops && a.keepsSoft(i, cloth) {
				best, least = cloth, off
			}
		}
		a.hangUp(i, strongest)
		if best == strongest {
			continue
		}
		others := append(append([]*overhead.Rig{}, a.Rigs[:i]...), a.Rigs[i+1:]...)
		hung, ok := r.Hung(best, others, func(sku string) int { return a.Remaining(sku) + used(r, sku) })
		if !ok {
			continue
		}
		for _, n := range r.Counts() {
			a.taken[n.SKU] -= n.Quantity
		}
		a.Rigs[i] = hung
		for _, n := range hung.Counts() {
			a.taken[n.SKU] += n.Quantity
		}
	}
	a.hung = nil
}

// used returns how many of an item a rig takes.
func used(r *overhead.Rig, sku string) (n int) {
	for _, c := range r.Counts() {
		if c.SKU == sku {
			n += c.Quantity
		}
	}
	return n
}

// hangUp hangs a frame with a cloth, for what it does to the light alone.
func (s *Setup) hangUp(rig int, cloth *catalog.Item) {
	if s.hung == nil {
		s.hung = make([]*catalog.Item, len(s.Rigs))
	}
	s.hung[rig] = cloth
}

// offLook returns by how many stops back and contrast are off what is asked beyond what may be, as the frames and the net stand, the
// key as it will be once it is lifted.
func (pl *Planner) offLook(a *Setup) float64 {
	look := &pl.shot.Look
	key, fill, back := a.FaceLevels(a.Light.Stage.Mid)
	key = math.Max(key, pl.wantKey(a.Light))
	contrast := light.Stops(key, math.Max(fill, scene.DarkestLx))
	may := closeStops
	if look.Back == shot.BackPreferred {
		may = preferredBackStops
	}
	beyond := func(off, may float64) float64 { return math.Max(0, math.Abs(off)-may) }
	return beyond(a.Light.Stops(math.Max(back, scene.DarkestLx))-*look.BackStops, may) + beyond(contrast-look.ContrastStops, closeStops)
}

// keepsSoft reports whether what a frame's cloth lets straight through, of the sources that the frame is there to stop, leaves key and
// fill face soft all through the window: at most an eighth of the light there, the rule by which a source is hard. On hair and shoulders it
// is a rim. Every source is taken to be as bright as the strongest in mid-window. The setup is lit with the cloth.
func (a *Setup) keepsSoft(rig int, cloth *catalog.Item) bool {
	spec := cloth.Spec.(*catalog.Fabric)
	mid := a.Light.Stage.Mid
	strongest := 0.0
	for i := range a.Light.Hard {
		h := &a.Light.Hard[i]
		lux := h.NormalLx
		if h.At != nil {
			d := h.At.Sub(mid)
			lux = h.IntensityCd / d.Dot(d)
		}
		strongest = math.Max(strongest, lux)
	}
	straight := spec.Transmittance * spec.BeamShare * strongest
	for _, face := range [2]geom.Vec{a.Light.Key, a.Light.Fill} {
		most := scene.HardShare * a.level(mid, face)
		for _, src := range a.Rigs[rig].Group.Sources {
			for i := range src.Moments {
				if m := &src.Moments[i]; m.Lux > 0 && straight*face.Dot(geom.Toward(m.AzimuthDeg-a.bearingDeg, m.ElevationDeg)) > most {
					return false
				}
			}
		}
	}
	return true
}
