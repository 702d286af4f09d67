// Package rigging says what holds a placed piece up in the wind and what that takes: the force on a panel, ballast in
// whole units, ropes and their anchors, the gust up to which the piece holds and what gives way first, the people who
// raise and hold it, and the vehicles that bring it.
//
// A [Panel] gives the [Wind] on it. A [Structure] is a whole rig, stands, frame and ropes, whose [Solver] finds the least ballast for a gust
// and what a load of ballast holds, the two ways round of the same linear conditions. [PlanCrew] and [Transport] count people and vans.
//
// Units are in the names: metres, kilograms, newtons, degrees, metres per second. A gust is the 3-second gust at the
// height of the piece.
//
// This is safety information for planning and no proof that a rig is safe. Where a choice was open the one that asks for
// more ballast, more hands or less wind was taken, and the comment says so. It does not know the bending strength of a
// mast or a frame, soft or sloping ground, or gear in bad repair; qualified people check the plan on the spot under local
// law, measure the wind, and lower early.
package rigging
