package oracle

import (
	"math"
	"slices"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

const (
	// leastGrazeDeg is the least angle between the sun and a reflector's sheet: flatter, hardly any light falls on it.
	leastGrazeDeg = 10
	grazeTolDeg   = 0.25
	// lowestSunDeg is the elevation under which no reflector counts on the sun, and sunDoubtDeg how near to it neither
	// is wrong.
	lowestSunDeg = 3
	sunDoubtDeg  = 0.1
	// worthShare is the share of the key wanted that a source must give to be worth reflecting (common practice, no
	// source).
	worthShare = 0.5
	// alikeShare is how near two sources are for reflectors to work with either.
	alikeShare = 0.05
	// shadeShare is the least share of a reflector's sheet in the shade that counts: less is a corner's tip.
	shadeShare = 0.01
	// clothLets is the least that a cloth lets through which does not count as opaque.
	clothLets = 0.1
	// trimM is how much smaller a sheet is taken where it must see or hide, so that edges that touch do not count.
	trimM = 0.001
)

// standing is a piece with where its sheet lies.
type standing struct {
	sizing.Piece
	found parts
	plate plate // nothing for a lamp
}

func (p standing) sheet() bool { return p.found.lamp == nil }

func standingIn(o sizing.Option, stock *catalog.Snapshot) []standing {
	var list []standing
	for _, p := range o.Pieces {
		if found, _ := partsOf(p, stock); found.fit(p.Role) && (found.lamp == nil || p.Lamp != nil) {
			list = append(list, standing{p, found, plateIn(p, found)})
		}
	}
	return list
}

// stops reports whether a ray meets the sheet, tubes and all, within a distance.
func (p plate) stops(from, dir vec, far float64) bool {
	return p.meets(from, dir, far, p.outer1, p.outer2)
}

// dims reports the same for the cloth alone: a tube is a sliver of the width of a beam.
func (p plate) dims(from, dir vec, far float64) bool {
	return p.meets(from, dir, far, p.half1, p.half2)
}

func (p plate) meets(from, dir vec, far, half1, half2 float64) bool {
	across := dir.dot(p.normal)
	if math.Abs(across) < 1e-9 {
		return false
	}
	r := p.centre.minus(from).dot(p.normal) / across
	if r < 1e-6 || r >= far {
		return false
	}
	at := from.along(dir, r).minus(p.centre)
	return math.Abs(at.dot(p.e1)) < half1-trimM && math.Abs(at.dot(p.e2)) < half2-trimM
}

// works reports whether reflectors may count on a source at an instant: it gives an eighth of the window's strongest, and the
// sun is not too low. sure is false where it is so near to either that neither is wrong.
func (s *Scene) works(h shining, at time.Time) (yes, sure bool) {
	share := h.lux / s.Strongest / countsShare
	yes, sure = share >= 1, math.Abs(share-1) > doubtAlike
	if h.label == SunLabel {
		high := s.sunPosition(at).ElevationDeg - lowestSunDeg
		yes, sure = yes && high >= 0, sure && math.Abs(high) > sunDoubtDeg || share < 1-doubtAlike || high < -sunDoubtDeg
	}
	return yes, sure
}

// drivers are the labels of the sources that reflectors may work with in mid-window, when their levels are given: of those
// that can be counted on the strongest and any as strong, where it gives enough. sure is false where there may or may not
// be one.
func (s *Scene) drivers() (labels []string, sure bool) {
	lux := map[string]float64{}
	sure = true
	for _, h := range s.hardAt(s.mid()) {
		yes, certain := s.works(h, s.mid())
		sure = sure && certain
		if yes {
			lux[h.label] = h.lux
		}
	}
	strongest := 0.0
	for _, lx := range lux {
		strongest = math.Max(strongest, lx)
	}
	worth := strongest / (worthShare * s.exposure().ReferenceLx * math.Exp2(s.Shot.Look.KeyStops))
	if math.Abs(worth-1) < alikeShare {
		sure = false
	}
	if worth < 1 {
		return nil, sure
	}
	for label, lx := range lux {
		if lx >= strongest*(1-alikeShare) {
			labels = append(labels, label)
		}
	}
	slices.Sort(labels)
	return labels, sure
}

// throws reports whether the face that works throws a beam more than it glows.
func (f parts) throws(p sizing.Piece) (lobeDeg float64, yes bool) {
	a := f.panel(p).A
	return a.LobeDeg, a.Specular > a.Diffuse
}

// works reports whether a piece works with a hard source: a reflector, or a fill that throws a beam.
func (p standing) works() bool {
	if p.Role != finding.RoleFill {
		return p.Role == finding.RoleReflector
	}
	_, beam := p.found.throws(p.Piece)
	return beam
}

// CheckReflectors holds an option's reflectors to the source that they work with: each stands in its light in mid-window
// and whenever else in the window it can be counted on, and what throws a beam throws it where it is wanted.
func CheckReflectors(s *Scene, o sizing.Option, stock *catalog.Snapshot) []Violation {
	pieces := standingIn(o, stock)
	if !slices.ContainsFunc(pieces, standing.works) {
		return nil
	}
	labels, sure := s.drivers()
	if len(labels) == 0 || !sure {
		return nil // they work by the open sky
	}
	var least []Violation
	for i, label := range labels {
		var bad []Violation
		for k := range pieces {
			if pieces[k].works() {
				bad = append(bad, checkInSun(s, pieces, k, label)...)
			}
		}
		for _, z := range s.zones() {
			bad = append(bad, checkBeams(s, pieces, z, label)...)
		}
		if i == 0 || len(bad) < len(least) {
			least = bad
		}
	}
	return least
}

// hardFrom is a source of a label at an instant at which it shines; all that drivers names shine in mid-window.
func (s *Scene) hardFrom(label string, at time.Time) shining {
	list := s.hardAt(at)
	return list[slices.IndexFunc(list, func(h shining) bool { return h.label == label })]
}

// turnedTo is where a piece's sheet lies at an instant: a reflector that throws a beam is turned with the source about its
// middle, so that the beam stays where it is in mid-window; everything else stays as it is printed.
func (s *Scene) turnedTo(p standing, label string, at time.Time) plate {
	pl := p.plate
	if !p.works() {
		return pl
	}
	if _, beam := p.found.throws(p.Piece); !beam {
		return pl
	}
	mid, _ := s.hardFrom(label, s.mid()).toward(pl.centre)
	now, _ := s.hardFrom(label, at).toward(pl.centre)
	goal := pl.normal.times(2 * pl.normal.dot(mid)).minus(mid)
	return pl.aimed(now.plus(goal))
}

// counted are the instants of the window at which a driver can be counted on for certain, and mid-window.
func (s *Scene) counted(label string) []time.Time {
	list := []time.Time{s.mid()}
	for _, at := range s.instants() {
		for _, h := range s.hardAt(at) {
			if yes, sure := s.works(h, at); h.label == label && yes && sure && !at.Equal(s.mid()) {
				list = append(list, at)
			}
		}
	}
	return list
}

// lastCounted is the last minute of the window until which the sun can be counted on without a break from mid-window on.
func (s *Scene) lastCounted() time.Time {
	last := s.mid()
	for at := last; !at.After(s.To); at = at.Add(time.Minute) {
		if yes, sure := s.sunWorks(at); !yes || !sure {
			return last
		}
		last = at
	}
	return s.To
}

// sunWorks reports for the sun what works does.
func (s *Scene) sunWorks(at time.Time) (yes, sure bool) {
	for _, h := range s.hardAt(at) {
		if h.label == SunLabel {
			return s.works(h, at)
		}
	}
	return false, true
}

// checkInSun holds one reflector to its light: at every instant that counts its corners and its middle see the source past
// all other pieces, and the source stands well over its working side.
func checkInSun(s *Scene, pieces []standing, k int, label string) []Violation {
	var bad []Violation
	p := pieces[k]
	graze := func(at time.Time, pl plate) {
		dir, _ := s.hardFrom(label, at).toward(pl.centre)
		if deg := math.Asin(math.Max(-1, math.Min(1, pl.normal.dot(dir)))) * 180 / math.Pi; deg < leastGrazeDeg-grazeTolDeg {
			bad = append(bad, broken(RuleSun, leastGrazeDeg-deg, "%s: %s stands %.2f° over the working side of the %s of %v, wanted %d°",
				at.Format("15:04"), label, deg, p.Role, pl, leastGrazeDeg))
		}
	}
	graze(s.mid(), p.plate)
	for _, at := range s.counted(label) {
		h := s.hardFrom(label, at)
		turned := s.turnedTo(p, label, at)
		graze(at, turned)
		for i, q := range pieces {
			if i == k || !q.sheet() {
				continue
			}
			hides := s.turnedTo(q, label, at)
			for _, from := range turned.looks() {
				if dir, far := h.toward(from); hides.stops(from, dir, far) {
					share := shadedShare(turned, hides, h)
					if share < shadeShare {
						continue
					}
					bad = append(bad, broken(RuleSun, share, "%s: the %s of %v stands between %s and (%.3f, %.3f, %.3f) of the %s of %v and shades %.3f of it",
						at.Format("15:04"), q.Role, hides, label, from.x, from.y, from.z, p.Role, turned, share))
					break
				}
			}
		}
	}
	return bad
}

// shadedShare is the share of a sheet that another shades.
func shadedShare(p, hides plate, h shining) float64 {
	const n = 40
	dark := 0
	for i := range n {
		for k := range n {
			from := p.corner(float64(2*i+1)/n-1, float64(2*k+1)/n-1, false)
			if dir, far := h.toward(from); hides.stops(from, dir, far) {
				dark++
			}
		}
	}
	return float64(dark) / (n * n)
}

// looks are the points of a sheet that must see: corners and middle, a hair inside.
func (p plate) looks() []vec {
	q := p
	q.half1, q.half2 = p.half1-trimM, p.half2-trimM
	return []vec{q.corner(-1, -1, false), q.corner(1, -1, false), q.corner(1, 1, false), q.corner(-1, 1, false), p.centre}
}

// aimed is the sheet turned about its middle to look along a direction, its level edges level.
func (p plate) aimed(n vec) plate {
	n = n.unit()
	level := up.cross(n)
	if level.length() < 1e-9 {
		return p
	}
	level = level.unit()
	q := p
	q.normal = n
	if math.Abs(p.e1.z) <= math.Abs(p.e2.z) {
		q.e1 = level.times(math.Copysign(1, level.dot(p.e1)))
		q.e2 = n.cross(q.e1)
	} else {
		q.e2 = level.times(math.Copysign(1, level.dot(p.e2)))
		q.e1 = q.e2.cross(n)
	}
	return q
}
