package oracle

import (
	"math"
	"slices"
	"time"

	"kitspan/internal/finding"
	rays "kitspan/internal/light/oracle"
)

// keptShare is the share of its level of mid-window that the key face keeps until boards are aimed anew, half a stop
// less; keptTol how near to it rays can tell, and soonShare how near to the minute the edge of a shadow comes by.
const (
	keptShare = 0.70710678
	keptTol   = 0.06
	soonShare = 0.05
)

// checkReaim holds the minutes after which boards are aimed anew: until then the sun's way across the sky takes no more
// than half a stop from the middle and the corners of the zone, and soon after it does, unless they are all the window's.
func (l *lights) checkReaim() []Violation {
	o, s := l.o, l.s
	throws := slices.ContainsFunc(standingIn(o, l.stock), func(p standing) bool {
		if p.Role != finding.RoleReflector || p.Serves != mainZone {
			return false
		}
		_, beam := p.found.throws(p.Piece)
		return beam
	})
	if o.ReaimMin == nil {
		return nil
	}
	if !throws {
		return []Violation{broken(RuleReaim, 1, "%s: nothing throws a beam, yet it is aimed anew every %.1f min", o.Label, *o.ReaimMin)}
	}
	length := s.To.Sub(s.From)
	told := time.Duration(*o.ReaimMin * float64(time.Minute))
	if told < 0 || told > length {
		return []Violation{broken(RuleReaim, 1, "%s: aimed anew every %.1f min of a window of %v", o.Label, *o.ReaimMin, length)}
	}
	key, _, _ := faces(s)
	points := []vec{s.Zone.middle}
	for _, c := range s.Zone.corners() {
		points = append(points, c)
	}
	levels := func(after time.Duration) []float64 {
		scene := lit(s, o.Pieces, l.stock)
		dir, _, _ := s.sunAt(s.mid().Add(after))
		for i, h := range s.hardAt(s.mid()) {
			if h.label == SunLabel {
				scene.Hard[i].Dir = toGeom(dir)
			}
		}
		look := rays.Look(&scene, l.n.Face, l.seed)
		var list []float64
		for _, p := range points {
			r := look.Face(toGeom(p), key)
			list = append(list, r.Level.Total())
		}
		return list
	}
	start := levels(0)
	least := func(after time.Duration) float64 {
		share := math.Inf(1)
		for i, lx := range levels(after) {
			share = math.Min(share, lx/start[i])
		}
		return share
	}
	var bad []Violation
	// It is given to a 64th of half the window, or of what is left of it while the sun can be counted on.
	step := length / 2 / 64
	soon := time.Duration(soonShare*float64(told)) + step
	if last := s.lastCounted().Sub(s.mid()); told > last {
		told = last
		soon = 0
	}
	if share := least(max(0, told-soon)); share < keptShare*(1-keptTol) {
		bad = append(bad, broken(RuleReaim, keptShare-share, "%s: told to be aimed anew every %.1f min, it keeps %.3f of its level after %v", o.Label, *o.ReaimMin, share, told-soon))
	}
	if soon == 0 {
		return bad
	}
	if share := least(told + 2*soon); share > keptShare*(1+keptTol) {
		bad = append(bad, broken(RuleReaim, share-keptShare, "%s: told to be aimed anew every %.1f min, it still keeps %.3f of its level after %v", o.Label, *o.ReaimMin, share, told+2*soon))
	}
	return bad
}
