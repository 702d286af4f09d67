package sizing

import (
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/scene"
)

const (
	// walkM is how high an edge hangs under which people walk upright (common practice, no source).
	walkM = 2.0
	// leanSin is the sine of the least lean against upright, 20°, by which a frame hangs over ground (common practice, no source): one
	// that stands is seen as a wall.
	leanSin = 0.342
)

// noteLowEdge notes the lowest edge of a frame that leans over ground where people walk.
func noteLowEdge(opt *Option, st *scene.Stage) {
	low := finding.LowEdge{LowM: walkM}
	for i := range opt.Pieces {
		v := &opt.Pieces[i]
		c := &v.Corners
		if v.Lamp != nil || len(v.Supports) < 2 || math.Abs(c[1].Sub(c[0]).Cross(c[3].Sub(c[0])).Unit().Z) < leanSin {
			continue
		}
		for k := range c {
			if mid := c[k].Add(c[(k+1)%4]).Scale(0.5); mid.Z < low.LowM {
				at := st.FromWorld(mid)
				low = finding.LowEdge{Role: v.Role, LowM: mid.Z, RightM: at.X, BehindM: at.Y}
			}
		}
	}
	if low.Role != "" {
		opt.Notes = append(opt.Notes, low)
	}
}
