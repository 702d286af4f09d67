package sizing

import (
	"context"
	"fmt"
	"math"

	"kitspan/internal/geom"
)

const (
	// netGapM is the least distance of a background net behind every zone (common practice, no source): people pass.
	netGapM = 1.0
	// groundedM is the height under which a net's lower edge counts as standing on the ground: its tubes.
	groundedM = 0.06
)

// stretchNet puts a net behind the zones where the background is to be taken down: the smallest of the strength asked
// that fills the view there down to the ground, edges out of shot.
func (e *engine) stretchNet(ctx context.Context, a *arranged) {
	want := e.shot.Look.NetStops
	if want < closeStops {
		return
	}
	st := a.sc.st
	first := math.Inf(-1)
	for i := range a.zones {
		first = math.Max(first, a.zones[i].Mid.Y+a.zones[i].Half.Y+netGapM)
	}
	strength, widest := false, 0.0
	for _, v := range a.gear.nets {
		if math.Abs(-math.Log2(v.fabric.Transmittance)-want) > closeStops {
			continue
		}
		strength = true
		for _, sh := range [2]sheet{v.sheet, v.sheet.turned()} {
			if ctx.Err() != nil {
				return
			}
			widest = math.Max(widest, 2*sh.halfU)
			for y := first; y <= first+farM/2; y += 0.5 {
				p, ok := a.netAt(v, sh, y)
				if !ok {
					break // further back the view is only wider
				}
				if a.hold(p, a.ends(p)) && a.clearOf(p, nil) {
					a.add([]*piece{p})
					return
				}
			}
		}
	}
	a.lacks = append(a.lacks, "net")
	v := st.viewAt(first)
	switch {
	case !strength:
		a.notes = append(a.notes, fmt.Sprintf("The house has no net of %.1f stops: the background stays as it is.", want))
	case v.top <= 0:
		a.notes = append(a.notes, "The background net is left out: with the lens tilted down the picture ends on the ground before the place where a net could stand.")
	case widest >= 2*v.halfX:
		a.notes = append(a.notes, fmt.Sprintf(
			"The background net is left out: no net of that strength that fills the view behind the zone, %.1f m wide and %.1f m up at %.1f m behind its middle, has room to stand clear of the other pieces and out of shot.",
			2*v.halfX, v.top, first))
	default:
		a.notes = append(a.notes, fmt.Sprintf(
			"The background net is left out: %.1f m behind the middle of the zone the view is %.1f m wide and reaches %.1f m up, and the largest net of that strength that could stand there is %.1f m wide.",
			first, 2*v.halfX, v.top, widest))
	}
}

// netAt is a net upright and square to the lens at a distance; ok is false where it does not fill the view there.
func (a *arranged) netAt(v *veil, sh sheet, y float64) (p *piece, ok bool) {
	st := a.sc.st
	o := st.viewAt(y)
	keep := st.viewM + guardM
	mid := geom.Vec{Y: y, Z: math.Max(sh.outV, o.top+keep-sh.halfV)}
	margin := math.Min(sh.halfU-o.halfX, mid.Z+sh.halfV-o.top)
	if low := mid.Z - sh.halfV; low > groundedM {
		margin = math.Min(margin, o.bottom-low)
	}
	if margin < keep || o.top <= 0 { // on the ground before it, the picture has ended
		return nil, false
	}
	work, outer := sheetToward(mid, geom.Vec{Y: -1}, sh)
	p = a.veilPiece(v, RoleNet, work, outer, v.panel(false))
	p.marginM = margin
	return p, true
}

// edgeClearance is how far the edges of a net are from the view; an edge on the ground does not count.
func (st *stage) edgeClearance(r geom.Rect) float64 {
	c := r.Corners()
	least := math.Inf(1)
	for i := range c {
		p, q := c[i], c[(i+1)%4]
		if math.Max(p.Z, q.Z) > groundedM {
			least = math.Min(least, st.view.SegmentClearance(p, q))
		}
	}
	return math.Min(least, clearOfAllM)
}
