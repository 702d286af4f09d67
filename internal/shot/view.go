package shot

import "math"

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

// resolvedView is the picture and its zone. The flags say which parts can be reckoned with: a part that has a fault
// must not raise others.
type resolvedView struct {
	camera  Camera
	framing Framing
	zone    Zone

	okBearing, okZone bool
}

// view reads camera, framing and zone, which lean on each other: an unsaid aim leans on the zone, the width of a lens
// and sensor on the aim, an unsaid zone on the view.
func (r *resolver) view(dc DraftCamera, df DraftFraming, dz DraftZone) resolvedView {
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

	v.framing.WidthM, okWidth = r.givenWidth(df)
	v.framing.DistanceM, okDistance = r.needed("/shot/framing/distance_m", df.DistanceM, distanceBound)
	v.framing.AspectRatio, okAspect = r.number("/shot/framing/aspect_ratio", df.AspectRatio, defaultAspectRatio, aspectBound)
	if sensor, focal, ok := r.lens(df); ok && okHeight && okAim && okDistance {
		v.framing.WidthM, okWidth = r.lensWidth(v.axisLength(), sensor, focal)
	}

	v.zone, v.okZone = r.zone(dz, v, okWidth, okWidth && okHeight && okAim && okDistance && okAspect)
	return v
}

// givenWidth reads the shot width where it is said; where neither it nor a lens is, that is the fault. ok is false
// where the lens has to give it.
func (r *resolver) givenWidth(df DraftFraming) (widthM float64, ok bool) {
	const at = "/shot/framing/width_m"
	switch {
	case df.WidthM != nil:
		return r.check(at, *df.WidthM, widthBound)
	case df.FocalLengthMM == nil && df.SensorWidthMM == nil:
		r.fault(at, "width_m is missing; give %s, or focal_length_mm with sensor_width_mm", widthBound)
	}
	return 0, false
}

// lens reads focal length and sensor width. ok is false where they do not set the shot width, or are wrong.
func (r *resolver) lens(df DraftFraming) (sensorMM, focalMM float64, ok bool) {
	const atFocal, atSensor = "/shot/framing/focal_length_mm", "/shot/framing/sensor_width_mm"
	if df.FocalLengthMM == nil && df.SensorWidthMM == nil {
		return 0, 0, false
	}
	if df.WidthM != nil {
		at := atFocal
		if df.FocalLengthMM == nil {
			at = atSensor
		}
		r.fault(at, "%s is given beside width_m; give width_m alone, or focal_length_mm with sensor_width_mm", field(at))
		return 0, 0, false
	}
	focalMM, okFocal := r.needed(atFocal, df.FocalLengthMM, focalBound)
	sensorMM, okSensor := r.needed(atSensor, df.SensorWidthMM, sensorBound)
	return sensorMM, focalMM, okFocal && okSensor
}

// lensWidth is the shot width that a lens gives: D · sensor / focal, with D from the lens to the aim point.
func (r *resolver) lensWidth(axisM, sensorMM, focalMM float64) (widthM float64, ok bool) {
	widthM = axisM * sensorMM / focalMM
	if !widthBound.holds(widthM) {
		r.fault("/shot/framing/focal_length_mm", "focal_length_mm is %s, which shows %.1f m at the subject, wider than %s m; "+
			"give at least %.1f mm, or a shorter distance_m",
			decimal(focalMM), widthM, decimal(widthBound.hi), math.Ceil(10*axisM*sensorMM/widthBound.hi)/10)
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

// zone reads the box to be lit. Unsaid edges come from the view, where that is known.
func (r *resolver) zone(d DraftZone, v resolvedView, okWidth, okView bool) (Zone, bool) {
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
		r.fault(atTop, "top_m is %s, not above base_m %s; give a top over that base and at most 60 m",
			decimal(z.TopM), decimal(z.BaseM))
	case d.TopM != nil:
		r.fault(atTop, "top_m is %s, not above the base, which unsaid is the bottom of the view, %.2f m; "+
			"give a top over that, or a base_m from 0 to under the top", decimal(z.TopM), z.BaseM)
	case d.BaseM != nil:
		r.fault(atTop, "top_m is missing and would be %.2f m, the lower of a standing head and the top of the view, "+
			"which is not above base_m %s; give a top over that base and at most 60 m", z.TopM, decimal(z.BaseM))
	default:
		r.fault(atTop, "the view above the origin, from %.2f to %.2f m, shows nothing between the ground and a standing "+
			"head of %.2f m; give base_m and top_m of what is to be lit, or another aim_height_m", bottom, top, standingHeadM)
	}
	return z, false
}
