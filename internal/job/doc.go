// Package job plans several shots with one kit.
//
// A [Draft] is a job as somebody writes it down: places, shots, days. [Draft.Resolve] fills in what was left out and names every fault at
// once. [Make] sizes each shot, asks the engine again with what the others hire anyway at what it still costs, and has package sharedkit
// choose one option for each so that the whole job costs least; the [Plan] says what is hired over which days, who is paid on each, and
// how good the choice is. The package is pure: the same job gives the same plan.
package job
