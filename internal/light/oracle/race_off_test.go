//go:build !race

package oracle_test

const raceOn = false
