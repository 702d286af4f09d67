//go:build !race

package rest

// raceOn reports whether the race detector is on, under which computing takes some ten times as long.
const raceOn = false
