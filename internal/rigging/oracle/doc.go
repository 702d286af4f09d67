// Package oracle works out a second time, slowly, whether a [rigging.Structure] stands. It takes the types and the long comment of
// that package and no more: the coefficients of wind, the loads and the conditions are written again from the rules in words.
//
// It is for tests alone. Each load becomes a linear program that has a variable for everything: the force in every joint, the moment
// of an ear, the pull of a rope, and for each stand the force on its feet, where that acts, how it is pushed and how it is twisted.
// Every side of every cone is a row of its own, nothing is eliminated on paper, and a plain simplex method solves it. What is made
// largest is how far all limits may be drawn in, in newtons.
//
// Where a joint lifts at the end of an arm, the twist counts times a ratio of two unknown forces. That is no linear condition, so
// the ratio is searched for by branching, see [Stands].
//
// A load that is borne in strong wind need not be in less, for which ropes may pull changes; [SafeTo] and [LeastBallast] look on both
// sides of every such change on the way up.
//
// [SafeTo] halves the gust, [LeastBallast] cuts off ballast that does not do, [Random] makes structures from a seed.
package oracle
