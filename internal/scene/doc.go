// Package scene is the set of one shot in the camera's own axes, before any kit is up.
//
// A [Stage] is where the zones, the lens and its picture are. A [Source] is one hard source over the window, the sun or a
// lamp, whose [Source.RaysOn] are what a frame must stop. A [Light] is what all sources, the sky and the ground give in the
// middle of the window, and against which background. Lengths are in metres, x to the right of the lens, y along its bearing,
// z up.
package scene
