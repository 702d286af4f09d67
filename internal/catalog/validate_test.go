package catalog

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/bojanz/currency"
)

func eur(t testing.TB, s string) currency.Amount {
	t.Helper()
	a, err := ParseMoney(s, "EUR")
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// sound is an item of a kind that has nothing wrong with it.
func sound(t testing.TB, k Kind) Item {
	t.Helper()
	specs := map[Kind]Spec{
		KindFrame: &Frame{OpeningWidthM: 2.38, OpeningHeightM: 2.38, OuterWidthM: 2.44, OuterHeightM: 2.44, SupportsMin: 2, SupportsMax: 4},
		KindFabric: &Fabric{FitsWidthM: 2.38, FitsHeightM: 2.38, Use: UseDiffusion, Transmittance: 0.4, Reflectance: 0.45, BeamShare: 0.02,
			ArealMassKgM2: 0.15, Solidity: 1, FaceA: "white", FaceB: "white"},
		KindReflector:  &Reflector{WidthM: 1, HeightM: 1, FaceA: "silver", DiffuseA: 0.1, SpecularA: 0.7, LobeADeg: 8, FaceB: "white", DiffuseB: 0.85},
		KindSupport:    &Support{Class: ClassStand, LowestM: 1.3, HighestM: 3.4, SafeLoadKg: 18, FootprintM: 0.6, Legs: 3},
		KindBallast:    &Ballast{Form: FormBag},
		KindLine:       &Line{LengthM: 15, SafePullN: 1500},
		KindAnchor:     &Anchor{Form: FormStake, SafePullN: 2000},
		KindLamp:       &Lamp{IntensityCd: 50000, BeamDeg: 30, PowerW: 600, Supply: SupplyMains},
		KindVehicle:    &Vehicle{PayloadKg: 1200, LoadM3: 11, Seats: 3, Driver: DriverCrew},
		KindLabour:     &Labour{Role: RoleHand, HoursPerDay: 10},
		KindAccessory:  &Accessory{},
		KindExpendable: &Expendable{Unit: "roll"},
	}
	return Item{
		SKU: "QG-X-1", Name: "Thing", MassKg: 3, PackedM3: 0.05, Owned: 4, Replacement: eur(t, "150.00"), Account: "2410",
		Spec:  specs[k],
		Rates: []Rate{{Date{2026, time.January, 1}, eur(t, "12.00")}, {Date{2027, time.January, 1}, eur(t, "13.00")}},
	}
}

func TestSoundItemOfEachKindHasNoProblem(t *testing.T) {
	for _, k := range Kinds() {
		item := sound(t, k)
		if got := item.Validate(); got != nil {
			t.Errorf("%s: %v", k, got)
		}
		if item.Kind() != k || NewSpec(k).Kind() != k {
			t.Errorf("%s: item says %s, NewSpec %s", k, item.Kind(), NewSpec(k).Kind())
		}
	}
	if NewSpec("bicycle") != nil || KindOrder("bicycle") != len(Kinds()) {
		t.Error("an unknown kind must have no spec and come last")
	}
}

func TestValidateNamesTheField(t *testing.T) {
	frame := func(f func(*Frame)) func(*Item) { return func(i *Item) { f(i.Spec.(*Frame)) } }
	fabric := func(f func(*Fabric)) func(*Item) { return func(i *Item) { f(i.Spec.(*Fabric)) } }
	support := func(f func(*Support)) func(*Item) { return func(i *Item) { f(i.Spec.(*Support)) } }
	reflector := func(f func(*Reflector)) func(*Item) { return func(i *Item) { f(i.Spec.(*Reflector)) } }
	anchor := func(f func(*Anchor)) func(*Item) { return func(i *Item) { f(i.Spec.(*Anchor)) } }
	cases := []struct {
		name  string
		kind  Kind
		spoil func(*Item)
		want  []string // fields, in order
	}{
		{"more rates than anybody sets", KindBallast, func(i *Item) { i.Rates = make([]Rate, maxRates+1) }, []string{"rates"}},
		{"empty SKU", KindBallast, func(i *Item) { i.SKU = "" }, []string{"sku"}},
		{"lower-case SKU", KindBallast, func(i *Item) { i.SKU = "qg-1" }, []string{"sku"}},
		{"SKU of 41", KindBallast, func(i *Item) { i.SKU = strings.Repeat("A", 41) }, []string{"sku"}},
		{"SKU with line break", KindBallast, func(i *Item) { i.SKU = "QG-1\n" }, []string{"sku"}},
		{"SKU that starts with a dash", KindBallast, func(i *Item) { i.SKU = "-QG" }, []string{"sku"}},
		{"no name", KindBallast, func(i *Item) { i.Name = "" }, []string{"name"}},
		{"name of 121", KindBallast, func(i *Item) { i.Name = strings.Repeat("ã", 121) }, []string{"name"}},
		{"name of bad UTF-8", KindBallast, func(i *Item) { i.Name = "a\xff" }, []string{"name"}},
		{"name with a tab", KindBallast, func(i *Item) { i.Name = "a\tb" }, []string{"name"}},
		{"name with a space behind", KindBallast, func(i *Item) { i.Name = "a " }, []string{"name"}},
		{"negative mass", KindBallast, func(i *Item) { i.MassKg = -1 }, []string{"mass_kg"}},
		{"mass NaN", KindBallast, func(i *Item) { i.MassKg = math.NaN() }, []string{"mass_kg"}},
		{"volume infinite", KindBallast, func(i *Item) { i.PackedM3 = math.Inf(1) }, []string{"packed_m3"}},
		{"owned negative", KindBallast, func(i *Item) { i.Owned = -1 }, []string{"owned"}},
		{"no replacement", KindBallast, func(i *Item) { i.Replacement = currency.Amount{}; i.Rates = nil }, []string{"replacement"}},
		{"no spec", KindBallast, func(i *Item) { i.Spec = nil }, []string{"kind"}},
		{"two rates on a date", KindBallast, func(i *Item) { i.Rates[1].From = i.Rates[0].From }, []string{"rates/1"}},
		{"rate on 30 February", KindBallast, func(i *Item) { i.Rates[0].From = Date{2026, time.February, 30} }, []string{"rates/0"}},
		{"rate in another currency", KindBallast, func(i *Item) {
			i.Rates[0].PerDay = i.Rates[0].PerDay.Round()
			i.Replacement = mustMoney(t, "1.00", "USD")
		},
			[]string{"rates/0", "rates/1"}},
		{"all at once", KindFrame, func(i *Item) { i.SKU = ""; i.Name = ""; i.MassKg = -1; i.Spec.(*Frame).OpeningWidthM = 0 },
			[]string{"sku", "name", "mass_kg", "opening_width_m"}},
		{"opening not a number", KindFrame, frame(func(f *Frame) { f.OpeningHeightM = math.NaN() }), []string{"opening_height_m"}},
		{"opening wider than the frame", KindFrame, frame(func(f *Frame) { f.OuterWidthM = 2.3; f.OuterHeightM = 2.3 }), []string{"outer_width_m", "outer_height_m"}},
		{"upright frame", KindFrame, frame(func(f *Frame) { f.OpeningHeightM = 4; f.OuterHeightM = 4.1 }), []string{"opening_width_m", "outer_width_m"}},
		{"three supports", KindFrame, frame(func(f *Frame) { f.SupportsMin = 3 }), []string{"supports_min"}},
		{"more least than most", KindFrame, frame(func(f *Frame) { f.SupportsMin, f.SupportsMax = 4, 2 }), []string{"supports_max"}},
		{"more light than arrives", KindFabric, fabric(func(f *Fabric) { f.Transmittance = 0.6 }), []string{"transmittance"}},
		{"share over 1", KindFabric, fabric(func(f *Fabric) { f.BeamShare = 1.01 }), []string{"beam_share"}},
		{"solidity 0", KindFabric, fabric(func(f *Fabric) { f.Solidity = 0 }), []string{"solidity"}},
		{"unknown use", KindFabric, fabric(func(f *Fabric) { f.Use = "curtain" }), []string{"use"}},
		{"black diffusion", KindFabric, fabric(func(f *Fabric) { f.Transmittance = 0 }), []string{"transmittance"}},
		{"both faces too bright", KindReflector, reflector(func(r *Reflector) { r.DiffuseA, r.SpecularB = 0.5, 0.5 }), []string{"diffuse_a", "diffuse_b"}},
		{"lowest over highest", KindSupport, support(func(s *Support) { s.LowestM = 4 }), []string{"lowest_m"}},
		{"two legs", KindSupport, support(func(s *Support) { s.Legs = 2 }), []string{"legs"}},
		{"machine alone", KindSupport, support(func(s *Support) { s.Class = ClassMachine }), []string{"operator_sku"}},
		{"stand with operator", KindSupport, support(func(s *Support) { s.OperatorSKU = "QG-OP" }), []string{"operator_sku"}},
		{"stake without pull", KindAnchor, anchor(func(a *Anchor) { a.SafePullN = 0 }), []string{"safe_pull_n"}},
		{"weight with pull", KindAnchor, anchor(func(a *Anchor) { a.Form = FormWeight }), []string{"safe_pull_n"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			item := sound(t, c.kind)
			c.spoil(&item)
			var got []string
			for _, p := range item.Validate() {
				got = append(got, p.Field)
				if p.Detail == "" {
					t.Errorf("%s: no detail", p.Field)
				}
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("problems at %v, want %v\n%v", got, c.want, item.Validate())
			}
		})
	}
}

func TestSharesThatAddUpToOneInDecimalsPass(t *testing.T) {
	item := sound(t, KindFabric)
	f := item.Spec.(*Fabric)
	for i := range 101 {
		f.Transmittance, f.Reflectance = float64(100-i)/100, float64(i)/100
		if f.Transmittance == 0 {
			f.Use = UseBounce
		}
		if got := item.Validate(); got != nil {
			t.Errorf("%v + %v: %v", f.Transmittance, f.Reflectance, got)
		}
	}
}

func TestItemOfAnotherCurrencyThanItsHouse(t *testing.T) {
	item := sound(t, KindLine)
	h := House{Slug: "quayside", Name: "Quayside", Currency: "EUR", TimeZone: "Europe/Lisbon"}
	if got := item.ValidateIn(h); got != nil {
		t.Fatal(got)
	}
	h.Currency = "GBP"
	if got := item.ValidateIn(h); len(got) != 1 || got[0].Field != "replacement" {
		t.Errorf("got %v", got)
	}
}

func TestHouseValidateNamesEveryField(t *testing.T) {
	if got := (House{"quayside", "Quayside Grip & Light", "EUR", "Europe/Lisbon"}).Validate(); got != nil {
		t.Errorf("sound house: %v", got)
	}
	var got []string
	for _, p := range (House{"Quay side", "", "EURO", "Lisbon"}).Validate() {
		got = append(got, p.Field)
	}
	if want := []string{"slug", "name", "currency", "time_zone"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestRateOnTakesTheLatestThatHasBegun(t *testing.T) {
	item := sound(t, KindLine)
	for _, c := range []struct {
		on   Date
		want string
		ok   bool
	}{
		{Date{2025, 12, 31}, "", false},
		{Date{2026, 1, 1}, "12.00", true},
		{Date{2026, 12, 31}, "12.00", true},
		{Date{2027, 1, 1}, "13.00", true},
		{Date{2040, 6, 1}, "13.00", true},
	} {
		got, ok := item.RateOn(c.on)
		if ok != c.ok || (ok && got.Number() != c.want) {
			t.Errorf("%s: %s %v, want %s %v", c.on, got.Number(), ok, c.want, c.ok)
		}
	}
}

func TestSnapshotFindsEveryItemAndSortsThem(t *testing.T) {
	a, b, c := sound(t, KindLine), sound(t, KindLine), sound(t, KindLine)
	a.SKU, b.SKU, c.SKU = "C-1", "A-1", "B-1"
	s := NewSnapshot(House{Slug: "quayside"}, []Item{a, b, c})
	var order []string
	for i := range s.Items() {
		order = append(order, s.Items()[i].SKU)
		if s.Item(s.Items()[i].SKU) != &s.Items()[i] {
			t.Errorf("%s: Item finds another", s.Items()[i].SKU)
		}
	}
	if want := []string{"A-1", "B-1", "C-1"}; !slices.Equal(order, want) {
		t.Errorf("order %v, want %v", order, want)
	}
	if s.Item("D-1") != nil {
		t.Error("finds what is not there")
	}
	defer func() {
		if recover() == nil {
			t.Error("a SKU that occurs twice must panic")
		}
	}()
	NewSnapshot(House{}, []Item{a, a})
}

// A number that is nearly 0 is a slip, and would leave the range of floats in whatever divides by it.
func TestNoAttributeIsNextToNothing(t *testing.T) {
	tried := 0
	for _, kind := range Kinds() {
		item := sound(t, kind)
		for _, f := range append(item.itemFields(), item.Spec.Fields()...) {
			at, ok := f.Value.(*float64)
			if !ok {
				continue
			}
			was := *at
			for _, v := range []float64{5e-324, 1e-320, -1e-160, 1e-12} {
				*at = v
				if p := f.Problem(); p == "" {
					t.Errorf("%s: %s may be %g", kind, f.Name, v)
				}
				tried++
			}
			*at = was
		}
	}
	if tried < 100 {
		t.Errorf("%d numbers were tried, want those of every kind", tried)
	}
}
