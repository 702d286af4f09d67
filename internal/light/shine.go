package light

import (
	"math"

	"kitspan/internal/geom"
)

// cast is a distant source's light on a panel of which a part lies in shadow: the shadow keeps its outline in what the
// panel gives.
type cast struct {
	panel       int
	side        int
	lux         float64 // on the panel, where it is not in shadow
	first, last int     // of the shades
}

// castsOf are the casts of a panel, which stand one after the other.
func (l *Lit) castsOf(p *panel) []cast { return l.casts[p.casts[0]:p.casts[1]] }

// shine puts the light of the hard sources and the lamps on panel k and keeps the beams that come of it.
func (l *Lit) shine(k int) {
	p := &l.panels[k]
	p.casts = [2]int{len(l.casts), len(l.casts)}
	if p.void() {
		for range l.hard {
			l.lit = append(l.lit, 0)
		}
		return
	}
	rule := gauss4[:]
	lamps := l.lampsOn(p, rule)
	uneven := l.uneven(p, lamps)
	if uneven > strongShare {
		rule = gauss8[:]
		lamps = l.lampsOn(p, rule)
	}
	var cells []cell
	if p.fed || uneven > evenShare {
		cells = l.divide(p, rule)
	}
	for i := range lamps {
		for side, lx := range lamps[i] {
			p.even[side] += lx * rule[i/len(rule)][1] * rule[i%len(rule)][1]
			if cells != nil {
				cells[i].got[side] += lx
			}
		}
	}
	p.got = p.even
	for h := range l.hard {
		l.shineFrom(k, h, cells)
	}
	p.casts[1] = len(l.casts)
	l.merge(p)
}

// shineFrom puts the light of one hard source on panel k.
func (l *Lit) shineFrom(k, h int, cells []cell) {
	p, src := &l.panels[k], &l.hard[h]
	prisms := shadesOn(l, k, src)
	l.buf = l.buf[:0]
	share := 1.0
	if len(prisms) > 0 {
		share = clampShare(reached(l, p, nil, p.corner[:], prisms) / p.area)
	}
	l.lit = append(l.lit, share)
	if share == 1 {
		prisms = nil
	}
	if share == 0 {
		return
	}
	side, first := src.side(p), len(l.shades)
	mixed := p.spread > 0 || p.side[side].Diffuse > 0
	if p.side[side].Specular > 0 || mixed && cells == nil {
		l.shades = append(l.shades, prisms...)
	}
	throw(l, k, h, side, share, first)
	if cells != nil {
		for i := range cells {
			c := &cells[i]
			c.got[side] += math.Max(0, reached(l, p, src, c.corner[:], prisms)) / c.area
		}
		return
	}
	if len(prisms) == 0 || !mixed || src.near {
		lx := src.flux(p, p.corner[:], p.area) / p.area
		p.got[side] += lx * share
		p.even[side] += lx * share
		return
	}
	lx := src.normalLx * math.Abs(p.normal.Dot(src.dir))
	p.got[side] += lx * share
	l.casts = append(l.casts, cast{k, side, lx, first, len(l.shades)})
}

// lampsOn is the light of the lamps on the two sides of a panel at the points of a rule, until it is next called; none
// where there are no lamps. Shadows are left out.
func (l *Lit) lampsOn(p *panel, rule [][2]float64) [][2]float64 {
	if len(l.lamps) == 0 {
		return nil
	}
	l.lux = grown(l.lux, len(rule)*len(rule))
	clear(l.lux)
	for i := range l.lamps {
		m := &l.lamps[i]
		side := 0
		if p.normal.Dot(m.at) < p.offset {
			side = 1
		}
		n := p.facing(side)
		for c := range l.lux {
			dir, lx := m.lux(p.at(rule[c%len(rule)][0], rule[c/len(rule)][0]))
			l.lux[c][side] += lx * math.Max(0, n.Dot(dir))
		}
	}
	return l.lux
}

// uneven is by how much the light of lamps and near sources differs over a panel, half the way from the least to the
// most, against all that falls on it.
func (l *Lit) uneven(p *panel, lamps [][2]float64) float64 {
	all, spread := l.sky/2, 0.0
	if len(lamps) > 0 {
		for side := range 2 {
			least, most := math.Inf(1), 0.0
			for i := range lamps {
				least, most = math.Min(least, lamps[i][side]), math.Max(most, lamps[i][side])
			}
			all, spread = all+(least+most)/2, spread+(most-least)/2
		}
	}
	for h := range l.hard {
		src := &l.hard[h]
		if !src.near {
			all += src.normalLx * math.Abs(p.normal.Dot(src.dir))
			continue
		}
		least, most := math.Inf(1), 0.0
		for _, x := range [5]geom.Vec{p.center, p.corner[0], p.corner[1], p.corner[2], p.corner[3]} {
			dir, lx := src.toward(x)
			lx *= math.Abs(p.normal.Dot(dir))
			least, most = math.Min(least, lx), math.Max(most, lx)
		}
		all, spread = all+(least+most)/2, spread+(most-least)/2
	}
	if spread == 0 {
		return 0
	}
	return spread / all
}
