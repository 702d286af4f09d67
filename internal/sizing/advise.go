package sizing

import (
	"math"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
)

// advice is what a gaffer would say of the sun before any kit: that it is in the picture or in front, and what to do.
func (e *engine) advice(st *stage, list []*source) []finding.Note {
	var notes []finding.Note
	for _, src := range list {
		if src.lamp != nil {
			dir := geom.Toward(src.moments[0].az-e.shot.Camera.BearingDeg, src.moments[0].el)
			if src.near() {
				dir = st.fromWorld(*src.lamp.Position).Sub(st.view.Eye)
			}
			if st.view.SeesDisc(dir, src.radiusDeg) {
				notes = append(notes, finding.LampInView{Lamp: src.label})
			}
			continue
		}
		if n := e.sunAdvice(st, src); n != nil {
			notes = append(notes, n)
		}
	}
	return notes
}

// sunAdvice is what to do about the sun; nil for nothing.
func (e *engine) sunAdvice(st *stage, sun *source) finding.Note {
	seen, front, up := 0, 0, 0
	for _, m := range sun.moments {
		if m.lux <= 0 {
			continue
		}
		up++
		dir := geom.Toward(m.az-e.shot.Camera.BearingDeg, m.el)
		if st.view.SeesDisc(dir, sun.radiusDeg) {
			seen++
		}
		if dir.Y < 0 {
			front++
		}
	}
	switch {
	case up == 0:
		if sun.moments[0].el <= 0 || sun.moments[len(sun.moments)-1].el <= 0 {
			return finding.SunDown{}
		}
		return finding.NoDirectSun{}
	case seen > 0:
		n := finding.SunInView{PartOfWindow: seen < up}
		if turn := e.turnOut(st, sun); turn != 0 {
			n.TurnDeg, n.Side = math.Abs(turn), finding.SideOf(turn)
		}
		if at, ok := e.leaves(st, sun); ok {
			at = at.In(e.zone)
			n.Until = &at
		}
		return n
	case front > up/2:
		m := sun.moments[len(sun.moments)/2]
		turn := math.Remainder(m.az-e.shot.Camera.BearingDeg, 360)
		return finding.SunInFront{TurnDeg: math.Abs(turn), Side: finding.SideOf(turn)}
	}
	return nil
}

// turnOut is the least turn of the lens in whole degrees, positive to the right, after which the sun stays out of the
// picture all through the window; 0 where no turn does.
func (e *engine) turnOut(st *stage, sun *source) float64 {
	clear := func(turn float64) bool {
		for _, m := range sun.moments {
			if m.lux > 0 && st.view.SeesDisc(geom.Toward(m.az-e.shot.Camera.BearingDeg-turn, m.el), sun.radiusDeg) {
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

// leaves is the first minute, from the window's start to a day later, from which the sun is up and out of the picture for
// as long as the window is long.
func (e *engine) leaves(st *stage, sun *source) (time.Time, bool) {
	w := e.shot.Window
	k := newSky(e.shot, w.From, w.From.Add(24*time.Hour))
	length := w.To.Sub(w.From)
	var since time.Time
	for t := w.From; t.Before(w.From.Add(24 * time.Hour)); t = t.Add(time.Minute) {
		p, d := k.at(t)
		if d.BeamNormalLx <= 0 {
			since = time.Time{}
			if t.After(w.To) {
				return since, false // it set before it came out
			}
			continue
		}
		if st.view.SeesDisc(geom.Toward(p.AzimuthDeg-e.shot.Camera.BearingDeg, p.ElevationDeg), sun.radiusDeg) {
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
