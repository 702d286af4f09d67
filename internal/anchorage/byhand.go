package anchorage

import "kitspan/internal/rigging"

// byHand returns what people are to a piece that they hold: nothing of the house's, up to a gust.
func (t *Planner) byHand(p *Piece, gustMS float64) Anchorage {
	panel := p.Panel()
	h := rigging.HandHeld(&panel, p.Hands, t.safety)
	return Anchorage{Holds: h.Holds(gustMS), Easy: true, held: &held{hold: &h}}
}
