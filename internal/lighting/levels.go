package lighting

import (
	"context"
	"math"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

const (
	// trimSteps is at how many distances the key is reported: a person on set trims by walking.
	trimSteps = 5
	// trimNear and trimFar are the nearest and the farthest of them as shares of the distance chosen.
	trimNear = 0.75
	trimFar  = 1.5
	// reaimShare is the share of its level that the key face keeps at the middle and every corner of the zone until the
	// reflectors are aimed anew: it may lose half a stop (common practice, no source).
	reaimShare = 0.70710678
	// reaimHalvings is how often half the window is halved for that: to a sixty-fourth.
	reaimHalvings = 6
)

// measure works out the levels of the setup as it stands.
func (a *Arrangement) measure(ctx context.Context, pl *Planner) {
	if ctx.Err() != nil {
		return
	}
	st := a.Light.Stage
	key, fill, back := a.FaceLevels(st.Mid)
	a.Levels = Levels{
		At: a.Light.At, KeyLx: key, FillLx: fill, BackLx: back, KeyStops: a.Light.Stops(key),
		ContrastStops: light.Stops(math.Max(key, scene.DarkestLx), math.Max(fill, scene.DarkestLx)),
		SoftnessDeg:   a.softness(st.Mid), OtherZones: []ZoneLevels{},
	}
	a.Levels.KeyFrom, a.Levels.KeySoftnessDeg = a.keySource(st.Mid)
	a.Levels.KeyShiftMired = a.keyShift(st.Mid, key)
	for i := range pl.shot.OtherZones {
		if ctx.Err() != nil {
			return
		}
		z := &a.zones[i+1]
		lx := a.level(z.Mid, a.Light.Key)
		a.Levels.OtherZones = append(a.Levels.OtherZones, ZoneLevels{
			Label: pl.shot.OtherZones[i].Label, KeyLx: lx, KeyStops: a.Light.Stops(lx),
		})
	}
	a.Trim = a.trims(ctx)
	a.ReaimMin = a.reaims(ctx)
}

// Spread fills in by how many stops the key differs over each zone, which takes as long as all the other levels and chooses nothing: what
// is not answered goes without.
func (a *Arrangement) Spread(ctx context.Context) {
	a.light()
	a.Levels.UniformityStops = a.spread(ctx, a.Light.Stage.Mid, a.Light.Stage.Half)
	for i := range a.Levels.OtherZones {
		z := &a.zones[i+1]
		a.Levels.OtherZones[i].UniformityStops = a.spread(ctx, z.Mid, z.Half)
	}
}

// softness returns the apparent size of the largest piece, or else hard source, that lights the subject; light must be up to date.
func (a *Arrangement) softness(at geom.Vec) float64 {
	deg := 0.0
	for i := range a.scene.Panels {
		if a.gives(i) {
			deg = math.Max(deg, a.lit.SourceDeg(at, i))
		}
	}
	if deg > 0 {
		return deg
	}
	if a.Light.SkyLx > 0 && len(a.Light.Hard) == 0 {
		return 180 // the sky is all there is
	}
	for i := range a.Light.Hard {
		deg = math.Max(deg, 2*a.Light.Hard[i].RadiusDeg)
	}
	return deg
}

// gives reports whether a panel of the scene is there to give light: overheads, reflectors, diffusers and fills for the main
// zone.
func (a *Arrangement) gives(panel int) bool {
	if panel < len(a.Rigs) {
		return true
	}
	panel -= len(a.Rigs)
	for _, p := range a.Pieces {
		if p.Lamp != nil {
			continue
		}
		if panel == 0 {
			return p.Serves == shot.MainLabel && p.Role != finding.RoleBlack && p.Role != finding.RoleNet && p.Role != finding.RoleCameraShade
		}
		panel--
	}
	return false
}

// trims returns the key levels at distances around the one chosen, everything else as it stands.
func (a *Arrangement) trims(ctx context.Context) []TrimStep {
	if a.key == nil {
		return nil
	}
	pieces := a.Pieces[a.key.first : a.key.first+a.key.count]
	kept := make([]Piece, len(pieces))
	for i, p := range pieces {
		kept[i] = *p
	}
	defer func() {
		for i, p := range pieces {
			*p = kept[i]
		}
		a.light()
	}()
	var laid layout
	t := a.key.array
	chosen := t.r
	far := math.Max(chosen, math.Min(chosen*trimFar, scene.FarM))
	near := chosen * trimNear
	out := make([]TrimStep, 0, trimSteps)
	for i := range trimSteps {
		if ctx.Err() != nil {
			return nil
		}
		t.r = near + (chosen-near)*float64(i)/2
		if i > 2 {
			t.r = chosen + (far-chosen)*float64(i-2)/2
		}
		t.layOut(&a.key.to, towardDriver(a.Setup), &laid)
		for k, p := range pieces {
			switch {
			case k == laid.n: // the diffuser comes last
				p.panel.Corners = laid.diffuser.Corners()
			case p.Lamp != nil:
				l := laid.lamps[k]
				p.Lamp = &l
			default:
				p.panel.Corners = laid.rects[k].Corners()
			}
		}
		key, fill, _ := a.FaceLevels(a.Light.Stage.Mid)
		out = append(out, TrimStep{
			DistanceM: t.r, KeyLx: key, KeyStops: a.Light.Stops(key),
			ContrastStops: light.Stops(math.Max(key, scene.DarkestLx), math.Max(fill, scene.DarkestLx)),
		})
	}
	return out
}

// reaims returns after how many minutes the key face has lost half a stop at the middle or a corner of the zone, the
// reflectors left as they are aimed in mid-window; the window's length where it has not while the sun can be counted on.
// Nil where nothing is aimed at the sun.
func (a *Arrangement) reaims(ctx context.Context) *float64 {
	if a.key == nil || a.key.role != finding.RoleReflector || !a.key.array.of.specular() || a.Light.Driver < 0 || len(a.Light.Directions) < 2 {
		return nil
	}
	length := a.Light.Window.To.Sub(a.Light.Window.From)
	hard := append([]light.Hard(nil), a.Light.Hard...)
	levels := func(way geom.Vec) (out [9]float64) {
		hard[a.Light.Driver].Dir = way
		a.open(hard)
		a.lit.Set(&a.scene)
		for i := range out {
			p := a.Light.Stage.Mid
			if i < 8 {
				p = a.key.to.corner(i)
			}
			out[i] = a.level(p, a.Light.Key)
		}
		return out
	}
	start := levels(a.Light.Hard[a.Light.Driver].Dir)
	defer a.light()
	lost := func(after time.Duration) bool {
		now := levels(a.Light.Direction(a.Light.At.Add(after)))
		for i := range now {
			if now[i] < reaimShare*start[i] {
				return true
			}
		}
		return false
	}
	half := min(length/2, a.Light.Until().Sub(a.Light.At))
	minutes := length.Minutes()
	if lost(half) {
		lo, hi := time.Duration(0), half
		for range reaimHalvings {
			if ctx.Err() != nil {
				return nil
			}
			if m := (lo + hi) / 2; lost(m) {
				hi = m
			} else {
				lo = m
			}
		}
		minutes = lo.Minutes()
	}
	return &minutes
}

// Levels is the light on the subject at the zone's centre in mid-window: on the key face, the fill face and the back
// face (hair and shoulders), as package light has them.
type Levels struct {
	At                    time.Time
	KeyLx, FillLx, BackLx float64
	KeyStops              float64 // key against the background's reference
	ContrastStops         float64 // key over fill
	SoftnessDeg           float64 // apparent size of the largest piece or source that lights the subject
	// KeySoftnessDeg is the apparent size, from the key face, of what gives it most light, and KeyFrom what that is.
	KeySoftnessDeg  float64
	KeyFrom         finding.LightFrom
	KeyShiftMired   *float64 // by how much the key is warmer than the sun; nil where nothing on its way shifts it
	UniformityStops float64  // spread of the key face's level over the zone, see [Arrangement.Spread]
	OtherZones      []ZoneLevels
}

// ZoneLevels is the light on the key face at the centre of a further zone.
type ZoneLevels struct {
	Label           string
	KeyLx, KeyStops float64
	UniformityStops float64
}

// TrimStep is the key level and the contrast with the key reflectors or lamps moved to a distance: metres on the ground from the
// zone's middle to theirs.
type TrimStep struct {
	DistanceM       float64
	KeyLx, KeyStops float64
	ContrastStops   float64
}
