package overhead

import (
	"kitspan/internal/catalog"
	"kitspan/internal/light"
)

// PanelOf returns the rig's frame, hung with another fabric that fits it, as package light takes it.
func (r *Rig) PanelOf(fabric *catalog.Item) light.Panel {
	f := fabric.Spec.(*catalog.Fabric)
	s := light.Surface{Diffuse: f.Reflectance, ShiftMired: f.ColourShiftMired}
	return light.Panel{Corners: r.Placed.Opening.Corners(), A: s, B: s, Transmittance: f.Transmittance, BeamShare: f.BeamShare, ShiftMired: f.ColourShiftMired}
}

// Hung returns the rig in its place with another fabric that fits its frame, held anew: another cloth weighs otherwise. ok is false where
// that has no rate, or does not hold the gust that the rig holds. others are the other rigs that stand; left is how many of an item
// remain in the house.
func (r *Rig) Hung(fabric *catalog.Item, others []*Rig, left func(sku string) int) (hung *Rig, ok bool) {
	c, own := *r.Candidate, *r
	c.Fabric = fabric
	c.MassKg = c.Item.MassKg + fabric.MassKg
	own.Candidate, own.onRopes = &c, nil
	p := own.Held()
	gust := c.Holding.GustMS
	own.Anchorage = c.Holding.Secure(&p, gust, nil, left, false)
	if len(r.Anchorage.Ropes) > 0 {
		own.Anchorage = c.Holding.Rope(&p, &own.Anchorage, gust, own.Around(others), left, !r.Anchorage.Holds)
	}
	if !own.Anchorage.Holds {
		own.Anchorage = c.Holding.Spare(&p, &own.Anchorage, left)
	}
	own.priced = c.price(&own)
	return &own, own.priced && (own.Anchorage.Holds || !r.Anchorage.Holds)
}
