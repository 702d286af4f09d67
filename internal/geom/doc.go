// Package geom is the geometry of a set: points and directions in the local frame (x east, y north, z up, metres),
// placed rectangles, the pyramid that a lens sees, and the small linear programs that place one against the other.
package geom
