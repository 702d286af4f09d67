package light

import "kitspan/internal/geom"

// Scene is everything that gives light or stands in its way.
type Scene struct {
	SkyLx             float64 // on the level, of an isotropic dome
	GroundReflectance float64
	Hard              []Hard
	Panels            []Panel
	Lamps             []Lamp
}

// Hard is a hard source: distant in direction Dir, or at a place.
type Hard struct {
	Dir       geom.Vec // unit, toward the source
	NormalLx  float64  // facing it
	RadiusDeg float64  // angular radius
	// At, where set, is the place of a source of IntensityCd that shines alike all around; Dir and NormalLx do not count.
	At          *geom.Vec
	IntensityCd float64
}

// Panel is a flat rectangle: a cloth on a frame, a board, a mirror.
type Panel struct {
	// Corners are in order around it. Side A looks along (c1 − c0) × (c3 − c0), side B the other way.
	Corners [4]geom.Vec
	A, B    Surface
	// Transmittance is what passes, BeamShare the share of that which stays in the beam.
	Transmittance, BeamShare float64
	// Fed panels are lit by the reflectors and lamps behind them, too.
	Fed bool
	// ShiftMired is by how much what passes is warmer than what arrives.
	ShiftMired float64
}

// Surface is one side of a panel: the shares of the light that it gives back all around and in a beam, the half-angle in degrees by which
// it spreads the beam, and by how many mired what it gives back is warmer than what arrives.
type Surface struct{ Diffuse, Specular, LobeDeg, ShiftMired float64 }

// Lamp is a placed lamp: a point that gives IntensityCd on its axis, and half of it BeamDeg/2 off.
type Lamp struct {
	At, Aim     geom.Vec
	IntensityCd float64
	BeamDeg     float64
}

// Level is the light on a face by the way that it came, in lux.
type Level struct{ Sky, Ground, Direct, Glow, Beam, Lamp float64 }

// Total returns all of it.
func (l Level) Total() float64 { return l.Sky + l.Ground + l.Direct + l.Glow + l.Beam + l.Lamp }
