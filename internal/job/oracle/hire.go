package oracle

import "slices"

// cost is what a way to hire comes to: money, then the days of all units, then their last days, added up.
type cost struct {
	minor           int64
	unitDays, lasts int
}

func (c cost) less(d cost) bool {
	switch {
	case c.minor != d.minor:
		return c.minor < d.minor
	case c.unitDays != d.unitDays:
		return c.unitDays < d.unitDays
	}
	return c.lasts < d.lasts
}

// hireOf is the cheapest way to hire an item, and one way to do so: how many units are there on each day.
type hireOf struct {
	cost
	there []int
	ok    bool
}

// cheapest returns the cheapest hire that has at least need[d] units there on each day, where a unit hired on day d costs rates[d] for every
// day; a rate under 0 begins nothing. It tries every span that holds the first day on which units are still missing.
func cheapest(rates []int64, need []int) hireOf {
	known := map[string]hireOf{}
	var from func(missing []int) hireOf
	from = func(missing []int) hireOf {
		d := slices.IndexFunc(missing, func(n int) bool { return n > 0 })
		if d < 0 {
			return hireOf{there: make([]int, len(missing)), ok: true}
		}
		key := make([]byte, 0, 2*len(missing))
		for _, n := range missing {
			key = append(key, byte(n), byte(n>>8))
		}
		if h, is := known[string(key)]; is {
			return h
		}
		best := hireOf{}
		for first := 0; first <= d; first++ {
			if rates[first] < 0 {
				continue
			}
			for last := d; last < len(missing); last++ {
				if last > d && missing[last] == 0 && rates[first] > 0 {
					continue // it may as well end a day sooner, for less
				}
				left := slices.Clone(missing)
				for k := d; k <= last; k++ {
					left[k] = max(0, left[k]-1)
				}
				h := from(left)
				if !h.ok {
					continue
				}
				c := cost{h.minor + rates[first]*int64(last-first+1), h.unitDays + last - first + 1, h.lasts + last}
				if best.ok && !c.less(best.cost) {
					continue
				}
				there := slices.Clone(h.there)
				for k := first; k <= last; k++ {
					there[k]++
				}
				best = hireOf{c, there, true}
			}
		}
		known[string(key)] = best
		return best
	}
	return from(need)
}
