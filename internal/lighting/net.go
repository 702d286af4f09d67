package lighting

import (
	"context"
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/placement"
	"kitspan/internal/scene"
)

const (
	// netGapM is the least distance of a background net behind every zone (common practice, no source): people pass.
	netGapM = 1.0
	// groundedM is the height under which a net's lower edge counts as standing on the ground: its tubes.
	groundedM = 0.06
)

// netAsked reports whether the background is to be taken down.
func (pl *Planner) netAsked() bool { return pl.shot.Look.NetStops >= closeStops }

// stretchNet puts a net behind the zones where the background is to be taken down: the smallest of the strength asked
// that fills the view there down to the ground, edges out of shot.
func stretchNet(ctx context.Context, pl *Planner, a *Arrangement) {
	if !pl.netAsked() {
		return
	}
	want := pl.shot.Look.NetStops
	st := a.Light.Stage
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
		for _, sh := range [2]placement.Size{v.sheet, v.sheet.Turned()} {
			if ctx.Err() != nil {
				return
			}
			widest = math.Max(widest, 2*sh.HalfU)
			for y := first; y <= first+scene.FarM/2; y += 0.5 {
				p, ok := netAt(a, v, sh, y)
				if !ok {
					break // further back the view is only wider
				}
				if a.standUp(p, a.ends(p)) && a.clearOf(p, nil) {
					a.add([]*Piece{p})
					return
				}
			}
		}
	}
	a.Lacks = append(a.Lacks, finding.Shortfall{What: finding.Net})
	v := st.ViewAt(first)
	switch {
	case !strength:
		a.note(finding.NetNotOwned{AskedStops: want})
	case v.Top <= 0:
		a.note(finding.NetUnseen{})
	case widest >= 2*v.HalfX:
		a.note(finding.NetNoRoom{ViewBehind: finding.ViewBehind{BehindM: first, WidthM: 2 * v.HalfX, TopM: v.Top}})
	default:
		a.note(finding.NetTooSmall{ViewBehind: finding.ViewBehind{BehindM: first, WidthM: 2 * v.HalfX, TopM: v.Top}, LargestM: widest})
	}
}

// netAt returns a net upright and square to the lens at a distance; ok is false where it does not fill the view there.
func netAt(a *Arrangement, v *framedFabric, sh placement.Size, y float64) (p *Piece, ok bool) {
	st := a.Light.Stage
	o := st.ViewAt(y)
	keep := st.ViewM + scene.GuardM
	mid := geom.Vec{Y: y, Z: math.Max(sh.OutV, o.Top+keep-sh.HalfV)}
	margin := math.Min(sh.HalfU-o.HalfX, mid.Z+sh.HalfV-o.Top)
	if low := mid.Z - sh.HalfV; low > groundedM {
		margin = math.Min(margin, o.Bottom-low)
	}
	if margin < keep || o.Top <= 0 { // on the ground before it, the picture has ended
		return nil, false
	}
	work, outer := sheetToward(mid, geom.Vec{Y: -1}, sh)
	p = a.diffuserPiece(v, finding.RoleNet, work, outer, v.panel(false))
	p.MarginM = margin
	return p, true
}

// EdgeClearance returns how far, in metres, the edges of a net are from the view, at most [scene.ClearOfAllM]; an edge on the ground
// does not count.
func EdgeClearance(st *scene.Stage, r geom.Rect) float64 {
	c := r.Corners()
	least := math.Inf(1)
	for i := range c {
		p, q := c[i], c[(i+1)%4]
		if math.Max(p.Z, q.Z) > groundedM {
			least = math.Min(least, st.View.SegmentClearance(p, q))
		}
	}
	return math.Min(least, scene.ClearOfAllM)
}
