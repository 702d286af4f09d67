package oracle_test

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// TestExamplesKeepEveryRule holds the answers to the documented requests to every rule, light included, with more rays
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
	roles, served := map[finding.Role]int{}, 0
	for _, file := range files {
		house, s, err := oracle.Example(file)
		if err != nil {
			t.Fatal(err)
		}
		stock := demo(t, house)
		body, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		res, err := desk().SizeJSON(t.Context(), body)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		if slices.ContainsFunc(res.Options, func(o sizing.Option) bool {
			return o.Label != sizing.LabelOtherHour && o.Serves() && len(o.Pieces) > 0
		}) {
			served++
		}
		report(t, s, oracle.CheckResult(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(1, 1))))
		report(t, s, oracle.CheckLight(res, stock, n, 1))
		for _, o := range res.Options {
			for _, p := range o.Pieces {
				roles[p.Role]++
			}
		}
	}
	// Where nothing is placed there is nothing to hold; the regatta's crowd alone may be more than the frames cover.
	if served < len(files)-1 {
		t.Errorf("%d of %d examples are served, want all but one", served, len(files))
	}
	for _, r := range []finding.Role{finding.RoleOverhead, finding.RoleReflector, finding.RoleFill, finding.RoleNet, finding.RoleLamp} {
		if roles[r] == 0 {
			t.Errorf("no example has a %s", r)
		}
	}
}
