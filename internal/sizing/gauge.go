package sizing

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
	// trimSteps is at how many distances the key is told (the issue of the table: a person on set trims by walking).
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
func (a *arranged) measure(ctx context.Context, pl *lightPlanner) {
	if ctx.Err() != nil {
		return
	}
	st := a.sc.St
	key, fill, back := a.faces(st.Mid)
	a.levels = Levels{
		At: a.sc.At, KeyLx: key, FillLx: fill, BackLx: back, KeyStops: a.sc.Stops(key),
		ContrastStops:   light.Stops(math.Max(key, scene.DarkestLx), math.Max(fill, scene.DarkestLx)),
		UniformityStops: a.spread(ctx, st.Mid, st.Half), SoftnessDeg: a.softness(st.Mid),
		OtherZones: []ZoneLevels{},
	}
	for i := range pl.shot.OtherZones {
		if ctx.Err() != nil {
			return
		}
		z := &a.zones[i+1]
		lx := a.level(z.Mid, a.sc.Key)
		a.levels.OtherZones = append(a.levels.OtherZones, ZoneLevels{
			Label: pl.shot.OtherZones[i].Label, KeyLx: lx, KeyStops: a.sc.Stops(lx), UniformityStops: a.spread(ctx, z.Mid, z.Half),
		})
	}
	a.trim = a.trims(ctx)
	a.reaim = a.reaims(ctx)
}

// softness is the apparent size of the largest piece, or else hard source, that lights the subject; light must be up to date.
func (a *arranged) softness(at geom.Vec) float64 {
	deg := 0.0
	for i := range a.scene.Panels {
		if a.gives(i) {
			deg = math.Max(deg, a.lit.SourceDeg(at, i))
		}
	}
	if deg > 0 {
		return deg
	}
	if a.sc.SkyLx > 0 && len(a.sc.Hard) == 0 {
		return 180 // the sky is all there is
	}
	for i := range a.sc.Hard {
		deg = math.Max(deg, 2*a.sc.Hard[i].RadiusDeg)
	}
	return deg
}

// gives says whether a panel of the scene is there to give light: overheads, reflectors, veils and fills for the main
// zone.
func (a *arranged) gives(panel int) bool {
	if panel < len(a.choices) {
		return true
	}
	panel -= len(a.choices)
	for _, p := range a.pieces {
		if p.lamp != nil {
			continue
		}
		if panel == 0 {
			return p.serves == shot.MainLabel && p.role != finding.RoleBlack && p.role != finding.RoleNet && p.role != finding.RoleCameraShade
		}
		panel--
	}
	return false
}

// trims are the key levels at distances around the one chosen, everything else as it stands.
func (a *arranged) trims(ctx context.Context) []TrimStep {
	if a.key == nil {
		return nil
	}
	pieces := a.pieces[a.key.first : a.key.first+a.key.count]
	kept := make([]piece, len(pieces))
	for i, p := range pieces {
		kept[i] = *p
	}
	defer func() {
		for i, p := range pieces {
			*p = kept[i]
		}
		a.light()
	}()
	var laid placing
	t := a.key.train
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
		t.lay(&a.key.to, a.toward(), &laid)
		for k, p := range pieces {
			switch {
			case k == laid.n: // the veil comes last
				p.panel.Corners = laid.veil.Corners()
			case p.lamp != nil:
				l := laid.lamps[k]
				p.lamp = &l
			default:
				p.panel.Corners = laid.rects[k].Corners()
			}
		}
		key, fill, _ := a.faces(a.sc.St.Mid)
		out = append(out, TrimStep{
			DistanceM: t.r, KeyLx: key, KeyStops: a.sc.Stops(key),
			ContrastStops: light.Stops(math.Max(key, scene.DarkestLx), math.Max(fill, scene.DarkestLx)),
		})
	}
	return out
}

// reaims is after how many minutes the key face has lost half a stop at the middle or a corner of the zone, the
// reflectors left as they are aimed in mid-window; the window's length where it has not while the sun can be counted on.
// Nil where nothing is aimed at the sun.
func (a *arranged) reaims(ctx context.Context) *float64 {
	if a.key == nil || a.key.role != finding.RoleReflector || !a.key.train.of.specular() || a.sc.Driver < 0 || len(a.sc.Directions) < 2 {
		return nil
	}
	length := a.sc.Window.To.Sub(a.sc.Window.From)
	hard := append([]light.Hard(nil), a.sc.Hard...)
	levels := func(way geom.Vec) (out [9]float64) {
		hard[a.sc.Driver].Dir = way
		a.open(hard)
		a.lit.Set(&a.scene)
		for i := range out {
			p := a.sc.St.Mid
			if i < 8 {
				p = a.key.to.corner(i)
			}
			out[i] = a.level(p, a.sc.Key)
		}
		return out
	}
	start := levels(a.sc.Hard[a.sc.Driver].Dir)
	defer a.light()
	lost := func(after time.Duration) bool {
		now := levels(a.sc.Direction(a.sc.At.Add(after)))
		for i := range now {
			if now[i] < reaimShare*start[i] {
				return true
			}
		}
		return false
	}
	half := min(length/2, a.sc.Until().Sub(a.sc.At))
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
	UniformityStops       float64 // spread of the key face's level over the zone
	OtherZones            []ZoneLevels
}

// ZoneLevels is the light on the key face at the centre of a further zone.
type ZoneLevels struct {
	Label           string
	KeyLx, KeyStops float64
	UniformityStops float64
}

// TrimStep is what moving the key reflectors or lamps to a distance (metres on the ground from the zone's middle to
// theirs) makes of the key level.
type TrimStep struct {
	DistanceM       float64
	KeyLx, KeyStops float64
	ContrastStops   float64
}
