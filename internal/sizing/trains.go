package sizing

import (
	"cmp"
	"slices"

	"kitspan/internal/overhead"
	"kitspan/internal/placement"
)

// trains are the groups that can be made of the house's gear, in the order in which they are tried: by what the user
// prefers. Each list is made when first asked for.
type trains struct {
	gear   *gear
	prefer string
	lists  [trainKinds][]train
	made   [trainKinds]bool
}

// trainKind names a list of trains.
type trainKind int

const (
	plainTrains  trainKind = iota // boards and framed cloths
	weakTrains                    // those of them that throw no beam
	fillTrains                    // the smaller of those
	veiledTrains                  // those that do, behind a diffusing frame
	blackTrains
	lampTrains
	softLampTrains // lamps behind a diffusing frame
	trainKinds
)

const (
	// mostFramed is how many framed cloths stand side by side, mostLamps how many lamps.
	mostFramed = 2
	mostLamps  = 4
	// mostHandy is how many of a kind side by side come before fewer of a larger one: every board is a stand and, aimed
	// at the sun, part of a hand (common practice, no source).
	mostHandy = 4
	// largestBlackM2 is the largest area hung up to take light away: 12 by 12 ft (common practice, no source).
	largestBlackM2 = 14.0
	// largestFillM2 is up to which area a fill that throws no beam is preferred to a smaller one that does (common
	// practice, no source).
	largestFillM2 = 3.0
	// largestVeilM2 is the largest diffusing frame put before reflectors: larger ones are overheads, not veils (common
	// practice, no source).
	largestVeilM2 = 6.0
)

// of is the list of a kind.
func (tr *trains) of(kind trainKind) []train {
	if tr.made[kind] {
		return tr.lists[kind]
	}
	tr.made[kind] = true
	var list []train
	switch kind {
	case plainTrains:
		list = every(tr.gear.givers, mostUnits)
	case weakTrains:
		for _, t := range tr.of(plainTrains) {
			if !t.of.specular() {
				list = append(list, t)
			}
		}
	case fillTrains:
		for _, t := range tr.of(weakTrains) {
			if float64(t.n)*t.of.areaM2 <= largestFillM2 {
				list = append(list, t)
			}
		}
	case blackTrains:
		for _, t := range every(tr.gear.blacks, mostFramed) {
			if float64(t.n)*t.of.areaM2 <= largestBlackM2 {
				list = append(list, t)
			}
		}
	case lampTrains:
		list = every(tr.gear.lamps, mostLamps)
	case veiledTrains:
		for _, v := range tr.gear.veils {
			if v.areaM2 > largestVeilM2 {
				continue
			}
			for _, t := range tr.of(plainTrains) {
				if t.of.specular() && t.n <= mostLamps && !t.turned {
					t.veil = v
					list = append(list, t)
				}
			}
		}
	case softLampTrains:
		for _, v := range tr.gear.veils {
			for _, t := range tr.of(lampTrains) {
				t.veil = v
				list = append(list, t)
			}
		}
	case trainKinds: // no kind, but how many there are
	}
	tr.lists[kind] = tr.sorted(list)
	return tr.lists[kind]
}

// every is each thing in every number that the house has and that stands side by side.
func every(list []*giver, most int) (all []train) {
	for _, l := range list {
		n := most
		if l.frame != nil {
			n = min(n, mostFramed)
		}
		for k := 1; k <= min(n, l.owned); k++ {
			all = append(all, train{of: l, n: k})
			if l.frame == nil && l.lamp == nil && !l.sheet.Square() {
				all = append(all, train{of: l, n: k, turned: true})
			}
		}
	}
	return all
}

func (tr *trains) sorted(list []train) []train {
	type keyed struct {
		rank overhead.Rank
		at   int
		many bool
	}
	keys := make([]keyed, len(list))
	for i := range list {
		keys[i] = keyed{list[i].rank(tr.prefer), i, list[i].n > mostHandy}
	}
	slices.SortFunc(keys, func(a, b keyed) int {
		return cmp.Or(cmp.Compare(placement.Flag(a.many), placement.Flag(b.many)), slices.Compare(a.rank[:], b.rank[:]), cmp.Compare(a.at, b.at))
	})
	out := make([]train, len(list))
	for i, k := range keys {
		out[i] = list[k.at]
	}
	return out
}

// rank orders trains by what the user prefers, stands apart.
func (t *train) rank(prefer string) overhead.Rank {
	n := float64(t.n)
	area, mass, minor := n*t.of.areaM2, n*t.of.massKg, int64(t.n)*t.of.minor
	if t.veil != nil {
		area, mass, minor = area+t.veil.areaM2, mass+t.veil.massKg, minor+t.veil.minor
	}
	return overhead.RankBy(prefer, area, mass, minor, t.n)
}

// alike says whether two trains are of the same things in the same number.
func (t *train) alike(o *train) bool {
	return t.of == o.of && t.n == o.n && t.turned == o.turned && t.veil == o.veil
}
