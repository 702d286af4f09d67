package sizing

import (
	"fmt"
	"math"

	"kitspan/internal/geom"
	"kitspan/internal/light"
)

const (
	// netGapM is the least distance of a background net behind every zone (common practice, no source): people pass.
	netGapM = 1.0
	// groundedM is the height under which a net's lower edge counts as standing on the ground: its tubes.
	groundedM = 0.06
)

// stretchNet puts a net behind the zones where the background is to be taken down: the smallest of the strength asked
// that fills the view there down to the ground, edges out of shot.
func (e *engine) stretchNet(a *arranged) {
	want := e.shot.Look.NetStops
	if want < closeStops {
		return
	}
	st := a.sc.st
	first := math.Inf(-1)
	for i := range a.zones {
		first = math.Max(first, a.zones[i].mid.Y+a.zones[i].half.Y+netGapM)
	}
	strength, widest := false, 0.0
	for _, v := range a.gear.nets {
		if math.Abs(-math.Log2(v.fabric.Transmittance)-want) > closeStops {
			continue
		}
		strength = true
		for _, sh := range [2]sheet{v.sheet, v.sheet.turned()} {
			widest = math.Max(widest, 2*sh.halfU)
			for y := first; y <= first+farM/2; y += 0.5 {
				p, ok := a.netAt(v, sh, y)
				if !ok {
					break // further back the view is only wider
				}
				if a.hold(p, a.ends(p)) && a.clearOf(p) {
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
	default:
		a.notes = append(a.notes, fmt.Sprintf(
			"The background net is left out: %.1f m behind the middle of the zone the view is %.1f m wide and reaches %.1f m up, and the largest net of that strength that could stand there is %.1f m wide.",
			first, 2*v.halfX, v.top, widest))
	}
}

// outline is what the view takes of an upright plane square to the lens: half its width, and its height over the ground.
type outline struct{ halfX, top, bottom float64 }

// viewAt is the view's outline at a distance behind the origin; infinite where the view does not end there.
func (st *stage) viewAt(y float64) outline {
	o := outline{bottom: math.Inf(1)}
	for _, c := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		ray := st.view.Ray(c[0], c[1])
		if ray.Y <= 1e-6 {
			return outline{math.Inf(1), math.Inf(1), 0}
		}
		p := st.view.Eye.Add(ray.Scale((y - st.view.Eye.Y) / ray.Y))
		o.halfX, o.top, o.bottom = math.Max(o.halfX, math.Abs(p.X)), math.Max(o.top, p.Z), math.Min(o.bottom, p.Z)
	}
	o.bottom = math.Max(0, o.bottom)
	return o
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
	if margin < keep {
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

// shadeLens puts a small solid panel between the lens and every hard source that would fall on it from outside the
// picture.
func (e *engine) shadeLens(a *arranged) {
	st := a.sc.st
	for i := range a.sc.hard {
		h := &a.sc.hard[i]
		ways := []geom.Vec{h.Dir}
		if h.At != nil {
			ways = []geom.Vec{h.At.Sub(st.view.Eye).Unit()}
		} else if i == a.sc.driver && len(a.sc.ways) > 0 {
			ways = a.sc.ways
		}
		if !a.flares(ways, h.RadiusDeg) {
			continue
		}
		if !e.shadeFrom(a, ways, a.sc.names[i]) {
			a.notes = append(a.notes, fmt.Sprintf(
				"%s falls on the lens and no solid panel of the house stands between out of the picture: shade the lens by hand or with a hood.",
				sentence(sourceName(a.sc.names[i]))))
		}
	}
}

// flares says whether a source falls on the lens at some instant, from outside the picture, past every frame.
func (a *arranged) flares(ways []geom.Vec, radiusDeg float64) bool {
	st := a.sc.st
	for _, way := range ways {
		if way.Dot(st.view.Forward) <= 0 || way.Z <= 0 || st.view.SeesDisc(way, radiusDeg) {
			continue
		}
		hidden := false
		for _, ch := range a.choices {
			inset, along := ch.rigged.opening.Inset(st.view.Eye, way)
			hidden = hidden || inset >= 0 && along > 0
		}
		for _, p := range a.pieces {
			if p.lamp == nil && p.role != RoleNet {
				inset, along := p.sheet.Inset(st.view.Eye, way)
				hidden = hidden || inset >= 0 && along > 0
			}
		}
		if !hidden {
			return true
		}
	}
	return false
}

const (
	// lensM is the radius around the lens that must be in the shade (common practice, no source: a front element with its
	// hood's edge).
	lensM = 0.1
	// shadeNearM and shadeFarM bound the distance of the shade from the lens (common practice, no source).
	shadeNearM = 0.6
	shadeFarM  = 4.0
)

func (e *engine) shadeFrom(a *arranged, ways []geom.Vec, label string) bool {
	st := a.sc.st
	var mean geom.Vec
	for _, w := range ways {
		mean = mean.Add(w)
	}
	mean = mean.Unit()
	for _, v := range a.gear.solids {
		if v.areaM2 > largestVeilM2 || a.left(v.frame.SKU) < 1 || a.left(v.cloth.SKU) < 1 {
			continue
		}
		for d := shadeNearM; d <= shadeFarM; d *= ladder {
			work, outer := sheetToward(st.view.Eye.Add(mean.Scale(d)), mean.Scale(-1), v.sheet)
			covers := true
			for _, way := range ways {
				inset, along := work.Inset(st.view.Eye, way)
				covers = covers && inset >= lensM && along > 0
			}
			if !covers {
				break // further off the sun's way is only longer
			}
			c := outer.Corners()
			low := math.Inf(1)
			for _, p := range c {
				low = math.Min(low, p.Z)
			}
			free := low >= lowEdgeM && st.view.PolygonClearance(c[:]) >= st.viewM+guardM
			for i := range a.zones {
				free = free && aside(c[:], a.zones[i].mid, a.zones[i].half)
			}
			if !free {
				continue
			}
			p := a.veilPiece(v, RoleCameraShade, work, outer, v.panel(false))
			p.covers = []string{label}
			q := quest{s: a.setup}
			if a.hold(p, a.ends(p)) && a.clearOf(p) && !q.darkens(p) {
				a.add([]*piece{p})
				return true
			}
		}
	}
	return false
}

// lightBack puts a lamp behind the subject where more light on hair and shoulders is asked for than there is.
func (e *engine) lightBack(a *arranged) {
	if e.shot.Look.BackStops == nil {
		return
	}
	want := a.sc.reference * math.Exp2(*e.shot.Look.BackStops)
	_, _, back := a.faces(a.sc.st.mid)
	off := light.Stops(math.Max(back, darkestLx), want)
	if math.Abs(off) <= closeStops {
		return
	}
	if off < 0 {
		to := aim{serves: mainLabel, mid: a.sc.st.mid, half: a.sc.st.half, face: a.sc.back, side: -a.sc.side, behind: true}
		for range 2 {
			q := a.quest(&to, want, false)
			q.role = RoleLamp
			if a.mountDone(q, e.trains().of(lampTrains)) {
				return
			}
			to.side = -to.side
		}
		q := a.quest(&to, want, false)
		q.role = RoleLamp
		e.mount(a, q, lampTrains)
		_, _, back = a.faces(a.sc.st.mid)
		off = light.Stops(math.Max(back, darkestLx), want)
	}
	if math.Abs(off) > closeStops {
		a.lacks = append(a.lacks, "back")
		a.notes = append(a.notes, fmt.Sprintf("Hair and shoulders get %+.1f stops against the asked %+.1f.",
			a.sc.stops(back), *e.shot.Look.BackStops))
	}
}

// mountDone puts up only what does in full.
func (a *arranged) mountDone(q *quest, list []train) bool {
	up, done := q.run(list)
	if done {
		a.add(up)
	}
	return done
}
