// Package lighting shapes the light on a subject beside the overheads: boards, framed cloths, lamps, blacks, nets and the lens's
// shade, each where it does what the look asks.
//
// A [Setup] is what is up so far, with the light that it gives. The [Planner] arranges a setup step by step: net, back, key, fill,
// further zones, lens shade. Each step is a search for an array, a group of one kind of item side by side, whose query names
// which level is wanted on which face and what else will do. An [Arrangement] is a setup with everything up, its levels, and what
// it misses.
package lighting
