//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"slices"
	"testing"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// inGust is the jetty in a gust.
func inGust(gustMS float64) shot.Draft {
	d := jetty()
	d.GustMS = &gustMS
	return d
}

func TestWhatDoesNotHoldIsNotWorkableAndSaysWhatWould(t *testing.T) {
	for gust, holds := range map[float64]bool{0: true, 5: true, 25: false} {
		o := option(t, plan(t, inGust(gust)), sizing.LabelOverhead)
		weak := slices.ContainsFunc(o.Pieces, func(p sizing.Piece) bool { return p.Hold.LowerAtMS < gust })
		if weak == holds || o.Workable != holds {
			t.Errorf("%v m/s: workable %v, something gives way %v: %v", gust, o.Workable, weak, o.Notes)
		}
		told, ok := noted[finding.NotHeld](o)
		if ok == holds || ok && (told.Role != finding.RoleOverhead || told.AskedMS != 25 || told.LowerAtMS != o.Pieces[0].Hold.LowerAtMS || len(told.Remedies) == 0) {
			t.Errorf("%v m/s: notes %q", gust, o.Notes)
		}
	}
}

// Ballast lies on the bases of the very pieces, the kit has it, and its price is in the day's.
func TestMoreWindTakesMoreAndCostsMore(t *testing.T) {
	kg, price := -1.0, int64(-1)
	stock := house(t)
	for _, gust := range []float64{0, 3, 5, 7} {
		o := option(t, plan(t, inGust(gust)), sizing.LabelOverhead)
		now := 0.0
		for _, l := range o.Kit.Lines {
			item := stock.Item(l.SKU)
			if k := item.Kind(); k == catalog.KindBallast || k == catalog.KindAnchor {
				now += float64(l.Quantity) * item.MassKg
			}
		}
		minor, err := o.Kit.PerDay.Int64()
		if err != nil || now < kg || minor < price {
			t.Errorf("%v m/s: %v kg for %d, in less wind %v kg for %d (%v)", gust, now, minor, kg, price, err)
		}
		kg, price = now, minor
	}
	if kg < 100 {
		t.Errorf("%v kg hold a frame of nine square metres in 7 m/s", kg)
	}
}

// TestStakesHoldInSoftGroundAlone asks for stakes on grass and on concrete.
func TestStakesHoldInSoftGroundAlone(t *testing.T) {
	t.Parallel()
	stock := house(t)
	for ground, want := range map[string]bool{"grass": true, "concrete": false} {
		found := map[bool]int{} // by whether it is a stake, and not ballast
		for _, s := range oracle.Scenes(1, 12) {
			s.Draft.GustMS, s.Draft.MeanWindMS = some(5.0), nil
			s.Draft.GroundAnchor, s.Draft.Site.Ground = some(shot.AnchorStakes), &ground
			res, err := oracle.Size(t.Context(), s, stock)
			if err != nil {
				t.Fatal(err)
			}
			for _, o := range res.Options {
				for _, p := range o.Pieces {
					for _, l := range p.Lines {
						a, is := stock.Item(l.Anchor.SKU).Spec.(*catalog.Anchor)
						found[is && a.Form == catalog.FormStake]++
					}
				}
			}
		}
		// Where stakes in soft ground bear too little, ballast is taken there too; stakes in hard ground never are.
		if found[want] < 3*found[!want] || found[want] == 0 || !want && found[true] > 0 {
			t.Errorf("on %s, ropes to stakes and to others: %v", ground, found)
		}
	}
}

func TestLimitsSayByHowMuch(t *testing.T) {
	free := option(t, plan(t, inGust(4)), sizing.LabelOverhead)
	for want, c := range map[string]struct {
		limit shot.DraftLimits
		told  func(o sizing.Option) bool
	}{
		"two people": {shot.DraftLimits{Crew: some(2)}, func(o sizing.Option) bool {
			n, ok := noted[finding.OverCrew](o)
			return ok && n == finding.OverCrew{People: o.Crew.Total, Limit: 2}
		}},
		"50 kg": {shot.DraftLimits{MassKg: some(50.0)}, func(o sizing.Option) bool {
			n, ok := noted[finding.OverMass](o)
			return ok && n == finding.OverMass{MassKg: o.Load.MassKg, LimitKg: 50}
		}},
		"2.2 m": {shot.DraftLimits{RigHeightM: some(2.2)}, func(o sizing.Option) bool {
			n, ok := noted[finding.OverHeight](o)
			return ok && n.LimitM == 2.2 && n.TopM > 2.2
		}},
	} {
		d := inGust(4)
		d.Limits = c.limit
		r := plan(t, d)
		for _, o := range r.Options {
			if o.Label == sizing.LabelReflectors {
				continue
			}
			if o.Workable || !c.told(o) {
				t.Errorf("%s: %s workable %v, notes %v", want, o.Label, o.Workable, o.Notes)
			}
		}
	}
	roomy := inGust(4)
	roomy.Limits = shot.DraftLimits{
		Crew: some(free.Crew.Total), MassKg: some(math.Ceil(free.Load.MassKg)), RigHeightM: some(10.0), PricePerDay: &free.Kit.PerDay,
	}
	if o := option(t, plan(t, roomy), sizing.LabelOverhead); !o.Workable || o.Crew.Total != free.Crew.Total {
		t.Errorf("limits as large as the plan: workable %v, notes %v", o.Workable, o.Notes)
	}
}

