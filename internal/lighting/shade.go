package lighting

import (
	"context"
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/scene"
)

const (
	// lensM is the radius around the lens that must be in the shade (common practice, no source: a front element with its
	// hood's edge).
	lensM = 0.1
	// shadeNearM and shadeFarM bound the distance of the shade from the lens (common practice, no source).
	shadeNearM = 0.6
	shadeFarM  = 4.0
)

// shadeLens puts a small solid panel between the lens and every hard source that would fall on it from outside the
// picture.
func shadeLens(ctx context.Context, a *Arrangement) {
	for _, p := range a.Light.Paths {
		if !flares(a, p.Directions, p.RadiusDeg) {
			continue
		}
		if !shadeFrom(ctx, a, p) {
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

func shadeFrom(ctx context.Context, a *Arrangement, from scene.Path) bool {
	st := a.Light.Stage
	var mean geom.Vec
	for _, w := range from.Directions {
		mean = mean.Add(w)
	}
	mean = mean.Unit()
	before := a.keyLevels()
	for _, v := range a.gear.solids {
		if ctx.Err() != nil {
			return false
		}
		if v.areaM2 > largestDiffuserM2 || a.Remaining(v.frame.SKU) < 1 || a.Remaining(v.cloth.SKU) < 1 {
			continue
		}
		for d := shadeNearM; d <= shadeFarM; d *= fitStep {
			work, outer := sheetToward(st.View.Eye.Add(mean.Scale(d)), mean.Scale(-1), v.sheet)
			covers := true
			for _, way := range from.Directions {
				covers = covers && hidesFromLens(st, &work, way, from.RadiusDeg)
			}
			if !covers {
				break // further off the sun's way is only longer
			}
			c := outer.Corners()
			low := math.Inf(1)
			for _, p := range c {
				low = math.Min(low, p.Z)
			}
			free := low >= scene.LowEdgeM && st.View.PolygonClearance(c[:]) >= st.ViewM+scene.GuardM
			for i := range a.zones {
				free = free && aside(c[:], a.zones[i].Mid, a.zones[i].Half)
			}
			if !free {
				continue
			}
			p := a.diffuserPiece(v, finding.RoleCameraShade, work, outer, v.panel(false))
			p.Covers = []string{from.Label}
			if !a.standUp(p, a.ends(p)) || !a.clearOf(p, nil) || a.darkens(p) {
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
