package text

import (
	"fmt"
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/scene"
	"kitspan/internal/sizing"
)

// How boards and lamps are turned, and on what.

// target is what a board or a lamp works on: the diffuser before it, or the middle of its zone, and its name.
func target(p *printer, v, before *sizing.Piece) (at geom.Vec, name string) {
	if before != nil {
		return middle(before.Corners), "the diffuser"
	}
	if z := zoneOf(p.shot, v); z != nil {
		return geom.Vec{X: z.CenterX, Y: z.CenterY, Z: (z.BaseM + z.TopM) / 2}, z.Label
	}
	return p.shot.Walk.Scale(0.5).Add(geom.Vec{Z: (p.shot.Zone.BaseM + p.shot.Zone.TopM) / 2}), "the subject"
}

const degrees = 180 / math.Pi

// facing says how a board is turned: against the way to what it works on, as seen from the board, and against upright.
func facing(p *printer, v, before *sizing.Piece) string {
	n := v.Faces()
	at, name := target(p, v, before)
	way := at.Sub(middle(v.Corners))
	// Anticlockwise from above is to the left of who looks along.
	turn := math.Round(math.Remainder(math.Atan2(n.Y, n.X)-math.Atan2(way.Y, way.X), 2*math.Pi) * degrees)
	faces := "faces " + name
	switch {
	case math.Hypot(n.X, n.Y) < 0.02: // within a degree of level
		faces = "lies level"
	case turn > 1:
		faces = fmt.Sprintf("faces %.0f° left of %s (seen from the board)", turn, name)
	case turn < -1:
		faces = fmt.Sprintf("faces %.0f° right of %s (seen from the board)", -turn, name)
	}
	switch tilt := math.Round(math.Asin(math.Max(-1, math.Min(1, n.Z))) * degrees); {
	case tilt > 0:
		return fmt.Sprintf("%s, tilted up %.0f°", faces, tilt)
	case tilt < 0:
		return fmt.Sprintf("%s, tilted down %.0f°", faces, -tilt)
	}
	return faces + ", upright"
}

// aimedAside is how far beside the middle of what it works on the beam of a board goes that is said to be aimed there, in metres: of a row
// each has a part of it.
const aimedAside = 0.1

// reflects says of a board whose beam it sends where, when it is not turned straight to its target.
func reflects(p *printer, o *sizing.Option, v, before *sizing.Piece) string {
	if by, on := beam(p, o, v, before); by != "" {
		return by + " on " + on
	}
	return ""
}

// beam says by what a board is aimed, and on what; empty for one that is turned straight to its target. A white one throws no beam to
// aim by.
func beam(p *printer, o *sizing.Option, v, before *sizing.Piece) (by, on string) {
	if v.Role != finding.RoleReflector && v.Role != finding.RoleFill || v.Face == "white" {
		return "", ""
	}
	n, from := v.Faces(), middle(v.Corners)
	at, name := target(p, v, before)
	way := at.Sub(from).Unit()
	const straightCos = 0.999 // some 2.5°
	if n.Dot(way) > straightCos {
		return "", ""
	}
	best, nearest := "", 0.0
	var ray geom.Vec
	for i := range p.sources {
		if slices.Contains(o.SwitchOff, p.sources[i].Label) {
			continue
		}
		s := toward(p, &p.sources[i], from)
		sent := n.Scale(2 * n.Dot(s)).Sub(s)
		if back := sent.Dot(way); n.Dot(s) > 0 && back > nearest {
			best, nearest, ray = source(p.sources[i].Label), back, sent
		}
	}
	if o.Window != p.shot.Window { // the track is another hour's
		best, ray = "the sun", way
	}
	if best == "" {
		return "", ""
	}
	if lit := from.Add(ray.Scale(ray.Dot(at.Sub(from)))); math.Hypot(lit.X-at.X, lit.Y-at.Y) > aimedAside {
		name = "a point " + placeFrom(p.units, p.axes, lit, at, "the middle of "+name, "in line with it")
	}
	return "aimed, for mid-window, by the reflection of " + best, name
}

// toward is the direction to a source in mid-window from a point.
func toward(p *printer, src *scene.SourceTrack, from geom.Vec) geom.Vec {
	for i := range p.shot.Lamps {
		if l := &p.shot.Lamps[i]; l.Label == src.Label && l.Position != nil {
			return l.Position.Sub(from).Unit()
		}
	}
	mid := src.Track[len(src.Track)/2]
	return geom.Toward(mid.AzimuthDeg, mid.ElevationDeg)
}

// aimOf is what a lamp points at.
func aimOf(p *printer, v, before *sizing.Piece) string {
	const near = 0.3 // metres; nearer than any other thing to aim at
	at, name := target(p, v, before)
	if v.Lamp.Aim.Sub(at).Len() < near {
		return name
	}
	return fmt.Sprintf("a point %s, %s up", place(p, v.Lamp.Aim), p.units.length(v.Lamp.Aim.Z, 2))
}
