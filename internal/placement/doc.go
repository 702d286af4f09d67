// Package placement finds where a rectangle can hang: over a zone so that it stops every ray from some sources, out of the
// picture, over heads, and where supports of given limits can hold it.
//
// A [Finder] searches all turns of a rectangle for one stage and one set of rays. For one turn, a [Facing], the conditions that
// are not convex are alternatives in a search over cases, each a small linear program. The result is a [Spot], whose slack is
// by how much everything fits.
package placement
