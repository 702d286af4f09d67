package lighting

import (
	"context"
	"math"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/rigging"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

const (
	// lensM is the radius around the lens that must be in the shade (common practice, no source: a front element with its
	// hood's edge).
	lensM = 0.1
	// shadeNearM and shadeFarM bound the distance of the shade from the lens: it hangs over from beside the camera (common practice,
	// no source).
	shadeNearM = 0.6
	shadeFarM  = 2.5
	// largestShadeM2 is the largest flag that one stand's arm holds before a lens: 4 × 4 ft (common practice, no source).
	largestShadeM2 = 1.5
	// mostShadeBags is what a flag on a lens is worth in sand bags: one that takes more is left out, and a hand shades the lens
	// (common practice, no source).
	mostShadeBags = 2
	// shadeTries is on how many stands, near the lens first, a flag is tried that does not hold the gust.
	shadeTries = 4
	// shadeStandKg is the heaviest stand that anybody brings for a flag: what one person carries.
	shadeStandKg = rigging.ReferenceKg
)

// shadeLens puts a flag on one stand between the lens and every hard source that would fall on it from outside the picture. It
// comes last, when everything else is held: it takes what is left, and where none serves a note says so.
func shadeLens(ctx context.Context, a *Arrangement, off bool) {
	for _, p := range a.Light.Paths {
		if !flares(a, p.Directions, p.RadiusDeg) {
			continue
		}
		if off || !shadeFrom(ctx, a, p) {
			a.note(finding.LensUnshaded{Source: finding.Source(p.Label)})
		}
	}
}

// flares reports whether a source falls on some of the lens at some instant, from outside the picture, past every frame.
func flares(a *Arrangement, ways []geom.Vec, radiusDeg float64) bool {
	st := a.Light.Stage
	for _, way := range ways {
		if way.Dot(st.View.Forward) <= 0 || way.Z <= 0 || st.View.SeesDisc(way, radiusDeg) {
			continue
		}
		hidden := false
		for _, ch := range a.Rigs {
			hidden = hidden || hidesFromLens(st, &ch.Placed.Opening, way, radiusDeg)
		}
		for _, p := range a.Pieces {
			if p.Lamp == nil && p.Role != finding.RoleNet {
				hidden = hidden || hidesFromLens(st, &p.Sheet, way, radiusDeg)
			}
		}
		if !hidden {
			return true
		}
	}
	return false
}

// hidesFromLens reports whether a sheet keeps all of a source's disc off the lens.
func hidesFromLens(st *scene.Stage, sheet *geom.Rect, way geom.Vec, radiusDeg float64) bool {
	inset, along := sheet.Inset(st.View.Eye, way)
	return along > 0 && inset >= lensM+along*math.Tan(radiusDeg*math.Pi/180)
}

// shadeFrom hangs the smallest flag that keeps a source off the lens from a stand beside the camera.
func shadeFrom(ctx context.Context, a *Arrangement, from scene.Path) bool {
	st := a.Light.Stage
	var mean geom.Vec
	for _, w := range from.Directions {
		mean = mean.Add(w)
	}
	mean = mean.Unit()
	before := a.keyLevels()
	for _, f := range a.gear.flags {
		if f.areaM2 > largestShadeM2 || a.Remaining(f.item.SKU) < 1 || f.cloth != nil && a.Remaining(f.cloth.SKU) < 1 {
			continue
		}
		tries := shadeTries
		for d := shadeNearM; d <= shadeFarM && tries > 0; d *= fitStep {
			if ctx.Err() != nil {
				return false
			}
			work, outer := sheetToward(st.View.Eye.Add(mean.Scale(d)), mean.Scale(-1), f.sheet)
			covers := true
			for _, way := range from.Directions {
				covers = covers && hidesFromLens(st, &work, way, from.RadiusDeg)
			}
			if !covers {
				break // further off the sun's way is only longer
			}
			if !a.hangsFree(&outer) {
				continue
			}
			p := f.piece(finding.RoleCameraShade, work, outer)
			p.Serves, p.Covers = shot.MainLabel, []string{from.Label}
			if a.darkens(p) || !a.hang(p, &tries) {
				continue
			}
			n := len(a.Pieces)
			if a.add([]*Piece{p}); a.keeps(before) {
				return true
			}
			a.drop(n)
		}
	}
	return false
}

// hangsFree reports whether a flag before the lens is out of the picture, off the people and off the ground.
func (s *Setup) hangsFree(outer *geom.Rect) bool {
	st := s.Light.Stage
	c := outer.Corners()
	for _, p := range c {
		if p.Z < scene.LowEdgeM {
			return false
		}
	}
	if st.View.PolygonClearance(c[:]) < st.ViewM+scene.GuardM {
		return false
	}
	for i := range s.zones {
		if !aside(c[:], s.zones[i].Mid, s.zones[i].Half) {
			return false
		}
	}
	return true
}

// hang puts a flag's middle on the end of an arm of the cheapest stand that reaches in from beside the line along which the lens
// looks, and holds it in the gust with a bag or two. Each stand that finds room and does not hold it is one of the tries.
func (s *Setup) hang(p *Piece, tries *int) bool {
	at, lane := p.Outer.Center, s.Light.Stage.LensLane()
	for i := 0; i < len(s.gear.stands) && *tries > 0; i++ {
		w := s.gear.stands[i : i+1]
		if w[0].Item.MassKg > shadeStandKg {
			continue
		}
		if inside := w[0].Spec.FootprintM - w[0].Spec.ArmReachM; lane.Grow(inside).DistanceInPlan(at) == 0 && lane.Half.X+inside > 0 {
			continue // its arm does not reach out of the lane
		}
		p.Anchorage = anchorage.Anchorage{}
		if !s.standOn(p, []geom.Vec{at}, w, lane) || !s.clearOf(p, nil) {
			continue
		}
		*tries--
		p.Anchorage = s.Secure(p, p, s.Holding.GustMS, s.Remaining, false)
		if f := &p.Anchorage; f.Holds && f.MostBags() <= mostShadeBags && (f.Bag == nil || f.Bag.Spec.(*catalog.Ballast).Form == catalog.FormBag) {
			return true
		}
	}
	return false
}
