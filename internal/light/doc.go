// Package light says how much light arrives and what the camera makes of it: the level on a face among panels, boards,
// cloths and lamps, what the ground gives back, and the exposure that puts the background where the picture wants it.
//
// A [Scene] is what gives light or stands in its way; a [Lit] is a scene worked out, and says the [Level] on a face at
// a place. Light is counted once: from sky, sun or lamp, straight through cloths, over at most one surface that scatters
// it; fed panels alone, frames before reflectors, pass on what reflectors give them. View factors, shades and beams are
// exact for that model. They are no measurement: cloths, lobes and skies differ from their figures by more than rounding,
// and a beam that is bright enough to light a face can blind and burn.
//
// Levels are illuminances in lux, differences are stops (base-2 logarithms, positive is more light), and exposure
// speaks in EV100, the exposure value at ISO 100 for which a flat receptor is calibrated with C = 250.
package light
