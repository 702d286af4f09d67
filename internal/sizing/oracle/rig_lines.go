package oracle

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/sizing"
)

const (
	// guyedShare is the share of the level force on the whole piece that one line takes; all of it around a single mast.
	guyedShare = 0.75
	// mostOnLine is how many weights hold one line (common practice, no source).
	mostOnLine = 4
	// knotM is what a line is longer than its way (common practice, no source).
	knotM = 0.5
)

// guy is one guy line as the balance sees it.
type guy struct {
	sizing.GuyLine
	line    *catalog.Line
	anchor  *catalog.Anchor
	lengthM float64
	anchorN float64 // weight of all on it
	flat    vec     // its way over the ground, of length 1
	slope   float64 // its angle with the ground, radians
}

// readGuys reads a piece's lines; ok is false where one names what the house does not have or no support of the piece.
func readGuys(p sizing.Piece, masts []mast, stock *catalog.Snapshot) (list []guy, ok bool) {
	for _, l := range p.Lines {
		rope, holds := stock.Item(l.SKU), stock.Item(l.Anchor.SKU)
		if rope == nil || holds == nil || l.Support < 0 || l.Support >= len(masts) {
			return nil, false
		}
		g := guy{GuyLine: l, anchorN: float64(l.Anchor.Quantity) * holds.MassKg * gravityMS2}
		g.line, _ = rope.Spec.(*catalog.Line)
		g.anchor, _ = holds.Spec.(*catalog.Anchor)
		way := fromGeom(l.To).minus(fromGeom(l.From))
		g.lengthM = way.length()
		overM := math.Hypot(way.x, way.y)
		if g.line == nil || g.anchor == nil || overM < placeTolM {
			return nil, false
		}
		g.flat = vec{way.x / overM, way.y / overM, 0}
		g.slope = math.Atan2(-way.z, overM)
		list = append(list, g)
	}
	return list, true
}

// turned is how much more than the level pull the lines of a piece have to give because they do not point straight against
// it: by the most turned of all of them, from straight ahead or, at four supports, from straight over the end; around a
// single mast by the two lines on either side of the pull, whichever way that goes.
func (r *rigged) turned() float64 {
	worst := 1.0
	if len(r.masts) == 1 {
		for deg := range 360 {
			worst = math.Max(worst, shared(toward(float64(deg), 0), r.guys))
		}
		return worst
	}
	ahead := up.cross(r.level)
	for _, g := range r.guys {
		straight := math.Abs(g.flat.dot(ahead))
		if len(r.masts) == 4 {
			straight = math.Max(straight, math.Abs(g.flat.dot(r.level)))
		}
		worst = math.Max(worst, 1/straight)
	}
	return worst
}

// shared is the larger of the level forces of two lines that hold a pull of 1 together, by the pair that does it with least.
func shared(pull vec, guys []guy) float64 {
	best := math.Inf(1)
	for i, a := range guys {
		for _, b := range guys[:i] {
			both := a.flat.cross(b.flat).z
			if math.Abs(both) < 1e-9 {
				continue
			}
			inA, inB := pull.cross(b.flat).z/both, a.flat.cross(pull).z/both
			if inA >= -1e-9 && inB >= -1e-9 {
				best = math.Min(best, math.Max(inA, inB))
			}
		}
	}
	return best
}

// couple is the force at a mast's head that does what turns it over, but for the level force itself.
func (r *rigged) couple(i int, b blow) float64 {
	m, share := r.masts[i], windShare(len(r.masts))
	h := m.sp.HeightM
	return (share*b.level*r.aboveM() + r.offCentre(b) + share*b.upright*m.armM + m.mastN(b)*h/2) / h
}

// pull is a line's tension.
func (r *rigged) pull(g guy, b blow) float64 {
	share := guyedShare
	if len(r.masts) == 1 {
		share = 1
	}
	return r.turnedBy / math.Cos(g.slope) * (share*b.level + r.couple(g.Support, b))
}

// mostPull is a line's largest tension at a gust.
func (r *rigged) mostPull(g guy, gustMS float64) float64 {
	return math.Max(r.pull(g, r.blown(pressedBy, gustMS)), r.pull(g, r.blown(liftedBy, gustMS)))
}

// slackShare is the share of the upright force that lifts a support with its lines slack.
func slackShare(n int) float64 { return map[int]float64{2: 1. / 4, 4: 1. / 6}[n] }

// guyed are the conditions of a support with lines, and of the lines at its head.
func (r *rigged) guyed(i int, gustMS float64) []condition {
	m, share := r.masts[i], windShare(len(r.masts))
	pressed, lifted := r.blown(pressedBy, gustMS), r.blown(liftedBy, gustMS)
	list := []condition{{tips, i, r.deadMoment(m)}} // before any line is made fast
	for _, g := range r.guys {
		if g.Support != i {
			continue
		}
		most := r.mostPull(g, gustMS)
		list = append(list, condition{lineParts, i, g.line.SafePullN - r.safety*most})
		if g.anchor.Form == catalog.FormStake {
			list = append(list, condition{anchorGoes, i, g.anchor.SafePullN - r.safety*most})
		} else {
			list = append(list, condition{anchorGoes, i,
				r.friction*g.anchorN - r.safety*most*(math.Cos(g.slope)+r.friction*math.Sin(g.slope))})
		}
		downPressed, downLifted := r.pull(g, pressed)*math.Sin(g.slope), r.pull(g, lifted)*math.Sin(g.slope)
		list = append(list, r.overloaded(i, math.Max(share*pressed.upright+downPressed, downLifted)))
		// The line that answers the level part of what lifts presses its own support down; no more than that is counted on.
		sideways := lifted.square * math.Sin(r.tiltDeg*math.Pi/180)
		lift := math.Max(slackShare(len(r.masts))*lifted.upright, share*(lifted.upright-sideways*math.Tan(g.slope)))
		list = append(list, r.slipping(i, r.couple(i, lifted), lift))
	}
	return list
}
