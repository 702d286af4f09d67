package oracle

import (
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// A lamp's heat reaches so far beside and over the middle of its head, metres.
const (
	heatBesideM = 1
	heatOverM   = 1.5
)

// CheckHeat keeps ropes out of the heat of the lamps of other pieces, step by step.
func CheckHeat(o sizing.Option) []Violation {
	var bad []Violation
	for k, q := range o.Pieces {
		if q.Role != finding.RoleLamp || q.Lamp == nil {
			continue
		}
		head := fromGeom(q.Lamp.Position)
		for i, p := range o.Pieces {
			for n, l := range p.Lines {
				if i == k {
					continue // its own ropes begin under the head
				}
				from := fromGeom(l.From)
				way := fromGeom(l.To).minus(from)
				least := math.Inf(1)
				for step := range 1001 {
					if at := from.along(way, float64(step)/1000); at.z > head.z && at.z < head.z+heatOverM {
						least = math.Min(least, plan(at).far(plan(head)))
					}
				}
				if least < heatBesideM-placeTolM {
					bad = append(bad, broken(RuleLines, heatBesideM-least, "%s: line %d of the %s runs %.3f m beside or over a lamp", o.Label, n+1, p.Role, least))
				}
			}
		}
	}
	return bad
}
