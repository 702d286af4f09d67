// Package placement finds where a rectangle can hang: between a zone and its light so that every ray from given sources crosses
// it, out of the picture, over heads, and where supports of given limits can hold it.
//
// A [Finder] answers a [Query] by a search over all turns of a rectangle, each a yaw and a tilt in radians, for one stage and
// one set of rays. For one turn, a [Facing], the conditions that are not convex are alternatives in a search over cases, each a
// small linear program. The result is a [Spot], whose slack is the distance, in metres, by which everything fits.
package placement
