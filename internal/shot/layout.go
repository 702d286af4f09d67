package shot

import "kitspan/internal/geom"

// The set as its camera has it: lengths in metres in [geom.Axes], the origin on the ground under the middle of the main zone.

// Axes returns the camera's axes.
func (s *Shot) Axes() geom.Axes { return geom.AxesAlong(s.Camera.BearingDeg) }

// View returns what the lens sees: width and height of the picture are those across the axis at the point aimed at.
func (s *Shot) View() geom.View {
	eye, aim := geom.Vec{Y: -s.Framing.DistanceM, Z: s.Camera.HeightM}, geom.Vec{Z: s.Camera.AimHeightM}
	reach := 2 * aim.Sub(eye).Len()
	return geom.Look(eye, aim, s.Framing.WidthM/reach, s.Framing.WidthM/(reach*s.Framing.AspectRatio))
}

// Box returns the main zone.
func (z Zone) Box() geom.Box {
	return upright(geom.Vec{}, z.WidthM, z.DepthM, z.BaseM, z.TopM)
}

// Box returns a further zone in a camera's axes, along which its sides run.
func (z OtherZone) Box(axes geom.Axes) geom.Box {
	return upright(axes.FromWorld(geom.Vec{X: z.CenterX, Y: z.CenterY}), z.WidthM, z.DepthM, z.BaseM, z.TopM)
}

// upright is the box about a middle in plan.
func upright(center geom.Vec, widthM, depthM, baseM, topM float64) geom.Box {
	return geom.Box{
		Mid:  geom.Vec{X: center.X, Y: center.Y, Z: (baseM + topM) / 2},
		Half: geom.Vec{X: widthM / 2, Y: depthM / 2, Z: (topM - baseM) / 2},
	}
}

// bounds returns the main zone with base and top just as they were given, so that zones that stand flush do not overlap.
func (z Zone) bounds() geom.Bounds { return withHeights(z.Box(), z.BaseM, z.TopM) }

// bounds returns a further zone likewise, in a camera's axes.
func (z OtherZone) bounds(axes geom.Axes) geom.Bounds {
	return withHeights(z.Box(axes), z.BaseM, z.TopM)
}

func withHeights(box geom.Box, baseM, topM float64) geom.Bounds {
	b := box.Bounds()
	b.Low.Z, b.High.Z = baseM, topM
	return b
}