// Machines are for what stands do not do, and for frames over 12 × 12 ft, which is 13.4 m² over the tubes.
func TestMachinesAreForWhatStandsDoNotDo(t *testing.T) {
	t.Parallel()
	stock := house(t)
	offered := map[bool]int{}
	for _, s := range append(oracle.Scenes(1, 16), oracle.Shoot{Draft: inGust(6)}, oracle.Shoot{Draft: inGust(12)}) {
		res, err := oracle.Size(t.Context(), s, stock)
		if err != nil {
			t.Fatal(err)
		}
		calls, lift := true, false
		for _, o := range res.Options {
			lift = lift || o.Label == sizing.LabelOnLift
			if o.Label != sizing.LabelOverhead || !o.Has(finding.RoleOverhead) {
				continue
			}
			calls = false
			for _, p := range o.Pieces {
				if p.Role == finding.RoleOverhead || p.Role == finding.RoleSide {
					f := stock.Item(p.Items[0].SKU).Spec.(*catalog.Frame)
					calls = calls || p.Hold.LowerAtMS < res.Shot.GustMS || f.OuterWidthM*f.OuterHeightM > 13.5
				}
			}
		}
		if lift && !calls {
			t.Errorf("%s: machines beside stands that do", s)
		}
		if calls || lift {
			offered[lift]++
		}
	}
	if offered[true] < 2 {
		t.Errorf("machines are offered %d times of %d", offered[true], offered[true]+offered[false])
	}
}

func TestPeopleAndVehiclesArePricedApart(t *testing.T) {
	stock := house(t)
	calm, windy := plan(t, inGust(6)), plan(t, inGust(12)) // which no frame on stands holds
	machines := 0
	for _, o := range slices.Concat(calm.Options, windy.Options) {
		people := map[string]int{}
		for _, l := range o.Labour.Lines {
			people[stock.Item(l.SKU).Spec.(*catalog.Labour).Role] += l.Quantity
		}
		if n := people[catalog.RoleLead] + people[catalog.RoleHand] + people[catalog.RoleOperator] + people[catalog.RoleElectrician]; n != o.Crew.Total {
			t.Errorf("%s: %v for a crew of %d", o.Label, people, o.Crew.Total)
		}
		vans, lorries, drivers := 0, 0, 0
		for _, l := range o.Transport.Lines {
			switch stock.Item(l.SKU).Kind() {
			case catalog.KindVehicle:
				vans += l.Quantity
				if stock.Item(l.SKU).Spec.(*catalog.Vehicle).Driver == catalog.DriverHired {
					lorries += l.Quantity
				}
			default:
				drivers += l.Quantity
			}
		}
		if vans == 0 || drivers != lorries {
			t.Errorf("%s: %d vehicles, %d of them with a hired driver, %d drivers", o.Label, vans, lorries, drivers)
		}
		sum := o.Kit.PerDay
		for _, k := range []price.Kit{o.Labour, o.Transport} {
			var err error
			if sum, err = sum.Add(k.PerDay); err != nil {
				t.Fatal(err)
			}
			if k.PerDay.IsZero() {
				t.Errorf("%s: labour or transport costs nothing", o.Label)
			}
		}
		if !sum.Equal(o.TotalPerDay) {
			t.Errorf("%s: total %s, the parts add up to %s", o.Label, o.TotalPerDay, sum)
		}
		if o.Label == sizing.LabelOnLift {
			machines++
			if people[catalog.RoleOperator] != 2 || !has[finding.SlewingRoom](o) || !has[finding.MachinesApart](o) {
				t.Errorf("two machines: %v, notes %v", people, o.Notes)
			}
			if without := o.TotalWithout(); !slices.Equal(without, []finding.Unpriced{finding.UnpricedCarriers}) {
				t.Errorf("the machines come unpriced, the total is without %v", without)
			}
		} else if without := o.TotalWithout(); len(without) > 0 {
			t.Errorf("%s: the total is without %v", o.Label, without)
		}
	}
	if machines == 0 {
		t.Error("no option on machines")
	}
}

