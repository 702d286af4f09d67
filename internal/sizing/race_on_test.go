//go:build race

package sizing_test

// raceOn reports whether the race detector is on, under which computing takes some eight times as long.
const raceOn = true
