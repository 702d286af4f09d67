package main

import (
	"fmt"
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
		agrees(t, fmt.Sprintf("hard job %d", seed), hard.job(10, 5, seed))
	}
	for seed := range uint64(4) {
		agrees(t, fmt.Sprintf("movable job %d", seed), movable(2, 6, 3, seed))
	}
}

func agrees(t *testing.T, name string, p *sharedkit.Problem) {
	t.Helper()
	got, err := sharedkit.Choose(t.Context(), p)
	if err != nil {
		t.Fatal(err)
	}
	_, least, done, err := solve(t.Context(), p, time.Minute)
	if err != nil || !done {
		t.Fatalf("%s: %v, done %t", name, err, done)
	}
	if !got.Proven || got.Plan.TotalMinor != least {
		t.Errorf("%s: %d, proven %t; the other finds %d", name, got.Plan.TotalMinor, got.Proven, least)
	}
}
