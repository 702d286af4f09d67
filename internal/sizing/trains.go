package sizing

import (
	"cmp"
	"slices"
)

// trains are the groups that can be made of the house's gear, in the order in which they are tried: by what the user
// prefers.
type trains struct {
	plain  []train // boards and framed cloths
	veiled []train // the same behind a diffusing frame
	blacks []train
	bare   []train // lamps
	soft   []train // lamps behind a diffusing frame
}

const (
	// mostFramed is how many framed cloths or lamps stand side by side, mostLamps how many lamps.
	mostFramed = 2
	mostLamps  = 4
	// mostVeils is how many sizes of diffusing frame are tried before reflectors: larger ones are overheads, not veils
	// (common practice, no source).
	largestVeilM2 = 6.0
)

func (g *gear) trains(prefer string) *trains {
	out := &trains{}
	every := func(list []*giver, most int) (all []train) {
		for _, l := range list {
			n := most
			if l.frame != nil {
				n = min(n, mostFramed)
			}
			for k := 1; k <= min(n, l.owned); k++ {
				all = append(all, train{of: l, n: k})
				if l.frame == nil && l.lamp == nil && !l.sheet.square() {
					all = append(all, train{of: l, n: k, turned: true})
				}
			}
		}
		return all
	}
	out.plain = every(g.givers, mostUnits)
	out.blacks = every(g.blacks, mostFramed)
	out.bare = every(g.lamps, mostLamps)
	for _, v := range g.veils {
		if v.areaM2 > largestVeilM2 {
			continue
		}
		for _, t := range out.plain {
			if t.of.specular() && t.n <= mostLamps && !t.turned {
				t.veil = v
				out.veiled = append(out.veiled, t)
			}
		}
	}
	for _, v := range g.veils {
		for _, t := range out.bare {
			t.veil = v
			out.soft = append(out.soft, t)
		}
	}
	for _, list := range [][]train{out.plain, out.veiled, out.blacks, out.bare, out.soft} {
		slices.SortStableFunc(list, func(a, b train) int {
			ra, rb := a.rank(prefer), b.rank(prefer)
			return cmp.Or(slices.Compare(ra[:], rb[:]), cmp.Compare(a.of.item.SKU, b.of.item.SKU), cmp.Compare(a.n, b.n))
		})
	}
	return out
}

// rank orders trains by what the user prefers, stands apart.
func (t *train) rank(prefer string) rank {
	n := float64(t.n)
	area, mass, minor := n*t.of.areaM2, n*t.of.massKg, int64(t.n)*t.of.minor
	if t.veil != nil {
		area, mass, minor = area+t.veil.areaM2, mass+t.veil.massKg, minor+t.veil.minor
	}
	return rankBy(prefer, area, mass, minor, t.n)
}
