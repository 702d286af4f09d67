package oracle_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"sync"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// scenes is how many random shots the tests take: few, or many with the fine search.
func scenes(few, many int) int {
	if oracle.Full() {
		return many
	}
	return few
}

func demo(t *testing.T, slug string) *catalog.Snapshot {
	t.Helper()
	stock, ok := catalog.DemoSnapshot(slug)
	if !ok {
		t.Fatalf("no demo catalogue %s", slug)
	}
	return stock
}

// answers keeps the answers to the shoots that several tests look at.
var answers sync.Map

// answerTo is a shoot's answer from a demo house, worked out once.
func answerTo(t *testing.T, s oracle.Shoot, slug string) (sizing.Result, *catalog.Snapshot, error) {
	t.Helper()
	stock := demo(t, slug)
	once, _ := answers.LoadOrStore(fmt.Sprintf("%s %d", slug, s.Seed), sync.OnceValues(func() (sizing.Result, error) {
		return oracle.Size(context.Background(), s, stock) // the answer outlives this test
	}))
	res, err := once.(func() (sizing.Result, error))()
	return res, stock, err
}

// inParts runs a test over shoots in a few parallel parts, so that two cores are used.
func inParts(t *testing.T, shoots []oracle.Shoot, check func(t *testing.T, s oracle.Shoot)) {
	t.Helper()
	const parts = 4
	for k := range parts {
		t.Run(string(rune('a'+k)), func(t *testing.T) {
			t.Parallel()
			for i := k; i < len(shoots); i += parts {
				check(t, shoots[i])
			}
		})
	}
}

// drafted is the draft of a shoot as JSON, with which a failure can be tried again.
func drafted(d shot.Draft) string {
	b, err := json.Marshal(d)
	if err != nil {
		return err.Error()
	}
	var said map[string]any
	if json.Unmarshal(b, &said) != nil {
		return string(b)
	}
	b, err = json.Marshal(pruned(said))
	if err != nil {
		return err.Error()
	}
	return string(b)
}

// pruned leaves out what a draft does not say.
func pruned(m map[string]any) map[string]any {
	for k, v := range m {
		if inner, ok := v.(map[string]any); ok {
			v = any(pruned(inner))
			if len(inner) == 0 {
				v = nil
			}
		}
		if v == nil {
			delete(m, k)
		}
	}
	return m
}

func report(t *testing.T, s oracle.Shoot, bad []oracle.Violation) {
	t.Helper()
	if len(bad) == 0 {
		return
	}
	var b strings.Builder
	for _, v := range bad {
		b.WriteString("\n\t" + v.String())
	}
	t.Errorf("%s: %s\n\tdraft %s", s, b.String(), drafted(s.Draft))
}

// sharedScenes is how many shots several tests look at: each kind twice.
const sharedScenes = 48

func TestAnswersKeepEveryRule(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		slug string
		n    int
	}{{"quayside", scenes(sharedScenes, 2000)}, {"northpier", scenes(8, 600)}} {
		t.Run(c.slug, func(t *testing.T) {
			t.Parallel()
			inParts(t, oracle.Scenes(0, c.n), func(t *testing.T, s oracle.Shoot) {
				res, stock, err := answerTo(t, s, c.slug)
				if err != nil {
					t.Errorf("%v\n\tdraft %s", err, drafted(s.Draft))
					return
				}
				report(t, s, oracle.CheckResult(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(s.Seed, 1))))
			})
		})
	}
}

// TestEveryKindOfShotIsServedSometimes keeps the shots from being so hard that there is nothing to check.
func TestEveryKindOfShotIsServedSometimes(t *testing.T) {
	t.Parallel()
	served := map[string]int{}
	for _, s := range oracle.Scenes(0, sharedScenes) {
		res, stock, err := answerTo(t, s, "quayside")
		if err != nil {
			continue // told by TestAnswersKeepEveryRule
		}
		if _, _, ok := oracle.Overhead(res, stock); ok {
			served[s.Kind]++
		}
	}
	total := 0
	for _, kind := range oracle.Kinds() {
		total += served[kind]
		// Nothing that a house has spans a very wide picture's height; those shots try the answer that nothing does.
		if served[kind] == 0 && kind != "very wide" && oracle.Hard(kind) {
			t.Errorf("no shot of the kind %q is served", kind)
		}
	}
	if total < sharedScenes/2 {
		t.Errorf("%d of %d shots are served: too few to check the rules on", total, sharedScenes)
	}
}

func TestSameInputSameAnswer(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	for _, s := range oracle.Scenes(900, scenes(10, 200)) {
		a, errA := oracle.Size(t.Context(), s, stock)
		b, errB := oracle.Size(t.Context(), s, demo(t, "quayside"))
		if errA != nil || errB != nil {
			if (errA == nil) != (errB == nil) {
				t.Errorf("%s: %v, then %v", s, errA, errB)
			}
			continue
		}
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%s: two answers to the same input differ\n\tdraft %s", s, drafted(s.Draft))
		}
	}
}
