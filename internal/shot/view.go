package shot

import (
	"math"

	"kitspan/internal/fault"
	"kitspan/internal/geom"
)

// Ranges of camera, framing and zone, all common practice, no source: the widest picture is that of a long-lens wide
// shot with the largest machines at hand, the nearest lens that of a macro, and 60 m the reach of a tall machine.
var (
	bearingBound      = bound{lo: -360, hi: 360, unit: "degrees clockwise from true north"}
	cameraHeightBound = bound{lo: 0, hi: 60, open: true, unit: "m above the ground"}
	aimHeightBound    = bound{lo: 0, hi: 60, unit: "m above the ground"}
	widthBound        = bound{lo: 0, hi: MaxWidthM, open: true, unit: "m"}
	distanceBound     = bound{lo: minDistanceM, hi: 500, unit: "m"}
	aspectBound       = bound{lo: 0.2, hi: 5, unit: "(width over height)"}
	focalBound        = bound{lo: 1, hi: 10000, unit: "mm"}
	sensorBound       = bound{lo: 1, hi: 1000, unit: "mm"}
	baseBound         = bound{lo: 0, hi: 60, unit: "m above the ground"}
	topBound          = bound{lo: 0, hi: 60, open: true, unit: "m above the ground"}
)

const (
	// minDistanceM keeps the lens off the aim point, where a direction of view stops to exist.
	minDistanceM = 0.01

	defaultCameraHeightM = 1.5
	defaultAspectRatio   = 1.7778
	defaultZoneDepthM    = 1.0
	standingHeadM        = 1.85 // top of a standing head: common practice, no source
)

// resolvedView is the picture and its zone. The flags say which parts can be relied on: a part that has a fault
// must not raise others.
type resolvedView struct {
	camera  Camera
	framing Framing
	zone    Zone
	walk    geom.Vec

	okBearing, okZone bool
}

// resolveView reads camera, framing and zone, which lean on each other: a default aim leans on the zone, the width of a lens
// and sensor on the aim, a default zone on the view.
func resolveView(r *resolver, dc DraftCamera, df DraftFraming, dz DraftZone) resolvedView {
	var v resolvedView
	var okHeight, okAim, okWidth, okDistance, okAspect bool
	v.camera.BearingDeg, v.okBearing = r.needed("/shot/camera/bearing_deg", dc.BearingDeg, bearingBound)
	v.camera.BearingDeg = compass(v.camera.BearingDeg)
	v.camera.HeightM, okHeight = r.number("/shot/camera/height_m", dc.HeightM, defaultCameraHeightM, cameraHeightBound)
	aim := v.camera.HeightM // a level lens
	okAim = okHeight
	if dz.BaseM != nil && dz.TopM != nil {
		aim = (*dz.BaseM + *dz.TopM) / 2
		okAim = baseBound.holds(*dz.BaseM) && topBound.holds(*dz.TopM)
	}
	if dc.AimHeightM != nil {
		aim, okAim = r.check("/shot/camera/aim_height_m", *dc.AimHeightM, aimHeightBound)
	}
	v.camera.AimHeightM = aim

	v.framing.WidthM, okWidth = givenWidth(r, df)
	v.framing.DistanceM, okDistance = r.needed("/shot/framing/distance_m", df.DistanceM, distanceBound)
	v.framing.AspectRatio, okAspect = r.number("/shot/framing/aspect_ratio", df.AspectRatio, defaultAspectRatio, aspectBound)
	if sensor, focal, ok := resolveLens(r, df); ok && okHeight && okAim && okDistance {
		v.framing.WidthM, okWidth = lensWidth(r, v.axisLength(), sensor, focal)
	}

	v.zone, v.okZone = resolveZone(r, dz, v, okWidth, okWidth && okHeight && okAim && okDistance && okAspect)
	return v
}

// heightIn is a height, nil where the view has no end.
func heightIn(m float64) *float64 {
	if math.IsInf(m, 0) {
		return nil
	}
	return &m
}

// lensMembers are what says the shot width in place of width_m.
var lensMembers = []string{"focal_length_mm", "sensor_width_mm"}

// givenWidth reads the shot width where it is said; where neither it nor a lens is, that is the fault. ok is false
// where the lens has to give it.
func givenWidth(r *resolver, df DraftFraming) (widthM float64, ok bool) {
	const at = "/shot/framing/width_m"
	switch {
	case df.WidthM != nil:
		return r.check(at, *df.WidthM, widthBound)
	case df.FocalLengthMM == nil && df.SensorWidthMM == nil:
		want := widthBound.asked()
		r.fault(at, fault.Missing{Want: fault.WantNumber, Range: &want, Instead: lensMembers})
	}
	return 0, false
}

