// Package oracle computes light levels a second time, slowly: it throws rays from the face and looks where they end.
// There is no form factor of a polygon in it and nothing is clipped; all it knows of geometry is where a ray meets a
// rectangle. So it shares neither formulas nor faults with the package whose levels it is there to test.
//
// It is for tests alone. [Estimate] reads one face, [Look] prepares a scene for many; both say how far off they may be.
// [RandomScene] makes rigs from a seed, [SquareScene] such as stand in line and edge to edge.
//
// The rules it follows are those that users are promised: light is counted once, from source over at most one
// scattering surface to the face; a fed panel is also lit by the boards around it. Nothing is averaged: every ray that
// ends on a panel or on the ground looks from there for the sources, and every beam is looked for point by point.
package oracle
