package terms

import (
	"bytes"
	"context"
	"embed"
	"encoding/json"
	"fmt"
	"sync"

	"kitspan/internal/catalog"
)

// The terms of the demo houses, invented like the houses: a list for each, by the day from which they hold.
//
//go:embed demo/*.json
var demoFiles embed.FS

// Demo is the [Book] of the demo houses: it stands in for a database, in the commands that need none and in tests.
type Demo struct{}

var _ Book = Demo{}

// TermsOn implements [Book].
func (Demo) TermsOn(_ context.Context, house string, day catalog.Date) (*Terms, error) {
	if t := InForce(demo()[house], day); t != nil {
		return t, nil
	}
	return nil, ErrNone
}

// demo reads the embedded files once. A fault in them is a programmer's error, which a test finds, and panics.
var demo = sync.OnceValue(func() map[string][]*Terms {
	out := map[string][]*Terms{}
	for _, h := range catalog.DemoHouses() {
		list, err := readDemo(h.Slug)
		if err != nil {
			panic(fmt.Sprintf("terms: demo of %s: %v", h.Slug, err))
		}
		out[h.Slug] = list
	}
	return out
})

func readDemo(house string) ([]*Terms, error) {
	body, err := demoFiles.ReadFile("demo/" + house + ".json")
	if err != nil {
		return nil, err
	}
	var drafts []Draft
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if err := d.Decode(&drafts); err != nil {
		return nil, err
	}
	stock, _ := catalog.DemoSnapshot(house)
	var list []*Terms
	for i := range drafts {
		t, faults := drafts[i].Resolve(stock)
		if len(faults) > 0 {
			return nil, fmt.Errorf("terms %d: %+v", i, faults)
		}
		list = append(list, t)
	}
	return list, nil
}
