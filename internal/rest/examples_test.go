//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package rest_test

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/rest"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// sized is a documented shot's answer, from its JSON on, and the house that it is from.
func sized(t *testing.T, file string) (sizing.Result, *catalog.Snapshot) {
	t.Helper()
	body, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	// Before any of the shots, so that each is priced at the rates of its own day.
	before := func() time.Time { return time.Date(2026, 1, 1, 12, 0, 0, 0, time.UTC) }
	result, err := rest.NewDesk(catalog.Demo{}, before).SizeJSON(t.Context(), body)
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	var asked struct {
		House string `json:"house"`
	}
	if err := json.Unmarshal(body, &asked); err != nil {
		t.Fatal(err)
	}
	stock, ok := catalog.DemoSnapshot(asked.House)
	if !ok {
		t.Fatalf("%s: no demo house %s", file, asked.House)
	}
	return result, stock
}

// held is what the slow second opinion finds against a result. It casts rays and shares no geometry with the engine:
// cover, margin, view, head room, supports, stock, money, load, and what was ruled out.
func held(result sizing.Result, stock *catalog.Snapshot) []oracle.Violation {
	return oracle.CheckResult(result, stock, result.Shot.Window.Date, rand.New(rand.NewPCG(1, 1)))
}

func TestExamplesHoldByRayCasting(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../../docs/examples/*.json")
	if err != nil || len(files) < 8 {
		t.Fatalf("%d examples found (%v), want at least 8", len(files), err)
	}
	served := 0
	for _, file := range files {
		result, stock := sized(t, file)
		if slices.ContainsFunc(result.Options, func(o sizing.Option) bool {
			return o.Label != sizing.LabelOtherHour && o.Serves() && len(o.Pieces) > 0
		}) {
			served++
		}
		for _, v := range held(result, stock) {
			t.Errorf("%s: %s", filepath.Base(file), v)
		}
	}
	// Where nothing is placed there is nothing to hold; the regatta's crowd alone may be more than the frames cover.
	if served < len(files)-1 {
		t.Errorf("%d of %d examples are softened, want all but one", served, len(files))
	}
}

// TestRayCastingSeesASpoiltExample keeps the check above from being one that cannot fail.
func TestRayCastingSeesASpoiltExample(t *testing.T) {
	t.Parallel()
	for name, tc := range map[string]struct {
		spoil func(*sizing.Option) error
		rule  oracle.Rule
	}{
		"frame pushed aside": {func(o *sizing.Option) error {
			for i := range o.Pieces[0].Corners {
				o.Pieces[0].Corners[i].X += 0.5
				o.Pieces[0].Corners[i].Y += 0.5
			}
			return nil
		}, oracle.RuleCovered},
		"frame brought into the picture": {func(o *sizing.Option) error {
			for i := range o.Pieces[0].Corners {
				o.Pieces[0].Corners[i].Z -= 0.5
			}
			return nil
		}, oracle.RuleInView},
		"kit at twice the price": {func(o *sizing.Option) (err error) {
			o.Kit.PerDay, err = o.Kit.PerDay.Mul("2")
			return err
		}, oracle.RuleKit},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			result, stock := sized(t, "../../docs/examples/01-two-anglers.json")
			if err := tc.spoil(&result.Options[0]); err != nil {
				t.Fatal(err)
			}
			found := held(result, stock)
			if !slices.ContainsFunc(found, func(v oracle.Violation) bool { return v.Rule == tc.rule }) {
				t.Errorf("rule %s is not seen broken; found %v", tc.rule, found)
			}
		})
	}
}
