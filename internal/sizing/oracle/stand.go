package oracle

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/sizing"
)

// bearings is how many directions an arm is tried in.
const bearings = 24

// stand puts a frame on stands of the house, two at its equally high sides' middles or four at its corners, each where
// its mast, feet and arm keep the slack; nil where no way is found.
func (h *Search) stand(f *catalog.Frame, massKg float64, pl plate, slackM float64) []sizing.Support {
	for _, n := range []int{2, 4} {
		if n < f.SupportsMin || n > f.SupportsMax {
			continue
		}
		stands := h.stands(massKg / float64(n))
		for _, points := range attachments(pl, n) {
			choices := make([][]sizing.Support, n)
			for i, at := range points {
				for _, item := range stands {
					if sp, ok := h.hold(item, at, slackM); ok {
						choices[i] = append(choices[i], sp)
					}
				}
			}
			if taken := h.share(choices, map[string]int{}); taken != nil {
				return taken
			}
		}
	}
	return nil
}

// share gives every point one of its supports without taking more of an item than the house owns.
func (h *Search) share(choices [][]sizing.Support, taken map[string]int) []sizing.Support {
	if len(choices) == 0 {
		return []sizing.Support{}
	}
	for _, sp := range choices[0] {
		if taken[sp.SKU] >= h.stock.Item(sp.SKU).Owned {
			continue
		}
		taken[sp.SKU]++
		if rest := h.share(choices[1:], taken); rest != nil {
			return append([]sizing.Support{sp}, rest...)
		}
		taken[sp.SKU]--
	}
	return nil
}

// hold puts one stand under a point: its mast right below, or off to a side by an arm.
func (h *Search) hold(item *catalog.Item, at vec, slackM float64) (sizing.Support, bool) {
	spec := item.Spec.(*catalog.Support)
	if at.z > spec.HighestM-slackM || at.z < spec.LowestM+slackM {
		return sizing.Support{}, false
	}
	sp := sizing.Support{SKU: item.SKU, HeightM: at.z, FootprintM: spec.FootprintM}
	ground := vec{at.x, at.y, 0}
	sp.Base = toGeom(ground)
	if h.standsClear(sp, slackM) {
		return sp, true
	}
	for _, share := range []float64{0.95, 0.5} {
		long := share * (spec.ArmReachM - slackM)
		if long < 0.05 {
			continue
		}
		for k := range bearings {
			side := toward(h.scene.Shot.Camera.BearingDeg+360*float64(k)/bearings, 0)
			base := ground.along(side, long)
			top := base
			top.z = at.z
			sp.Base = toGeom(base)
			arm := [2]vec{top, at}
			sp.Arm = armOf(arm)
			if h.standsClear(sp, slackM) {
				return sp, true
			}
		}
	}
	return sizing.Support{}, false
}

// standsClear reports whether one support keeps out of every zone, off the camera and out of the view, and its arm over heads, with the slack.
func (h *Search) standsClear(sp sizing.Support, slackM float64) bool {
	base := fromGeom(sp.Base)
	if h.scene.View.offCamera(base, sp.FootprintM) < slackM {
		return false
	}
	for _, z := range h.scene.zones() {
		if z.beyond(base) < sp.FootprintM+slackM {
			return false
		}
		if sp.Arm == nil {
			continue
		}
		arm := []vec{fromGeom(sp.Arm[0]), fromGeom(sp.Arm[1])}
		if lowest(z.overPeople(arm)) < headOver(h.scene, z)+slackM {
			return false
		}
	}
	// A quick look at the mast's ends first: most that fail, fail there.
	want := h.scene.Shot.Allowance.ViewM + slackM
	for _, z := range []float64{0, sp.HeightM / 2, sp.HeightM} {
		if d, ok := h.scene.View.clear(vec{base.x, base.y, z}); ok && d < want {
			return false
		}
	}
	if h.feetPlainlyClear(base, sp.FootprintM, want) {
		sp.FootprintM = 0
	}
	least, _ := h.scene.View.leastOnSupport(sp)
	return math.IsInf(least, 1) || least >= want
}

// feetPlainlyClear spares walking over feet that are far from the view: over a distance r the clearance changes by no more
// than r times one and the two tangents.
func (h *Search) feetPlainlyClear(base vec, radius, want float64) bool {
	v := &h.scene.View
	d, ok := v.clear(base)
	return ok && base.minus(v.lens).dot(v.axis) > radius && d-radius*(1+v.tanW+v.tanH) >= want
}
