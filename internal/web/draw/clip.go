package draw

// clipLine is the part of a line inside a box (Liang and Barsky 1984); ok is false where none is.
func clipLine(a, b pt, in box) (pt, pt, bool) {
	lo, hi := 0.0, 1.0
	d := b.sub(a)
	for _, e := range [4][2]float64{{-d.x, a.x - in.x}, {d.x, in.x + in.w - a.x}, {-d.y, a.y - in.y}, {d.y, in.y + in.h - a.y}} {
		p, q := e[0], e[1]
		switch {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			lo = max(lo, q/p)
		case p > 0:
			hi = min(hi, q/p)
		}
	}
	if lo >= hi {
		return a, b, false
	}
	return a.add(d.scale(lo)), a.add(d.scale(hi)), true
}

// clipShape is the part of a convex polygon inside a box (Sutherland and Hodgman 1974); empty where none is.
func clipShape(points []pt, in box) []pt {
	for side := range 4 {
		inside := func(p pt) float64 {
			switch side {
			case 0:
				return p.x - in.x
			case 1:
				return in.x + in.w - p.x
			case 2:
				return p.y - in.y
			}
			return in.y + in.h - p.y
		}
		var out []pt
		for i, b := range points {
			a := points[(i+len(points)-1)%len(points)]
			da, db := inside(a), inside(b)
			if (da < 0) != (db < 0) {
				out = append(out, a.add(b.sub(a).scale(da/(da-db))))
			}
			if db >= 0 {
				out = append(out, b)
			}
		}
		points = out
	}
	return points
}
