// Package sharedkit chooses one option for each shot of a job so that the kit they share, the people and the vehicles cost least.
//
// A [Problem] lists the options of each shot: when its kit is up, what it takes of each item and role. [Problem.Evaluate] says what a
// choice comes to: needs by moment and day, spans of hire ([Hire]), people, load. [Choose] searches for the best choice with a proven
// bound, and [Guess] for a good one soon.
//
// Days that have nothing to do with each other are chosen one by one (apart.go). The shots of one day, each with many starts, get their
// options one after the other, what the shots so far come to being the bound (lookahead.go, given.go). The rest is a branch and bound over
// how many units of each item there are, whose bound is the Lagrangian relaxation in which every shot chooses by itself and pays for units by
// their multipliers (choose.go, model.go, relax.go).
//
// The package knows no catalogue and no clock: items are numbers, days count from 0, times are minutes, money is minor units.
package sharedkit
