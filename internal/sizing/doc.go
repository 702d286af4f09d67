// Package sizing answers the main question of the job: for one shot and one house's catalogue, what is the smallest
// kit that softens the sun over the whole zone for the whole window, out of shot, where does each piece stand, and
// why does nothing smaller do.
//
// [Plan] walks a [shot.Shot] and a catalogue snapshot one way: shot → sources → placements → supports → kit → options, and
// returns a [Result]. The package is pure: the same input gives the same output, byte for byte.
//
// Every search takes a context and stops soon after it has ended, with whatever it has by then. That is never an answer: [Plan],
// [Sweep] and [Reach] look at the context last of all and return its error instead.
package sizing
