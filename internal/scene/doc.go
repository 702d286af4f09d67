// Package scene is the set of one shot in the camera's own axes, before any kit is up.
//
// A [Stage] is where the zones, the lens and its picture are. A [Source] is one hard source over the window, the sun or a
// lamp, with the [Ray] directions that a frame must stop. [Light] is what all of them, sky and ground give in the middle of the
// window, and against which background. Everything is in metres, x to the right of the lens, y along its bearing, z up.
package scene
