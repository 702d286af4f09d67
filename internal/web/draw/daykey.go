package draw

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// frameKey is a frame of the day by a letter.
type frameKey struct {
	letter, sku string
	areaM2      float64
}

// reason is why steps have no overhead, by a mark: what they have in common, and the whole of the first of them.
type reason struct {
	mark, lead, text string
}

// frameKeys letters the frames of the day, the smallest first.
func frameKeys(s *sizing.SweepResult) []frameKey {
	var list []frameKey
	for i := range s.Rows {
		v := s.Rows[i].Overhead
		if v != nil && !slices.ContainsFunc(list, func(k frameKey) bool { return k.sku == v.SKU }) {
			list = append(list, frameKey{"", v.SKU, v.AreaM2})
		}
	}
	slices.SortStableFunc(list, func(a, b frameKey) int {
		return cmp.Or(cmp.Compare(a.areaM2, b.areaM2), cmp.Compare(a.sku, b.sku))
	})
	for i := range list {
		list[i].letter = letter(i, 'A')
	}
	return list
}

// letter counts A to Z, then A2 and so on.
func letter(i int, first rune) string {
	s := string(first + rune(i%26))
	if i >= 26 {
		s += strconv.Itoa(i/26 + 1)
	}
	return s
}

func (d *dayChart) letter(sku string) string {
	for _, k := range d.keys {
		if k.sku == sku {
			return k.letter
		}
	}
	return ""
}

func reasons(s *sizing.SweepResult, u Units) []reason {
	var list []reason
	for i := range s.Rows {
		row := &s.Rows[i]
		lead := text.WithoutAnyHour(u.Text, row.Without)
		if lead == "" || slices.ContainsFunc(list, func(k reason) bool { return k.lead == lead }) {
			continue
		}
		says := lead
		if nearest := text.Nearest(row.Without); nearest != nil {
			says = u.say("%s Nearest at %s: %s", lead, row.Sun.At.Format("15:04"), text.RuledOut(u.Text, nearest))
		}
		list = append(list, reason{letter(len(list), 'a'), lead, says})
	}
	return list
}

func (d *dayChart) markOf(row *sizing.SweepRow) string {
	for _, r := range d.why {
		if r.lead == text.WithoutAnyHour(d.u.Text, row.Without) {
			return r.mark
		}
	}
	return "–"
}

// bestOf marks the steps of the least area and among them of the least price; on stands before lifts, which only stand in
// where no stands do, and within the limit of price where any is.
func bestOf(s *sizing.SweepResult) []bool {
	best := make([]bool, len(s.Rows))
	var least *sizing.SweepOverhead
	rank := func(a, b *sizing.SweepOverhead) int {
		flag := func(v bool) int {
			if v {
				return 1
			}
			return 0
		}
		return cmp.Or(flag(a.OverLimit)-flag(b.OverLimit), cmp.Compare(a.AreaM2, b.AreaM2), cmp.Compare(money(a), money(b)), flag(a.OnLift)-flag(b.OnLift))
	}
	for i := range s.Rows {
		if v := s.Rows[i].Overhead; v != nil && (least == nil || rank(v, least) < 0) {
			least = v
		}
	}
	all := true
	for i := range s.Rows {
		v := s.Rows[i].Overhead
		best[i] = v != nil && rank(v, least) == 0
		all = all && best[i]
	}
	if all {
		return make([]bool, len(s.Rows)) // one step is as good as another
	}
	return best
}

// keyLines are the frames by letter and the reasons by mark, under the panels.
func (d *dayChart) keyLines() []string {
	var lines []string
	const width = paperWidth - 32
	add := func(text string) {
		for _, l := range wrap(text, width) {
			lines = append(lines, clip(l, smallSize, width))
		}
	}
	var frames []string
	lift, over := false, false
	for i := range d.s.Rows {
		if v := d.s.Rows[i].Overhead; v != nil {
			lift, over = lift || v.OnLift, over || v.OverLimit
		}
	}
	for _, k := range d.keys {
		frames = append(frames, k.letter+": "+k.sku+", "+d.u.Area(k.areaM2, 1))
	}
	for _, f := range frames {
		add(f)
	}
	if lift {
		add(d.u.say("Striped bars: on a lifting machine, no stands do."))
	}
	if over {
		add(d.u.say("Dashed price: over the limit that was set."))
	}
	for _, r := range d.why {
		add(r.mark + ": " + r.text)
	}
	return lines
}

func (d *dayChart) desc() string {
	var b strings.Builder
	rows := d.s.Rows
	b.WriteString(d.u.say("From %s to %s in steps of %d minutes.", rows[0].Sun.At.Format("15:04"), d.end.Format("15:04"), d.s.Steps.StepMin))
	for i := range rows {
		if d.best[i] {
			v := rows[i].Overhead
			b.WriteString(" " + d.u.say("Smallest frame from %s: %s, %s, %s %s per day.", rows[i].Sun.At.Format("15:04"), v.SKU, d.u.Area(v.AreaM2, 1), d.u.Number(money(v), 2), v.PerDay.CurrencyCode()))
			break
		}
	}
	return b.String()
}
