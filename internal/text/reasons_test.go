//go:build !race

package text_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/rigging"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// printedFigure is a number as it stands in a sentence: its value, and by how much rounding may have moved it.
type printedFigure struct{ value, half float64 }

// figure finds numbers; those of light have three digits that count.
var figure = regexp.MustCompile(`([-+]?\d+(?:\.(\d+))?)( lx)?`)

// figuresIn are the numbers of a sentence in order, those in the names of functions left out. One without decimals is exact.
func figuresIn(t *testing.T, sentence string) (list []printedFigure) {
	t.Helper()
	for _, m := range figure.FindAllStringSubmatch(strings.NewReplacer("log2", "log", "log10 2", "log").Replace(sentence), -1) {
		v, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		f := printedFigure{value: v}
		if n := len(m[2]); n > 0 {
			f.half = math.Pow10(-n) / 2
		}
		if m[3] != "" {
			f.half = math.Pow10(int(math.Floor(math.Log10(v)))-2) / 2
		}
		list = append(list, f)
	}
	return list
}

// comesTo checks that a formula of the figures at some places comes to the figure at another, within what rounding may have moved them all.
func comesTo(t *testing.T, list []printedFigure, at []int, of func(v []float64) float64, result int) {
	t.Helper()
	least, most, v := math.Inf(1), math.Inf(-1), make([]float64, len(at))
	for corner := range 1 << len(at) {
		for i, k := range at {
			if result >= len(list) || k >= len(list) {
				t.Fatalf("%d figures: %v", len(list), list)
			}
			v[i] = list[k].value + list[k].half*float64(2*(corner>>i&1)-1)
		}
		least, most = min(least, of(v)), max(most, of(v))
	}
	if r := list[result]; r.value+r.half < least-1e-9 || r.value-r.half > most+1e-9 {
		t.Errorf("printed %v, its figures come to %v to %v", r.value, least, most)
	}
}

// TestReasonsComeToWhatIsPrinted works every number out again from the figures that its reason prints.
func TestReasonsComeToWhatIsPrinted(t *testing.T) {
	t.Parallel()
	stock, _ := catalog.DemoSnapshot("quayside")
	seen := map[string]int{}
	for _, file := range []string{"01-two-anglers.json", "09-floodlit-sports-hall.json"} {
		res := resultOf(t, file)
		for i := range res.Options {
			o := &res.Options[i]
			list := append(append(o.LightReasons(&res.Shot), o.CrewReasons()...), o.LoadReasons(stock)...)
			for k := range o.Pieces {
				list = append(list, sizing.PieceReasons(o.Pieces[k:k+1], &res.Shot, stock)...)
			}
			for _, r := range list {
				t.Run(fmt.Sprintf("%s/%s/%T", file, o.Name, r), func(t *testing.T) { worksOut(t, r) })
				seen[fmt.Sprintf("%T", r)]++
			}
		}
	}
	if len(seen) != 8 {
		t.Errorf("reasons of %d kinds: %v", len(seen), seen)
	}
}

