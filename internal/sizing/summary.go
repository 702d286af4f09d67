package sizing

import (
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/overhead"
)

// item is an item of the house by its SKU.
func (e *engine) item(sku string) finding.Item { return finding.ItemOf(e.stock.Item(sku)) }

func (e *engine) goods(c catalog.Count) finding.Goods {
	return finding.Goods{Item: e.item(c.SKU), Quantity: c.Quantity}
}

// summary is the option in what a person acts on.
func (e *engine) summary(opt *Option, choices []*overhead.Rig, a *arranged) finding.Summary {
	s := finding.Summary{
		Dark: a.sc.Reference < dimmestReferenceLx, KeyStops: opt.Levels.KeyStops, ContrastStops: opt.Levels.ContrastStops, PerDay: opt.Kit.PerDay,
	}
	for _, ch := range choices {
		o := finding.Overhead{
			Framed: finding.Framed{Frame: finding.ItemOf(ch.Candidate.Item), Cloth: finding.ItemOf(ch.Candidate.Fabric)}, MiddleM: ch.Placed.Opening.Center.Z,
		}
		for _, n := range ch.Supports() {
			o.On = append(o.On, e.goods(n))
		}
		s.Overheads = append(s.Overheads, o)
	}
	if a.key != nil {
		key := a.key.train.finding()
		s.Key = &key
	}
	if a.fill != nil {
		fill := a.fill.train.finding()
		s.Fill, s.Darkens = &fill, a.fill.dims
	}
	if opt.Label == LabelLaterHour {
		s.Later = &finding.Hours{Start: opt.Window.Start, End: opt.Window.End}
	}
	return s
}
