package main

import (
	"os"
	"os/exec"
	"testing"
	"time"

	"kitspan/internal/sharedkit"
)

// The other solver is an independent one: COIN-OR's CBC.
func TestAgreesWithAnotherSolver(t *testing.T) {
	if _, err := exec.LookPath("cbc"); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("cbc is missing: install Debian's coinor-cbc")
		}
		t.Skip("cbc is missing: install Debian's coinor-cbc to compare with it")
	}
	for seed := range uint64(12) {
		p := made(kinds["hard"], 10, 5, seed)
		got, err := sharedkit.Choose(t.Context(), p)
		if err != nil {
			t.Fatal(err)
		}
		_, least, done, err := solve(t.Context(), p, time.Minute)
		if err != nil || !done {
			t.Fatalf("seed %d: %v, done %t", seed, err, done)
		}
		if !got.Proven || got.Plan.TotalMinor != least {
			t.Errorf("seed %d: %d, proven %t; the other finds %d", seed, got.Plan.TotalMinor, got.Proven, least)
		}
	}
}
