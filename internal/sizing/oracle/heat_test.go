package oracle_test

import (
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// lampUnderRope spoils an option by a lamp 0.7 m under the middle of one of its ropes, and 0.2 m beside it.
func lampUnderRope(_ *shot.Shot, o *sizing.Option, stock *catalog.Snapshot) bool {
	for _, p := range o.Pieces {
		if len(p.Lines) == 0 {
			continue
		}
		at := p.Lines[0].From.Add(p.Lines[0].To).Scale(0.5)
		at.X, at.Z = at.X+0.2, at.Z-0.7
		for _, item := range stock.Items() {
			if _, ok := item.Spec.(*catalog.Lamp); ok && at.Z > 0 {
				o.Pieces = append(o.Pieces, sizing.Piece{
					Role: finding.RoleLamp, Serves: shot.MainLabel, Items: []catalog.Count{{SKU: item.SKU, Quantity: 1}},
					Lamp: &sizing.LampPlace{Position: at}, Supports: p.Supports[:1],
				})
				return true
			}
		}
	}
	return false
}
