package sizing

import (
	"math"
	"slices"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// softGrounds give way under a foot or a wheel (common practice, no source); by the water it is the bank.
var softGrounds = []string{"grass", "soil", "sand", "snow", "water"}

// advice returns a gaffer's remarks on the ground, further zones, the sun and the lamps before any kit: that one is in the picture or in front, or
// none of it is, and what to do.
func advice(pl *planner, st *scene.Stage, list []*scene.Source) []finding.Note {
	var notes []finding.Note
	if slices.Contains(softGrounds, pl.shot.Site.Ground) {
		notes = append(notes, finding.SoftGround{Ground: pl.shot.Site.Ground})
	}
	for i := range st.Others {
		if !st.Sees(&st.Others[i]) {
			notes = append(notes, finding.ZoneUnseen{Zone: pl.shot.OtherZones[i].Label})
		}
	}
	for _, src := range list {
		if src.Lamp != nil {
			dir := geom.Toward(src.Moments[0].AzimuthDeg-pl.shot.Camera.BearingDeg, src.Moments[0].ElevationDeg)
			if src.Near() {
				dir = st.FromWorld(*src.Lamp.Position).Sub(st.View.Eye)
			}
			if st.View.SeesDisc(dir, src.RadiusDeg) {
				notes = append(notes, finding.LampInView{Lamp: src.Label})
			}
			continue
		}
		if n := sunAdvice(pl, st, src); n != nil {
			notes = append(notes, n)
		}
	}
	return notes
}

// backgroundApart notes that the two models of a background which nobody has read are far apart.
func backgroundApart(pl *planner, sc *scene.Light) []finding.Note {
	bg, b := &pl.shot.Background, &sc.Background
	if bg.EV100 != nil || bg.Faces == shot.FacesSky || math.Abs(b.Apart()) <= scene.BothStops {
		return nil
	}
	n := finding.BackgroundApart{Faces: bg.Faces, UprightLx: b.UprightLx, LevelLx: b.LevelLx, ApartStops: b.Apart()}
	n.UprightEV100, n.LevelEV100 = b.BothEV100()
	return []finding.Note{n}
}

// sunAdvice returns what to do about the sun; nil for nothing.
func sunAdvice(pl *planner, st *scene.Stage, sun *scene.Source) finding.Note {
	seen, front, up := 0, 0, 0
	for _, m := range sun.Moments {
		if m.Lux <= 0 {
			continue
		}
		up++
		dir := geom.Toward(m.AzimuthDeg-pl.shot.Camera.BearingDeg, m.ElevationDeg)
		if st.View.SeesDisc(dir, sun.RadiusDeg) {
			seen++
		}
		if dir.Y < 0 {
			front++
		}
	}
	switch {
	case up == 0:
		if sun.Moments[0].ElevationDeg <= 0 || sun.Moments[len(sun.Moments)-1].ElevationDeg <= 0 {
			return finding.SunDown{}
		}
		return finding.NoDirectSun{}
	case seen > 0:
		n := finding.SunInView{PartOfWindow: seen < up}
		if turn := turnOut(pl, st, sun); turn != 0 {
			n.TurnDeg, n.Side = math.Abs(turn), finding.SideOf(turn)
		}
		if at, ok := leaves(pl, st, sun); ok {
			at = at.In(pl.zone)
			n.Until = &at
		}
		return n
	case front > up/2:
		m := sun.Moments[len(sun.Moments)/2]
		turn := math.Remainder(m.AzimuthDeg-pl.shot.Camera.BearingDeg, 360)
		return finding.SunInFront{TurnDeg: math.Abs(turn), Side: finding.SideOf(turn)}
	}
	return nil
}

// turnOut returns the least turn of the lens in whole degrees, positive to the right, after which the sun stays out of the
// picture all through the window; 0 where no turn does.
func turnOut(pl *planner, st *scene.Stage, sun *scene.Source) float64 {
	clear := func(turn float64) bool {
		for _, m := range sun.Moments {
			if m.Lux > 0 && st.View.SeesDisc(geom.Toward(m.AzimuthDeg-pl.shot.Camera.BearingDeg-turn, m.ElevationDeg), sun.RadiusDeg) {
				return false
			}
		}
		return true
	}
	for turn := 1.0; turn <= 180; turn++ {
		if clear(turn) {
			return turn
		}
		if clear(-turn) {
			return -turn
		}
	}
	return 0
}

// leaves returns the first minute, from the window's start to a day later, from which the sun is up and out of the picture for
// as long as the window is long.
func leaves(pl *planner, st *scene.Stage, sun *scene.Source) (time.Time, bool) {
	w := pl.shot.Window
	k := scene.NewSky(pl.shot, w.From, w.From.Add(24*time.Hour))
	length := w.To.Sub(w.From)
	var since time.Time
	for t := w.From; t.Before(w.From.Add(24 * time.Hour)); t = t.Add(time.Minute) {
		p, d := k.At(t)
		if d.BeamNormalLx <= 0 {
			since = time.Time{}
			if t.After(w.To) {
				return since, false // it set before it came out
			}
			continue
		}
		if st.View.SeesDisc(geom.Toward(p.AzimuthDeg-pl.shot.Camera.BearingDeg, p.ElevationDeg), sun.RadiusDeg) {
			since = time.Time{}
			continue
		}
		if since.IsZero() {
			since = t
		}
		if t.Sub(since) >= length {
			return since, true
		}
	}
	return time.Time{}, false
}