func worksOut(t *testing.T, r finding.Reason) {
	t.Helper()
	e := text.Reason(text.Metres, r)
	if e.Number == "" || e.Source == "" || strings.Contains(e.Number+e.Says+e.Source, "%!") {
		t.Fatalf("%+v", e)
	}
	says, number := figuresIn(t, e.Says), figuresIn(t, e.Number)
	equal := func(got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: prints %v for %v", e.Number, got, want)
		}
	}
	defer func() {
		if t.Failed() {
			t.Logf("%s\n%s", e.Number, e.Says)
		}
	}()
	product := func(v []float64) float64 { return v[0] * v[1] * v[2] }
	switch r := r.(type) {
	case finding.ForceReason:
		comesTo(t, says, []int{0, 1}, func(v []float64) float64 { return v[0] / 2 * v[1] * v[1] }, 2)
		comesTo(t, says, []int{3, 4, 5}, product, 6)
		if n := number[0].value; n < says[6].value-says[6].half || n > says[6].value+1+says[6].half {
			t.Errorf("%v N is not %v rounded up", n, says[6].value)
		}
	case finding.GustReason:
		n := 3 // what follows when it is lowered
		if r.LimitMS == 0 {
			comesTo(t, says, []int{3, 4, 5}, func(v []float64) float64 { return min(v[0], v[1]/100*v[2]) }, 6)
			n = 6
		}
		comesTo(t, says, []int{n + 1, n + 2}, func(v []float64) float64 { return v[0] / 100 * v[1] }, n+3)
		comesTo(t, says, []int{n + 4, n + 5}, func(v []float64) float64 { return v[0] * v[0] / v[1] / v[1] }, n+6)
		for k, exact := range []float64{r.WatchAtMS, r.LowerAtMS, r.SafeToMS} {
			equal(number[k].value, text.DownToTenth(exact))
		}
	case finding.BallastReason:
		comesTo(t, says, []int{0, 1}, func(v []float64) float64 { return v[0] * v[1] }, 2)
		equal(number[0].value, says[2].value)
	case finding.KeyReason:
		comesTo(t, says, []int{0, 1}, func(v []float64) float64 { return math.Log2(v[0] / v[1]) }, 2)
		comesTo(t, []printedFigure{says[2], number[0]}, []int{0}, func(v []float64) float64 { return v[0] }, 1)
	case finding.DensityReason:
		n := 0 // the place of the background's value
		if !r.Measured {
			n = 3
			comesTo(t, says, []int{0, 1, 2}, func(v []float64) float64 { return math.Log2(v[0] * v[1] / v[2]) }, n)
		}
		comesTo(t, says, []int{n + 3, n + 4, n + 5, n + 6, n + 7, n + 8}, func(v []float64) float64 {
			return math.Log2(r.TStop * r.TStop * v[1] * v[2] / v[3] * v[4] / v[5])
		}, n+9)
		comesTo(t, says, []int{n + 10, n + 11, n + 12}, func(v []float64) float64 { return v[0] - v[1] - v[2] }, n+13)
		if r.Stops >= 0 {
			comesTo(t, says, []int{n + 13}, func(v []float64) float64 { return v[0] * math.Log10(2) }, n+14)
			comesTo(t, []printedFigure{says[n+14], number[0]}, []int{0}, func(v []float64) float64 { return v[0] }, 1)
		}
	case finding.PeopleReason:
		last := len(says) - 1
		equal(number[0].value, says[last].value)
		equal(says[last].value, max(says[0].value, says[1].value))
		if r.LeadLifts {
			equal(says[1].value, max(says[2].value, says[3].value)+says[4].value)
		} else {
			equal(says[1].value, says[2].value+says[3].value+says[4].value+says[5].value)
		}
	case finding.TimeReason:
		comesTo(t, says, []int{4}, func(v []float64) float64 {
			at := func(i int) float64 { return says[i].value }
			return at(0) + at(1)*at(2) + at(3)*v[0] + at(5)*at(6) + at(7)*at(8) + (at(9)*at(10)+at(11)*at(12)+at(13)*at(14)+at(15)*at(16))/at(17)
		}, 18)
		if n, sum := number[0].value, says[18]; n < sum.value-sum.half || n >= sum.value+5+sum.half || math.Mod(n, 5) != 0 {
			t.Errorf("%v min is not %v rounded up to five", n, sum.value)
		}
	case finding.LoadReason:
		kg, m3 := 0.0, 0.0
		for _, part := range strings.Split(e.Says, ": they take ")[1:] {
			c := figuresIn(t, part)
			comesTo(t, c, []int{0, 1, 2}, func(v []float64) float64 { return v[0] * (v[1] - v[2]) }, 3)
			comesTo(t, c, []int{4, 5, 6}, product, 7)
			kg, m3 = kg+c[3].value, m3+c[7].value
		}
		if len(r.Vehicles) > 0 && (kg < number[0].value-0.5 || m3 < number[1].value-0.01) {
			t.Errorf("%v kg and %v m³ go into %v kg and %v m³", number[0].value, number[1].value, kg, m3)
		}
	}
}

// A set limit, hands that hold it and missing light are said as that, and no language leaves a verb without its argument.
func TestReasonsSayWhatIsSpecial(t *testing.T) {
	t.Parallel()
	limit := finding.GustReason{Factor: 1.5, SafeToMS: 16.33, GoesAtMS: 20, LowerAtMS: 10, LimitMS: 10, WatchAtMS: 7.5, Governs: rigging.GovernsHouseLimit}
	held := finding.GustReason{Factor: 1.5, SafeToMS: 4, GoesAtMS: 4.9, LowerAtMS: 3.92, WatchAtMS: 2.94, Governs: rigging.GovernsSupport, Held: true}
	dark := finding.DensityReason{ReferenceLx: 80, EV100: 5, ISO: 800, FrameRateFPS: 25, AngleDeg: 180, TStop: 2.8, CameraEV100: 5.6147, Stops: -0.6147}
	far := finding.LoadReason{MassKg: 9000, VolumeM3: 40}
	for _, tc := range []struct {
		reason finding.Reason
		says   string
	}{{limit, "a set limit, 10.00 m/s (the house sets that limit)"}, {held, "nobody holds it in more"}, {dark, "light is missing"}, {far, "The house's vehicles do not carry it."}} {
		if got := text.Reason(text.Metres, tc.reason); !strings.Contains(got.Says, tc.says) {
			t.Errorf("%q does not say %q", got.Says, tc.says)
		}
		worksOut(t, tc.reason)
		for _, l := range phrase.All() {
			if e := text.Reason(text.Metres.In(l), tc.reason); strings.Contains(e.Number+e.Says+e.Source, "%!") || e.Number == "" {
				t.Errorf("%s: %+v", l.Tag(), e)
			}
		}
	}
}
