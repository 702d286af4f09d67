//go:build race

package rest

// raceOn says that the race detector is on, under which computing takes some ten times as long.
const raceOn = true
