package text

import (
	"math"
	"strconv"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/sizing"
)

// Trade says in one line why an option is there: of the first what it is best in, of any other what it takes less, then more, than the
// first. Differences that nobody would choose by are left out.
func Trade(to Reader, o *sizing.Option, first bool) string {
	if first {
		if best := bestIn(to, o); best != "" {
			return best
		}
		return to.say("first by what is preferred")
	}
	less, more := trades(to, o)
	if said := append(less, more...); len(said) > 0 {
		return strings.Join(said, ", ")
	}
	return to.say("takes about as much as the first")
}

// bestIn names what an option is best in; empty where it is in nothing.
func bestIn(to Reader, o *sizing.Option) string {
	words := map[finding.Measure]phrase.Key{
		finding.MeasureFrame: "smallest frame", finding.MeasureTotal: "least total", finding.MeasurePeople: "fewest people",
		finding.MeasureMass: "lightest", finding.MeasureTime: "quickest to rig",
	}
	var said []string
	for _, in := range o.BestIn {
		said = append(said, to.say(words[in]))
	}
	return strings.Join(said, ", ")
}

// trades words what a trade takes less and what more.
func trades(to Reader, o *sizing.Option) (less, more []string) {
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
		say(sign, to.say("%s less", to.money(amount)), to.say("%s more", to.money(amount)))
	}
	n := int(math.Abs(float64(t.People)))
	say(float64(t.People), to.count("one person fewer", "%s people fewer", n, to.small(n)), to.count("one person more", "%s people more", n, to.small(n)))
	if kg := math.Round(math.Abs(t.MassKg)); kg >= leastKg {
		say(t.MassKg, to.say("%.0f kg lighter", kg), to.say("%.0f kg heavier", kg))
	}
	switch n := int(math.Abs(float64(t.Sizes))); {
	case !o.Has(finding.RoleOverhead, finding.RoleSide) && t.FrameM2 < 0:
		less = append(less, to.say("no frame overhead"))
	case t.Sizes != 0:
		say(float64(t.Sizes), to.count("frame one size smaller", "frame %s sizes smaller", n, to.small(n)), to.count("frame one size larger", "frame %s sizes larger", n, to.small(n)))
	case math.Abs(t.FrameM2) > 1e-9:
		area := to.area(math.Abs(t.FrameM2))
		say(t.FrameM2, to.say("%s less of frames", area), to.say("%s more of frames", area))
	}
	if minutes := math.Abs(float64(t.Minutes)); minutes >= leastMinutes {
		say(float64(t.Minutes), to.say("%.0f min quicker to rig and strike", minutes), to.say("%.0f min longer to rig and strike", minutes))
	}
	return less, more
}

// The least differences that are told (common practice, no source).
const leastKg, leastMinutes = 5, 15

// smallNumbers are those that are written out, from two.
var smallNumbers = [...]phrase.Key{"two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}

// small writes a number of things, of more than one.
func (to Reader) small(n int) string {
	if at := n - 2; at >= 0 && at < len(smallNumbers) {
		return to.say(smallNumbers[at])
	}
	return strconv.Itoa(n)
}
