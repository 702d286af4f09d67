package sizing

import (
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
)

// itemOf returns an item of the house by its SKU.
func itemOf(pl *planner, sku string) finding.Item { return finding.ItemOf(pl.stock.Item(sku)) }

func goodsOf(pl *planner, c catalog.Count) finding.Goods {
	return finding.Goods{Item: itemOf(pl, c.SKU), Quantity: c.Quantity}
}

// summaryOf returns the option's summary: what a person acts on.
func summaryOf(pl *planner, opt *Option, rigs []*overhead.Rig, a *lighting.Arrangement) finding.Summary {
	s := finding.Summary{
		Dark: a.Light.ReferenceLx < lighting.DimmestReferenceLx, KeyStops: opt.Levels.KeyStops, ContrastStops: opt.Levels.ContrastStops, PerDay: opt.Kit.PerDay,
	}
	for _, ch := range rigs {
		o := finding.Overhead{
			Framed: finding.Framed{Frame: finding.ItemOf(ch.Candidate.Item), Cloth: finding.ItemOf(ch.Candidate.Fabric)}, MiddleM: ch.Placed.Opening.Center.Z,
		}
		o.Hands = len(ch.Hands)
		for _, n := range ch.Supports() {
			o.On = append(o.On, goodsOf(pl, n))
		}
		s.Overheads = append(s.Overheads, o)
	}
	s.Key = a.KeyArray()
	s.Fill, s.Darkens = a.FillArray()
	s.Moves = len(opt.Moves)
	if opt.Label == LabelOtherHour {
		s.Other = &finding.Hours{Start: opt.Window.Start, End: opt.Window.End}
	}
	return s
}
