//go:build race

package oracle_test

// raceOn reports whether the race detector is on, under which the engine takes some twelve times as long.
const raceOn = true
