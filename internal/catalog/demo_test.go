package catalog

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"
)

func TestDemoFilesAreSound(t *testing.T) {
	for _, kind := range Kinds() {
		err := readDemo(kind, func(string, Item) error { return nil })
		if bad := (*CSVError)(nil); errors.As(err, &bad) {
			for _, f := range bad.Faults {
				t.Errorf("%s.csv %s", kind, f)
			}
		} else if err != nil {
			t.Errorf("%s: %v", kind, err)
		}
	}
}

func TestDemoHousesHaveEveryKindAndAPriceForIt(t *testing.T) {
	total := 0
	june := Date{2027, time.June, 18} // when the examples are shot
	for _, h := range DemoHouses() {
		if got := h.Validate(); got != nil {
			t.Errorf("%s: %v", h.Slug, got)
		}
		s, ok := DemoSnapshot(h.Slug)
		if !ok {
			t.Fatalf("no demo of %s", h.Slug)
		}
		total += len(s.Items())
		have := map[Kind]int{}
		for i := range s.Items() {
			item := &s.Items()[i]
			have[item.Kind()]++
			if got := item.ValidateIn(h); got != nil {
				t.Errorf("%s: %v", item.SKU, got)
			}
			if _, ok := item.RateOn(june); !ok {
				t.Errorf("%s has no rate on %s", item.SKU, june)
			}
			if op := operator(item); op != "" && (s.Item(op) == nil || s.Item(op).Kind() != KindLabour) {
				t.Errorf("%s: operator %s is no labour of %s", item.SKU, op, h.Slug)
			}
		}
		for _, k := range Kinds() {
			if have[k] == 0 {
				t.Errorf("%s has no %s", h.Slug, k)
			}
		}
	}
	if total < 150 {
		t.Errorf("%d items, want at least 150", total)
	}
	if _, ok := DemoSnapshot("elsewhere"); ok {
		t.Error("a house that is not there has a demo")
	}
}

func operator(i *Item) string {
	if s, ok := i.Spec.(*Support); ok {
		return s.OperatorSKU
	}
	return ""
}

// A frame that nothing can dress or carry would be ruled out of every shot.
func TestEveryDemoFrameCanBeDressedAndCarried(t *testing.T) {
	const safety = 1.5 // domain default
	for _, h := range DemoHouses() {
		s, _ := DemoSnapshot(h.Slug)
		for i := range s.Items() {
			item := &s.Items()[i]
			f, ok := item.Spec.(*Frame)
			if !ok {
				continue
			}
			cloth := fullDiffusion(s, f)
			if cloth == nil {
				t.Errorf("%s: no full-strength diffusion fits", item.SKU)
				continue
			}
			if cloth.Owned < item.Owned {
				t.Errorf("%s: %d frames, %d full-strength fabrics", item.SKU, item.Owned, cloth.Owned)
			}
			share := (item.MassKg + cloth.MassKg) * safety / float64(f.SupportsMax)
			arms := 0.0
			for k := range s.Items() {
				stand, ok := s.Items()[k].Spec.(*Support)
				if ok && stand.Class == ClassStand && stand.SafeLoadKg >= share && s.Items()[k].Owned >= f.SupportsMax && stand.HighestM >= 2.5 {
					arms = math.Max(arms, stand.ArmReachM)
				}
			}
			if arms == 0 {
				t.Errorf("%s: no stand with an arm carries %.1f kg %d times", item.SKU, share, f.SupportsMax)
			}
		}
	}
}

func fullDiffusion(s *Snapshot, f *Frame) *Item {
	for i := range s.Items() {
		c, ok := s.Items()[i].Spec.(*Fabric)
		if ok && c.Use == UseDiffusion && c.FitsWidthM == f.OpeningWidthM && c.FitsHeightM == f.OpeningHeightM &&
			c.Transmittance <= 0.45 && c.BeamShare <= 0.03 {
			return &s.Items()[i]
		}
	}
	return nil
}

func TestDemoMassesAgreeWithTheirParts(t *testing.T) {
	for _, h := range DemoHouses() {
		s, _ := DemoSnapshot(h.Slug)
		for i := range s.Items() {
			item := &s.Items()[i]
			if f, ok := item.Spec.(*Fabric); ok {
				cloth := f.FitsWidthM * f.FitsHeightM * f.ArealMassKgM2
				if math.Abs(item.MassKg-cloth) > 0.006 { // the file rounds to 10 g
					t.Errorf("%s: mass %v kg, area times areal mass %.3f kg", item.SKU, item.MassKg, cloth)
				}
				if f.Transmittance+f.Reflectance > 0.9 && f.Use != UseNet {
					t.Errorf("%s: transmittance and reflectance %.2f; real cloth stays at or under 0.9", item.SKU, f.Transmittance+f.Reflectance)
				}
			}
			if !strings.HasPrefix(item.SKU, map[string]string{"quayside": "QG-", "northpier": "NP-"}[h.Slug]) {
				t.Errorf("%s stands in %s", item.SKU, h.Slug)
			}
		}
	}
}
