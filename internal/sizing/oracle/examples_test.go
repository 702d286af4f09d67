package oracle_test

import (
	"math/rand/v2"
	"path/filepath"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/sizing/oracle"
)

// TestExamplesKeepEveryRule holds the answers to the documented shots to every rule, light included, with more rays
// than the random shots'.
func TestExamplesKeepEveryRule(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../../../docs/examples/*.json")
	if err != nil || len(files) < 9 {
		t.Fatalf("%d examples (%v)", len(files), err)
	}
	n := rays()
	if !oracle.Full() {
		n.Face *= 4
	}
	roles := map[finding.Role]int{}
	for _, file := range files {
		house, s, err := oracle.Example(file)
		if err != nil {
			t.Fatal(err)
		}
		stock := demo(t, house)
		res, err := oracle.Size(t.Context(), s, stock)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		report(t, s, oracle.CheckResult(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(1, 1))))
		report(t, s, oracle.CheckLight(res, stock, n, 1))
		for _, o := range res.Options {
			for _, p := range o.Pieces {
				roles[p.Role]++
			}
		}
	}
	for _, r := range []finding.Role{finding.RoleOverhead, finding.RoleReflector, finding.RoleFill, finding.RoleNet, finding.RoleLamp} {
		if roles[r] == 0 {
			t.Errorf("no example has a %s", r)
		}
	}
}
