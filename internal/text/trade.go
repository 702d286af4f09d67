package text

import (
	"fmt"
	"math"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// Trade says in one line why an option is there: of the first what it is best in, of any other what it takes less, then more, than the
// first. Differences that nobody would choose by are left out.
func Trade(u Reader, o *sizing.Option, first bool) string {
	if first {
		if best := bestIn(o); best != "" {
			return best
		}
		return "first by what is preferred"
	}
	less, more := trades(u, o)
	if said := append(less, more...); len(said) > 0 {
		return strings.Join(said, ", ")
	}
	return "takes about as much as the first"
}

// bestIn names what an option is best in; empty where it is in nothing.
func bestIn(o *sizing.Option) string {
	words := map[finding.Measure]string{
		finding.MeasureFrame: "smallest frame", finding.MeasureTotal: "least total", finding.MeasurePeople: "fewest people",
		finding.MeasureMass: "lightest", finding.MeasureTime: "quickest to rig",
	}
	var said []string
	for _, in := range o.BestIn {
		said = append(said, words[in])
	}
	return strings.Join(said, ", ")
}

// trades words what a trade takes less and what more.
func trades(u Reader, o *sizing.Option) (less, more []string) {
	t := &o.Trade
	say := func(by float64, down, up string) {
		switch {
		case by < 0:
			less = append(less, down)
		case by > 0:
			more = append(more, up)
		}
	}
	amount := t.Total
	if amount.IsNegative() {
		amount, _ = amount.Mul("-1")
	}
	if !amount.IsZero() {
		sign := 1.0
		if t.Total.IsNegative() {
			sign = -1
		}
		say(sign, money(amount)+" less", money(amount)+" more")
	}
	people := count(int(math.Abs(float64(t.People))), "person", "people")
	say(float64(t.People), people+" fewer", people+" more")
	if kg := math.Round(math.Abs(t.MassKg)); kg >= leastKg {
		mass := fmt.Sprintf("%.0f kg", kg)
		say(t.MassKg, mass+" lighter", mass+" heavier")
	}
	switch sizes := count(int(math.Abs(float64(t.Sizes))), "size", "sizes"); {
	case !o.Has(finding.RoleOverhead, finding.RoleSide) && t.FrameM2 < 0:
		less = append(less, "no frame overhead")
	case t.Sizes != 0:
		say(float64(t.Sizes), "frame "+sizes+" smaller", "frame "+sizes+" larger")
	case math.Abs(t.FrameM2) > 1e-9:
		area := u.area(math.Abs(t.FrameM2))
		say(t.FrameM2, area+" less of frames", area+" more of frames")
	}
	if math.Abs(float64(t.Minutes)) >= leastMinutes {
		minutes := fmt.Sprintf("%.0f min", math.Abs(float64(t.Minutes)))
		say(float64(t.Minutes), minutes+" quicker to rig and strike", minutes+" longer to rig and strike")
	}
	return less, more
}

// The least differences that are told (common practice, no source).
const leastKg, leastMinutes = 5, 15

// small are the numbers that are written out.
var small = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}

// count writes a number of things.
func count(n int, one, many string) string {
	word := fmt.Sprint(n)
	if n < len(small) {
		word = small[n]
	}
	if n == 1 {
		return word + " " + one
	}
	return word + " " + many
}
