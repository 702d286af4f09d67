// Package anchorage finds what holds a piece up and down in the wind: on which supports it stands, where their bases stand, with
// which ballast and which ropes, up to which gust.
//
// A [Mast] is a [Support] in its place. A [Planner] knows what a house has to hold pieces with and in which wind; its
// [Planner.Secure] finds the cheapest [Anchorage] that holds a gust, by the statics of package rigging.
package anchorage
