package office

import (
	"context"
	"testing"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/shot/shottest"
)

// demo is the built-in houses.
type demo struct{}

func (demo) Houses(context.Context) ([]catalog.House, error) {
	return []catalog.House{{Slug: "northpier"}, {Slug: "quayside"}}, nil
}

func (demo) Snapshot(_ context.Context, house string) (*catalog.Snapshot, error) {
	if stock, ok := catalog.DemoSnapshot(house); ok {
		return stock, nil
	}
	return nil, catalog.ErrNoHouse
}

// An empty name, as an address without a house has it, is none: it is missing, and not a house of that name.
func TestTheFaultOfAHouse(t *testing.T) {
	desk := Office{Stock: demo{}, Now: func() time.Time { return time.Date(2027, 6, 1, 12, 0, 0, 0, time.UTC) }}
	for _, tc := range []struct {
		name  string
		house *string
		code  string
	}{
		{"nil", nil, "missing"}, {"empty", new(""), "missing"}, {"unknown", new("nowhere"), "unknown_house"}, {"known", new("quayside"), ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, faults, err := desk.Take(t.Context(), tc.house, shottest.Bare())
			if err != nil {
				t.Fatal(err)
			}
			got := ""
			for _, f := range faults {
				if got = f.Kind.Code(); f.Pointer != "/house" {
					t.Errorf("a fault at %s", f.Pointer)
				}
			}
			if got != tc.code {
				t.Errorf("code %q, want %q", got, tc.code)
			}
		})
	}
}
