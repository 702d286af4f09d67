// Package oracle holds the sizing engine to the rules of the job by other means than the engine's own: it casts the
// rays from the zone to every hard source one by one, walks over the tubes, arms, masts and feet to see whether the
// lens sees them, adds the money up in whole cents, and looks for a smaller frame that would have done, slowly. It turns
// reflectors with the sun and looks whether anything stands in their light or their beams, and throws rays from the
// subject's faces to find how bright they are.
//
// It is for tests alone. It shares no geometry with the engine: vectors, projections and the linear programs are its
// own, written from the rules that users are promised (what "covered", "out of shot" and "head room" mean). Of the
// program it takes the published types, the catalogue, the sun's position and the sky's light, and the estimator of levels by
// rays, which have checks of their own.
//
// [CheckResult] lists every rule that an answer breaks, as [Violation] values with numbers, and [CheckLight] those about
// levels; [Search] looks for a placement of one frame and returns one only when the checks pass it; [Scenes] makes random
// shots from a seed.
package oracle
