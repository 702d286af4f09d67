//go:build race

package oracle_test

// raceOn reports whether the race detector is on, under which rays take some ten times as long.
const raceOn = true
