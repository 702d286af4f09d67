// Package light says how much light arrives and what the camera makes of it: what the ground gives back, and the
// exposure that puts the background where the picture wants it.
//
// Levels are illuminances in lux, differences are stops (base-2 logarithms, positive is more light), and exposure
// speaks in EV100, the exposure value at ISO 100 for which a flat receptor is calibrated with C = 250.
package light
