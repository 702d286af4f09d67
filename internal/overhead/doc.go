// Package overhead finds which frame of a house stops the hard sources of a shot, on which supports, and why no other does.
//
// A [Candidate] is a frame with the fabric for it and every way to hold it up; a [Group] is the sources that one frame must
// stop, with what is known of each candidate there; a [Rig] is a candidate in its place, with its supports and all that holds
// them. The [Planner] chooses among rigs by what the user prefers, shares sources among several frames where no single one
// stops them all, and finds the widest zone that a frame of the house covers.
package overhead
