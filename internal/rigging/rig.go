package rigging

// Rig is how a piece is made to hold a gust.
type Rig struct {
	// Bags on each support, never more than the most that a stand takes.
	Bags [MaxSupports]int
	// Guyed says that lines are needed, Weights how many dead weights each line has (0 with stakes).
	Guyed   bool
	Weights int
	Hold    Hold
	// Holds is false where even so the limit is under the gust asked; Hold says what gives way and when.
	Holds bool
}

// Rig makes a piece hold a gust: by bags alone where no stand needs more than maxBags (0 for the default), else with the
// lines given (nil where there can be none). Where neither holds the better of the two is the answer, with as many bags
// as are allowed, and Holds is false.
func (p *Piece) Rig(gustMS, bagKg float64, maxBags int, g *Guys) Rig {
	if maxBags == 0 {
		maxBags = DefaultMaxBags
	}
	free := p.rig(gustMS, bagKg, maxBags, nil)
	if free.Holds || g == nil || len(p.Supports) == 0 {
		return free
	}
	lines := *g
	weights := 0
	if lines.StakeSafePullN <= 0 {
		most := lines.MaxWeights
		if most == 0 {
			most = DefaultMaxWeights
		}
		n, ok := p.WeightsFor(gustMS, &lines)
		if weights = n; !ok || n > most {
			weights = most
		}
		weights = max(weights, 1)
		lines.Weights = weights
	}
	guyed := p.rig(gustMS, bagKg, maxBags, &lines)
	if !guyed.Holds && guyed.Hold.GustLimitMS <= free.Hold.GustLimitMS {
		return free
	}
	guyed.Guyed, guyed.Weights = true, weights
	return guyed
}

func (p *Piece) rig(gustMS, bagKg float64, maxBags int, g *Guys) (r Rig) {
	r.Bags, _ = p.Bags(gustMS, bagKg, g)
	r.Hold = p.Hold(r.ballastKg(bagKg, maxBags), g)
	r.Holds = r.Hold.GustLimitMS >= gustMS
	return r
}

// ballastKg caps the bags and weighs them.
func (r *Rig) ballastKg(bagKg float64, maxBags int) (kg [MaxSupports]float64) {
	for i, n := range r.Bags {
		r.Bags[i] = min(n, maxBags)
		kg[i] = float64(r.Bags[i]) * bagKg
	}
	return kg
}
