package lighting

import (
	"cmp"
	"slices"
	"sync"

	"kitspan/internal/overhead"
	"kitspan/internal/shot"
)

// arrays are the groups that can be made of the house's gear, in the order in which they are tried: by what the user
// prefers. Each list is made at its first use, for all planners that share them: they are safe for concurrent use.
type arrays struct {
	gear   *gear
	prefer string
	lists  [arrayKinds][]array
	once   [arrayKinds]sync.Once
}

// arrayKind names a list of arrays.
type arrayKind int

const (
	plainArrays    arrayKind = iota // boards and framed cloths
	weakArrays                      // those of them that throw no beam
	fillArrays                      // the smaller of those
	diffusedArrays                  // those that do, behind a diffusing frame
	blackArrays
	lampArrays
	softLampArrays // lamps behind a diffusing frame
	arrayKinds
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
	// largestFillM2 is up to which area a fill that throws no beam is preferred to a smaller one that does, and a black to a larger one,
	// whatever is preferred else: what stands close in does as much as what is large, and a person carries it (common practice, no source).
	largestFillM2 = 3.0
	// largestDiffuserM2 is the largest diffusing frame put before reflectors: larger ones are overheads, not diffusers (common
	// practice, no source).
	largestDiffuserM2 = 6.0
)

// of returns the list of a kind.
func (tr *arrays) of(kind arrayKind) []array {
	tr.once[kind].Do(func() {
		list := tr.sorted(tr.list(kind))
		if kind == blackArrays {
			slices.SortStableFunc(list, func(a, b array) int { return cmp.Compare(a.large(), b.large()) })
		}
		tr.lists[kind] = list
	})
	return tr.lists[kind]
}

// wholeM2 returns the area, in square metres, of an array's sheets together.
func (t *array) wholeM2() float64 { return float64(t.n) * t.of.areaM2 }

// large returns 1 for an array that is larger than what stands close in, else 0.
func (t *array) large() int {
	if t.wholeM2() > largestFillM2 {
		return 1
	}
	return 0
}

// list makes the list of a kind, unsorted.
func (tr *arrays) list(kind arrayKind) (list []array) {
	switch kind {
	case plainArrays:
		list = every(tr.gear.emitters, mostUnits)
	case weakArrays:
		for _, t := range tr.of(plainArrays) {
			if !t.of.specular() {
				list = append(list, t)
			}
		}
	case fillArrays:
		for _, t := range tr.of(weakArrays) {
			if t.wholeM2() <= largestFillM2 {
				list = append(list, t)
			}
		}
	case blackArrays:
		for _, t := range every(tr.gear.blacks, mostFramed) {
			if t.wholeM2() <= largestBlackM2 {
				list = append(list, t)
			}
		}
	case lampArrays:
		list = every(tr.gear.lamps, mostLamps)
	case diffusedArrays:
		for _, v := range tr.gear.diffusers {
			if v.areaM2 > largestDiffuserM2 {
				continue
			}
			for _, t := range tr.of(plainArrays) {
				if t.of.specular() && t.n <= mostLamps && !t.turned {
					t.diffuser = v
					list = append(list, t)
				}
			}
		}
	case softLampArrays:
		for _, v := range tr.gear.diffusers {
			for _, t := range tr.of(lampArrays) {
				t.diffuser = v
				list = append(list, t)
			}
		}
	case arrayKinds: // no kind, but how many there are
	}
	return list
}

// every returns each item in every number that the house has and that stands side by side.
func every(list []*emitter, most int) (all []array) {
	for _, l := range list {
		n := most
		if l.frame != nil {
			n = min(n, mostFramed)
		}
		for k := 1; k <= min(n, l.owned); k++ {
			all = append(all, array{of: l, n: k})
			if l.frame == nil && l.lamp == nil && !l.sheet.Square() {
				all = append(all, array{of: l, n: k, turned: true})
			}
		}
	}
	return all
}

func (tr *arrays) sorted(list []array) []array {
	type keyed struct {
		rank overhead.Rank
		at   int
		many int // 1 for more than are handy
	}
	keys := make([]keyed, len(list))
	for i := range list {
		keys[i] = keyed{list[i].rank(tr.prefer), i, min(1, list[i].n/(mostHandy+1))}
	}
	slices.SortFunc(keys, func(a, b keyed) int {
		return cmp.Or(cmp.Compare(a.many, b.many), slices.Compare(a.rank[:], b.rank[:]), cmp.Compare(a.at, b.at))
	})
	out := make([]array, len(list))
	for i, k := range keys {
		out[i] = list[k.at]
	}
	return out
}

// rank orders arrays by what the user prefers, stands apart.
func (t *array) rank(prefer string) overhead.Rank {
	n := float64(t.n)
	area, mass, minor := n*t.of.areaM2, n*t.of.massKg, int64(t.n)*t.of.minor
	if t.diffuser != nil {
		area, mass, minor = area+t.diffuser.areaM2, mass+t.diffuser.massKg, minor+t.diffuser.minor
	}
	stands, items := t.handled()
	if prefer == shot.PreferSmallest {
		area += handledM2 * float64(stands+items)
	}
	return overhead.RankBy(prefer, area, mass, minor, stands)
}

// handledM2 is the area, in square metres, that counts as much as one more stand, board, frame or cloth to carry and set where the
// smallest is wanted: two boards of 1.1 m come before four of 0.6 m, and a board on its stand before a cloth on a frame of its size
// (common practice, no source).
const handledM2 = 0.75

// handled returns how many stands an array takes, at the least, and how many boards, lamps, frames and cloths.
func (t *array) handled() (stands, items int) {
	each, pieces := 1, 1
	if t.of.frame != nil {
		each, pieces = t.of.frame.SupportsMin, 2
	}
	stands, items = t.n*each, t.n*pieces
	if t.diffuser != nil {
		stands, items = stands+max(2, t.diffuser.spec.SupportsMin), items+2
	}
	return stands, items
}

// alike reports whether two arrays are of the same things in the same number.
func (t *array) alike(o *array) bool {
	return t.of == o.of && t.n == o.n && t.turned == o.turned && t.diffuser == o.diffuser
}
