package oracle

// tinted is light that has come some way: lux, and the sum over its rays of lux times the mired by which cloths and faces shifted each.
type tinted struct{ lx, shifted float64 }

func (t tinted) plus(o tinted) tinted { return tinted{t.lx + o.lx, t.shifted + o.shifted} }

// by is what is left of the light after a surface or a cloth that takes some of it and shifts the rest.
func (t tinted) by(share, mired float64) tinted {
	return tinted{t.lx * share, (t.shifted + t.lx*mired) * share}
}

// times is so many times the light.
func (t tinted) times(share float64) tinted { return t.by(share, 0) }

// mired is the mean shift of the light; 0 of none.
func (t tinted) mired() float64 {
	if t.lx == 0 {
		return 0
	}
	return t.shifted / t.lx
}

// passage is what becomes of a ray that goes straight through cloths: the share that is left and its shift.
type passage struct{ share, mired float64 }

// of is what is left of some light after the passage.
func (w passage) of(t tinted) tinted { return t.by(w.share, w.mired) }

// past is the passage with one cloth more.
func (w passage) past(s *sheet) passage { return passage{w.share * s.straight, w.mired + s.mired} }