// A hall by night: lamps on the mains, two of 600 W and more, on a small breaker and on a large one.
func TestLampsAreSpreadOverCircuits(t *testing.T) {
	_, d := exampleDraft(t, "../../docs/examples/09-floodlit-sports-hall.json")
	stock := house(t)
	for amps, overloaded := range map[float64]bool{2: true, 16: false, 400: false} {
		d.Supply = shot.DraftSupply{PositionM: []float64{3, -8}, CircuitA: &amps, Generator: some(true)}
		lit := 0
		for _, o := range plan(t, d).Options {
			if o.Power.MainsW == 0 {
				continue
			}
			lit++
			watts, lamps := 0.0, 0
			for _, c := range o.Power.Circuits {
				lamps += len(c.Lamps)
				sum := 0.0
				for k, i := range c.Lamps {
					p := o.Pieces[i]
					w := stock.Item(p.Items[0].SKU).Spec.(*catalog.Lamp).PowerW
					sum += w
					at := p.Lamp.Position
					if run := math.Abs(at.X-3) + math.Abs(at.Y+8) + at.Z; math.Abs(run-c.CableRunsM[k]) > 1e-9 || run > o.Power.LongestRunM+1e-9 {
						t.Errorf("a run of %v m, by hand %v; the longest %v", c.CableRunsM[k], run, o.Power.LongestRunM)
					}
				}
				// 80 % of the breaker, power factor 0.9, common practice, no source
				if math.Abs(c.Watts-sum) > 1e-9 || math.Abs(c.Amps-sum/0.9/230) > 1e-9 || c.Overloaded != (c.Amps > 0.8*amps) ||
					c.Overloaded && len(c.Lamps) > 1 {
					t.Errorf("%v A: circuit %+v, %v W by hand", amps, c, sum)
				}
				if c.Overloaded != overloaded {
					t.Errorf("%v A: %+v", amps, c)
				}
				watts += sum
			}
			if math.Abs(watts-o.Power.MainsW) > 1e-9 || math.Abs(o.Power.GeneratorVA-1.25*watts/0.9) > 1e-9 || lamps == 0 {
				t.Errorf("%v W in circuits, %+v", watts, o.Power)
			}
			if amps == 400 && len(o.Power.Circuits) != 1 {
				t.Errorf("%d circuits of 400 A", len(o.Power.Circuits))
			}
		}
		if lit == 0 {
			t.Error("no lamp on the mains")
		}
	}
}

// Lamps that together draw 90 % of a breaker need more than one, and at 79 % one does: 80 % may be drawn all the time (common
// practice, no source).
func TestACircuitIsLoadedToFourFifths(t *testing.T) {
	_, d := exampleDraft(t, "../../docs/examples/09-floodlit-sports-hall.json")
	d.Look.KeyStops, d.Look.BackStops = some(1.5), some(0.0)
	whole := house(t)
	weak := catalog.NewSnapshot(whole.House, slices.DeleteFunc(slices.Clone(whole.Items()), func(item catalog.Item) bool {
		lamp, ok := item.Spec.(*catalog.Lamp)
		return ok && (lamp.Supply != catalog.SupplyMains || lamp.PowerW > 600) // several are needed
	}))
	const wide = 400.0
	told := 0
	for share, one := range map[float64]bool{0.9: false, 0.79: true} {
		d.Supply.CircuitA = some(wide)
		for _, o := range planOf(t, d, weak).Options {
			if len(o.Power.Circuits) == 0 || len(o.Power.Circuits[0].Lamps) < 2 {
				continue
			}
			tight := d
			tight.Supply.CircuitA = some(o.Power.Circuits[0].Amps / share)
			told++
			if got := option(t, planOf(t, tight, weak), o.Label).Power.Circuits; (len(got) == 1) != one {
				t.Errorf("%d lamps at %.0f %% of a breaker: %+v", len(o.Power.Circuits[0].Lamps), 100*share, got)
			}
		}
	}
	if told < 2 {
		t.Errorf("%d sets of lamps", told)
	}
}

// A house without people or vehicles says so, and prices the rest.
func TestAHouseWithoutPeople(t *testing.T) {
	whole := house(t)
	var items []catalog.Item
	for _, item := range whole.Items() {
		if k := item.Kind(); k != catalog.KindLabour && k != catalog.KindVehicle && k != catalog.KindBallast {
			if s, ok := item.Spec.(*catalog.Support); !ok || s.OperatorSKU == "" {
				items = append(items, item)
			}
		}
	}
	o := option(t, planOf(t, inGust(0), catalog.NewSnapshot(whole.House, items)), sizing.LabelOverhead)
	zero, _ := currency.NewAmount("0.00", "EUR")
	if !o.Labour.PerDay.Equal(zero) || !o.Transport.PerDay.Equal(zero) || o.Crew.Total == 0 || len(o.Haul) > 0 || !o.TotalPerDay.Equal(o.Kit.PerDay) ||
		!has[finding.NoLabour](o) || !has[finding.NoTransport](o) {
		t.Errorf("labour %s, transport %s, notes %v", o.Labour.PerDay, o.Transport.PerDay, o.Notes)
	}
}
