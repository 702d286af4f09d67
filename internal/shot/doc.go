// Package shot is a sizing request as given and as resolved.
//
// A [Draft] is what a user gave: what is nil was left open. [Draft.Resolve] fills in every default and resolves every
// "auto", making a [Shot], or names every [Fault] at once by the pointer of its field. [DraftSteps.Resolve] does the same
// for the steps of a day, [FrameFaults] for a list of frames. The package is pure: the same draft gives the same shot.
package shot
