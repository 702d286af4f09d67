package sizing

import (
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
)

// itemOf is an item of the house by its SKU.
func itemOf(e *engine, sku string) finding.Item { return finding.ItemOf(e.stock.Item(sku)) }

func goodsOf(e *engine, c catalog.Count) finding.Goods {
	return finding.Goods{Item: itemOf(e, c.SKU), Quantity: c.Quantity}
}

// summaryOf is the option in what a person acts on.
func summaryOf(e *engine, opt *Option, choices []*overhead.Rig, a *lighting.Arrangement) finding.Summary {
	s := finding.Summary{
		Dark: a.Light.ReferenceLx < lighting.DimmestReferenceLx, KeyStops: opt.Levels.KeyStops, ContrastStops: opt.Levels.ContrastStops, PerDay: opt.Kit.PerDay,
	}
	for _, ch := range choices {
		o := finding.Overhead{
			Framed: finding.Framed{Frame: finding.ItemOf(ch.Candidate.Item), Cloth: finding.ItemOf(ch.Candidate.Fabric)}, MiddleM: ch.Placed.Opening.Center.Z,
		}
		for _, n := range ch.Supports() {
			o.On = append(o.On, goodsOf(e, n))
		}
		s.Overheads = append(s.Overheads, o)
	}
	s.Key = a.KeyArray()
	s.Fill, s.Darkens = a.FillArray()
	if opt.Label == LabelLaterHour {
		s.Later = &finding.Hours{Start: opt.Window.Start, End: opt.Window.End}
	}
	return s
}
