// Package light works out how much light arrives and what the camera makes of it: the level on a face among panels, boards,
// cloths and lamps, what the ground gives back, and the exposure that puts the background where the picture wants it.
//
// A [Scene] is what gives light or stands in its way; a [Lit] is a scene worked out, and gives the [Level] on a face at
// a place. Light is counted once: from sky, sun or lamp, straight through cloths, over at most one surface that scatters
// it; fed panels alone, frames before reflectors, pass on what reflectors give them. Everything is hidden and shaded by
// area, on each leg of its way, and a lamp at a place lights each place by its own distance and angle.
//
// Under the sky and distant sources view factors, shades and beams are exact for that model. Lamps at a place and on
// stands, and fed panels, make light that changes over a sheet or over the ground: it is taken in cells of a sheet, strips
// of a board and patches of ground, within 3 % of the level in all at faces that are 0.75 m or more from a sheet, and sheets
// 1.2 m or more from a source at a place. They are no measurement: cloths, lobes and skies differ from their figures by more than
// rounding, and a beam that is bright enough to light a face can blind and burn.
//
// Levels are illuminances in lux, differences are stops (base-2 logarithms, positive is more light), and exposure
// speaks in EV100, the exposure value at ISO 100 for which a flat receptor is calibrated with C = 250.
package light
