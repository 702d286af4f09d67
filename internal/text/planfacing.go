package text

import (
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/phrase"
	"kitspan/internal/scene"
	"kitspan/internal/sizing"
)

// How boards and lamps are turned, and on what.

// target is what a board or a lamp works on: the diffuser before it, or the middle of its zone, and what that is.
func target(p *printer, v, before *sizing.Piece) (at geom.Vec, is mark) {
	if before != nil {
		return middle(before.Corners), mark{diffuser: true}
	}
	if z := zoneOf(p.shot, v); z != nil {
		return geom.Vec{X: z.CenterX, Y: z.CenterY, Z: (z.BaseM + z.TopM) / 2}, mark{label: z.Label}
	}
	return p.shot.Walk.Scale(0.5).Add(geom.Vec{Z: (p.shot.Zone.BaseM + p.shot.Zone.TopM) / 2}), mark{}
}

const degrees = 180 / math.Pi

// facing says how a board is turned: against the way to what it works on, as seen from the board, and against upright.
func facing(p *printer, v, before *sizing.Piece) string {
	n := v.Faces()
	at, is := target(p, v, before)
	way := at.Sub(middle(v.Corners))
	// Anticlockwise from above is to the left of who looks along.
	turn := math.Round(math.Remainder(math.Atan2(n.Y, n.X)-math.Atan2(way.Y, way.X), 2*math.Pi) * degrees)
	faces := p.to.say("lies level")
	if math.Hypot(n.X, n.Y) >= 0.02 { // more than a degree from level
		faces = turned(p.to, is, turn)
	}
	switch tilt := math.Round(math.Asin(math.Max(-1, math.Min(1, n.Z))) * degrees); {
	case tilt > 0:
		return p.to.say("%s, tilted up %.0f°", faces, tilt)
	case tilt < 0:
		return p.to.say("%s, tilted down %.0f°", faces, -tilt)
	}
	return p.to.say("%s, upright", faces)
}

// turned says by how many degrees a board is turned from what it works on, over 0 to the left of who looks along.
func turned(to Reader, is mark, turn float64) string {
	say := func(straight, left, right phrase.Key, name ...any) string {
		switch {
		case turn > 1:
			return to.say(left, append([]any{turn}, name...)...)
		case turn < -1:
			return to.say(right, append([]any{-turn}, name...)...)
		}
		return to.say(straight, name...)
	}
	switch {
	case is.diffuser:
		return say("faces the diffuser", "faces %.0f° left of the diffuser (seen from the board)", "faces %.0f° right of the diffuser (seen from the board)")
	case is.label == "":
		return say("faces the subject", "faces %.0f° left of the subject (seen from the board)", "faces %.0f° right of the subject (seen from the board)")
	}
	return say("faces %s", "faces %.0f° left of %s (seen from the board)", "faces %.0f° right of %s (seen from the board)", is.label)
}

// aimedAside is how far beside the middle of what it works on the beam of a board goes that is said to be aimed there, in metres: of a row
// each has a part of it.
const aimedAside = 0.1

// reflects says of a board whose beam it sends where, when it is not turned straight to its target.
func reflects(p *printer, o *sizing.Option, v, before *sizing.Piece) string {
	if by, on := beam(p, o, v, before); by != "" {
		return p.to.say("%s on %s", by, on)
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
	at, is := target(p, v, before)
	way := at.Sub(from).Unit()
	const straightCos = 0.999 // some 2.5°
	if n.Dot(way) > straightCos {
		return "", ""
	}
	best, nearest, name := "", 0.0, is.name(p.to)
	var ray geom.Vec
	for i := range p.sources {
		if slices.Contains(o.SwitchOff, p.sources[i].Label) {
			continue
		}
		s := toward(p, &p.sources[i], from)
		sent := n.Scale(2 * n.Dot(s)).Sub(s)
		if back := sent.Dot(way); n.Dot(s) > 0 && back > nearest {
			best, nearest, ray = source(p.to, p.sources[i].Label), back, sent
		}
	}
	if o.Window != p.shot.Window { // the track is another hour's
		best, ray = p.to.say("the sun"), way
	}
	if best == "" {
		return "", ""
	}
	if lit := from.Add(ray.Scale(ray.Dot(at.Sub(from)))); math.Hypot(lit.X-at.X, lit.Y-at.Y) > aimedAside {
		is.middle = true
		name = p.to.say("a point %s", placeFrom(p.to, p.axes, lit, at, is))
	}
	return p.to.say("aimed, for mid-window, by the reflection of %s", best), name
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

// aimed says what a lamp points at.
func aimed(p *printer, v, before *sizing.Piece) string {
	const near = 0.3 // metres; nearer than any other thing to aim at
	at, is := target(p, v, before)
	if v.Lamp.Aim.Sub(at).Len() < near {
		return p.to.say("aimed at %s", is.name(p.to))
	}
	return p.to.say("aimed at a point %s, %s up", place(p, v.Lamp.Aim), p.to.length(v.Lamp.Aim.Z, 2))
}
