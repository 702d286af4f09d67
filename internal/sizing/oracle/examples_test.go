package oracle_test

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/bojanz/currency"

	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// member is a name of the contract. Without underscores those are the draft's but for case, which encoding/json does not heed.
var member = regexp.MustCompile(`"[a-z_0-9]+"\s*:`)

// example reads a request under docs/examples; what it does not know is an error.
func example(t *testing.T, path string) (house string, s oracle.Shoot) {
	t.Helper()
	body, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	body = member.ReplaceAllFunc(body, func(name []byte) []byte { return bytes.ReplaceAll(name, []byte("_"), nil) })
	var request struct {
		House  string
		Shot   sizing.Draft
		Limits struct {
			Crew        *int
			PricePerDay *struct{ Amount, Currency string }
		}
		Prefer *string
	}
	dec := json.NewDecoder(bytes.NewReader(body))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&request); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	d := request.Shot
	d.Prefer, d.Limits.Crew = request.Prefer, request.Limits.Crew
	if limit := request.Limits.PricePerDay; limit != nil {
		a, err := currency.NewAmount(limit.Amount, limit.Currency)
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		d.Limits.PricePerDay = &a
	}
	return request.House, oracle.Shoot{Kind: filepath.Base(path), Draft: d}
}

// TestExamplesKeepEveryRule holds the answers to the documented shots to every rule, light included, with more rays
// than the random shots'.
func TestExamplesKeepEveryRule(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../../../docs/examples/*.json")
	if err != nil || len(files) < 9 {
		t.Fatalf("%d examples (%v)", len(files), err)
	}
	n := rays()
	if !raceOn && !oracle.Full() {
		n.Face *= 4
	}
	roles := map[sizing.Role]int{}
	for _, file := range files {
		house, s := example(t, file)
		stock := demo(t, house)
		res, err := oracle.Size(s, stock)
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
	for _, r := range []sizing.Role{sizing.RoleOverhead, sizing.RoleReflector, sizing.RoleFill, sizing.RoleNet, sizing.RoleLamp} {
		if roles[r] == 0 {
			t.Errorf("no example has a %s", r)
		}
	}
}
