package sizing

import (
	"slices"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/placement"
	"kitspan/internal/rigging"
)

// choice is a frame in its place with its supports.
type choice struct {
	candidate *candidate
	group     *group
	rigged    rigged
	minor     int64 // price of frame, fabric and supports per day in minor units
	massKg    float64
	rank      rank
	priced    bool                // everything in it has a rate
	anchorage anchorage.Anchorage // what holds it in the wind
}

func (ch *choice) masts() []anchorage.Mast { return ch.rigged.masts[:ch.rigged.count] }

// counts are the items of a choice.
func (ch *choice) counts() []catalog.Count {
	out := []catalog.Count{{SKU: ch.candidate.item.SKU, Quantity: 1}, {SKU: ch.candidate.fabric.SKU, Quantity: 1}}
	return append(append(out, ch.supports()...), ch.anchorage.Counts()...)
}

// supports are the choice's supports by kind, in the order in which they stand.
func (ch *choice) supports() []catalog.Count {
	var out []catalog.Count
next:
	for _, m := range ch.masts() {
		for i := range out {
			if out[i].SKU == m.Support.Item.SKU {
				out[i].Quantity++
				continue next
			}
		}
		out = append(out, catalog.Count{SKU: m.Support.Item.SKU, Quantity: 1})
	}
	return out
}

// meets says whether two rigs are in each other's way: frame through frame, a mast or an arm through a frame, or a mast
// among another's feet ([anchorage.Mast.Crowds]).
func (ch *choice) meets(o *choice) bool {
	if ch.blocks(&o.rigged.outer) || o.blocks(&ch.rigged.outer) ||
		ch.anchorage.Blocks(&o.rigged.outer, o.masts()) || o.anchorage.Blocks(&ch.rigged.outer, ch.masts()) {
		return true
	}
	theirs := o.masts()
	return slices.ContainsFunc(ch.masts(), func(m anchorage.Mast) bool {
		return slices.ContainsFunc(theirs, func(k anchorage.Mast) bool { return m.Crowds(&k) })
	})
}

// blocks reports whether the rig's frame, or a mast or an arm of it, runs through another frame.
func (ch *choice) blocks(outer *geom.Rect) bool {
	if ch.rigged.outer.Meets(*outer) {
		return true
	}
	for _, m := range ch.masts() {
		if outer.CutBy(m.Base, m.Top()) || outer.CutBy(m.Top(), m.Held) {
			return true
		}
	}
	return false
}

// panel is the frame of a choice as light sees it.
func (ch *choice) panel() light.Panel {
	f := ch.candidate.fabricSpec()
	s := light.Surface{Diffuse: f.Reflectance}
	return light.Panel{Corners: ch.rigged.opening.Corners(), A: s, B: s, Transmittance: f.Transmittance, BeamShare: f.BeamShare}
}

// burden is a choice as rigging reckons with it.
func (ch *choice) burden(room *[rigging.MaxSupports]rigging.Support) rigging.Piece {
	c := ch.candidate
	return c.ties.Burden(anchorage.PanelOf(&ch.rigged.outer, anchorage.SolidityOf(c.fabricSpec())), c.massKg, c.frame.GustLimitMS, ch.masts(), room)
}

// secure is what makes a choice hold a gust, beside rigs that stand.
func (ch *choice) secure(gustMS float64, others []*choice, left func(sku string) int) anchorage.Anchorage {
	var room [rigging.MaxSupports]rigging.Support
	p := ch.burden(&room)
	st := ch.group.fd.St
	if left == nil {
		left = ch.candidate.ties.Owned
	}
	return ch.candidate.ties.Secure(&p, gustMS, func() []anchorage.LineSet {
		own := ch.rigged.outer.Grow(-anchorage.TubeClearM)
		return anchorage.LineSets(st, ch.masts(), &ch.rigged.outer, func(from, to geom.Vec) bool {
			return own.CutBy(from, to) || slices.ContainsFunc(others, func(o *choice) bool {
				return o.rigged.outer.CutBy(from, to) || anchorage.AmongFeet(to, o.masts())
			})
		})
	}, left)
}

// rigged is a placed frame with its supports put down and everything measured, in the camera's frame.
type rigged struct {
	spot    placement.Spot
	opening geom.Rect
	outer   geom.Rect
	masts   [4]anchorage.Mast
	count   int
	marginM float64
	clearM  float64 // of the frame alone
}
