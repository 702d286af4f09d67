package lighting

import (
	"math"

	"kitspan/internal/geom"
)

// nearest returns a distance under which an array in its direction would stand in the picture, among the people or, where it
// throws a beam, leave the ends of the zone without: what is tried starts there.
func (q *lightSearch) nearest(t *array) float64 {
	to, st := q.to, q.s.Light.Stage
	sin, cos := math.Sincos(t.phi * math.Pi / 180)
	// The zone's reach in that direction, and half its width square to it.
	keep := sin*to.half.X + math.Abs(cos)*to.half.Y + stepOffM
	across := math.Abs(cos)*to.half.X + sin*to.half.Y
	r := keep
	span, beam := t.span()
	if t.diffuser != nil {
		span = t.diffuser.sheet.HalfU
	}
	// Out of the picture to the side, or behind the lens. A sheet stands slanted to its row: half its span is counted.
	h := span / 2
	x, ahead := to.side*to.mid.X, to.mid.Y-st.View.Eye.Y
	side := (st.View.TanX*(ahead-h*sin) + h*cos + st.ViewM - x) / (sin + st.View.TanX*cos)
	if cos > 0 {
		side = math.Min(side, (ahead-h*sin)/cos)
	}
	r = math.Max(r, side)
	if q.even && t.diffuser == nil && t.of.lamp == nil && t.of.specular() {
		spread := math.Tan((t.of.front.LobeDeg + 0.3) * math.Pi / 180)
		if gap := across - beam; gap > 0 {
			r = math.Max(r, gap/spread)
		}
	}
	return r
}

// span returns half the length of an array's row, and half the width of the beam that it throws close by.
func (t *array) span() (row, beam float64) {
	sh := t.of.sheet
	if t.turned {
		sh = sh.Turned()
	}
	n := float64(t.n)
	if t.of.lamp != nil {
		return (n - 1) / 2 * lampPitchM, 0
	}
	pitch := 2*sh.OutU + stands[0].gapM
	return (n-1)/2*pitch + sh.OutU, (n-1)/2*pitch + math.Hypot(sh.OutU, sh.OutV)
}

// ceiling returns a level that an array cannot beat at its distance: what it adds to a face square to it or, of one that takes
// light away, what it can hide.
func (q *lightSearch) ceiling(t *array) float64 {
	sc := q.s.Light
	r := t.r
	near := math.Max(r-t.of.sheet.OutU, r/2)
	whole := 0.0 // all hard light, square on
	for i := range sc.Hard {
		h := &sc.Hard[i]
		lux := h.NormalLx
		if h.At != nil {
			d := h.At.Sub(q.to.mid).Len() - r
			if d < 1 {
				return math.Inf(1)
			}
			lux = h.IntensityCd / (d * d)
		}
		whole += lux
	}
	n := float64(t.n)
	seen := func(area, at float64) float64 { return math.Min(1, area/(math.Pi*at*at)) }
	if q.dims {
		up := 0.0
		for i := range sc.Hard {
			h := &sc.Hard[i]
			if h.At != nil { // nowhere more than straight below it
				up += h.IntensityCd / math.Max(h.At.Z*h.At.Z, 1e-6)
				continue
			}
			up += math.Max(0, h.Dir.Z) * h.NormalLx
		}
		return math.Max(sc.SkyLx, sc.GroundReflectance*(sc.SkyLx+up)) * seen(n*t.of.areaM2, near) * dimSlack
	}
	if t.of.lamp != nil {
		if t.diffuser == nil {
			return n * t.of.lamp.IntensityCd / (near * near)
		}
		back := t.back()
		onDiffuser := n * t.of.lamp.IntensityCd / (back * back)
		pass := t.diffuser.fabric.Transmittance
		return pass*onDiffuser*seen(t.diffuser.areaM2, r) + pass*t.diffuser.fabric.BeamShare*n*t.of.lamp.IntensityCd/((r+back)*(r+back))
	}
	f := &t.of.front
	driver := 0.0
	if sc.Driver >= 0 {
		driver = whole
	}
	spread := near * math.Tan(f.LobeDeg*math.Pi/180)
	if t.diffuser != nil {
		spread = 0
	}
	beam := f.Specular * driver * n * math.Min(1, t.of.areaM2/(math.Pi*spread*spread+1e-9))
	glow := f.Diffuse*whole + (f.Diffuse+f.Specular)*sc.SkyLx
	if t.diffuser == nil {
		return beam + glow*seen(n*t.of.areaM2, near)
	}
	pass := t.diffuser.fabric.Transmittance
	return pass * ((beam+glow)*seen(t.diffuser.areaM2, r) + t.diffuser.fabric.BeamShare*beam)
}

// dimSlack covers what a panel takes by its shadow on the ground beside what it hides.
const dimSlack = 1.5

// flows reports whether the beams of an array carry enough light at all to give the middle of the zone the level that is
// missing and its corners beamShare of that: a beam that falls off evenly to all sides has then at least meanShare of it over the
// whole zone.
func (q *lightSearch) flows(t *array) bool {
	if !q.even || t.diffuser != nil || t.of.lamp != nil || !t.of.specular() || q.s.Light.Driver < 0 {
		return true
	}
	h := &q.s.Light.Hard[q.s.Light.Driver]
	if h.At != nil {
		return true
	}
	sin, cos := math.Sincos(t.phi * math.Pi / 180)
	dir := geom.Vec{X: q.to.side * sin, Y: -cos}
	half := h.Dir.Sub(dir) // twice the cosine of incidence on a sheet that sends the light back along dir
	flux := float64(t.n) * t.of.areaM2 * (t.of.front.Specular + t.of.front.Diffuse) * h.NormalLx * half.Len() / 2
	missing := q.least - q.have
	across := math.Abs(cos)*q.to.half.X + sin*q.to.half.Y
	facing := math.Max(0.1, dir.Dot(q.to.face))
	return flux*facing >= meanShare*missing*4*across*q.to.half.Z
}

// meanShare is a share of the middle's level that the mean over the zone is not under where the corners have a quarter
// of it and the middles of the sides a half.
const meanShare = 0.5