// resolveLens reads focal length and sensor width. ok is false where they do not set the shot width, or are wrong.
func resolveLens(r *resolver, df DraftFraming) (sensorMM, focalMM float64, ok bool) {
	const atFocal, atSensor = "/shot/framing/focal_length_mm", "/shot/framing/sensor_width_mm"
	if df.FocalLengthMM == nil && df.SensorWidthMM == nil {
		return 0, 0, false
	}
	if df.WidthM != nil {
		at := atFocal
		if df.FocalLengthMM == nil {
			at = atSensor
		}
		r.fault(at, fault.BothGiven{Beside: []string{"width_m"}, Sets: [][]string{{"width_m"}, lensMembers}})
		return 0, 0, false
	}
	focalMM, okFocal := r.needed(atFocal, df.FocalLengthMM, focalBound)
	sensorMM, okSensor := r.needed(atSensor, df.SensorWidthMM, sensorBound)
	return sensorMM, focalMM, okFocal && okSensor
}

// lensWidth is the shot width that a lens gives: D · sensor / focal, with D from the lens to the aim point.
func lensWidth(r *resolver, axisM, sensorMM, focalMM float64) (widthM float64, ok bool) {
	widthM = axisM * sensorMM / focalMM
	if !widthBound.holds(widthM) {
		r.fault("/shot/framing/focal_length_mm", fault.ViewTooWide{
			FocalMM: focalMM, WidthM: widthM, MostM: widthBound.hi, LeastFocalMM: math.Ceil(10*axisM*sensorMM/widthBound.hi) / 10,
		})
		return 0, false
	}
	return widthM, true
}

// axisLength is D: from the lens to the aim point.
func (v resolvedView) axisLength() float64 {
	return math.Hypot(v.framing.DistanceM, v.camera.AimHeightM-v.camera.HeightM)
}

// heightsAtOrigin are the bottom and the top of the view on the vertical line above the origin, in metres above the
// ground. With the axis at slope p and the half-angle's tangent q the edges rise at (p ± q)/(1 ∓ p·q), the tangent of
// a sum; an edge at or past the vertical has no end there.
func (v resolvedView) heightsAtOrigin() (bottom, top float64) {
	h, d := v.camera.HeightM, v.framing.DistanceM
	p := (v.camera.AimHeightM - h) / d
	q := v.framing.WidthM / (2 * v.axisLength() * v.framing.AspectRatio)
	bottom, top = math.Inf(-1), math.Inf(1)
	if den := 1 - p*q; den > 0 {
		top = h + d*(p+q)/den
	}
	if den := 1 + p*q; den > 0 {
		bottom = h + d*(p-q)/den
	}
	return bottom, top
}

// resolveZone reads the box to be lit. Edges left out come from the view, where that is known.
func resolveZone(r *resolver, d DraftZone, v resolvedView, okWidth, okView bool) (Zone, bool) {
	const atTop = "/shot/zone/top_m"
	z := Zone{WidthM: v.framing.WidthM}
	okBase, okTop := true, true
	if d.WidthM != nil {
		z.WidthM, okWidth = r.check("/shot/zone/width_m", *d.WidthM, widthBound)
	}
	var okDepth bool
	z.DepthM, okDepth = r.number("/shot/zone/depth_m", d.DepthM, defaultZoneDepthM, widthBound)
	if d.BaseM != nil {
		z.BaseM, okBase = r.check("/shot/zone/base_m", *d.BaseM, baseBound)
	}
	if d.TopM != nil {
		z.TopM, okTop = r.check(atTop, *d.TopM, topBound)
	}
	if !okBase || !okTop || (d.BaseM == nil || d.TopM == nil) && !okView {
		return z, false
	}
	bottom, top := 0.0, 0.0
	if okView {
		bottom, top = v.heightsAtOrigin()
	}
	if d.BaseM == nil {
		z.BaseM = math.Max(0, bottom)
	}
	if d.TopM == nil {
		z.TopM = math.Min(standingHeadM, top)
	}
	if z.BaseM < z.TopM {
		return z, okWidth && okDepth
	}
	switch {
	case d.BaseM != nil && d.TopM != nil:
		r.fault(atTop, fault.TopNotAboveBase{TopM: z.TopM, BaseM: z.BaseM, MostM: topBound.hi})
	case d.TopM != nil:
		r.fault(atTop, fault.TopNotAboveBase{TopM: z.TopM, BaseM: z.BaseM, Defaulted: "base_m", MostM: topBound.hi})
	case d.BaseM != nil:
		r.fault(atTop, fault.TopNotAboveBase{TopM: z.TopM, BaseM: z.BaseM, Defaulted: "top_m", MostM: topBound.hi})
	default:
		r.fault(atTop, fault.NobodyInView{BottomM: heightIn(bottom), TopM: heightIn(top), HeadM: standingHeadM})
	}
	return z, false
}
