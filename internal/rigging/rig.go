package rigging

// Rig is how a piece is made to hold a gust.
type Rig struct {
	// Bags on each support, never more than the most that a stand takes.
	Bags [MaxSupports]int
	// Guyed means that lines are needed, Weights how many dead weights each line has (0 with stakes).
	Guyed   bool
	Weights int
	Hold    Hold
	// Holds is false where even so it is to be down under the gust asked; Hold says what gives way and when.
	Holds bool
}

// Rig makes a piece hold a gust: by bags alone where no stand needs more than maxBags (0 for the default), else with the
// lines given (nil where there can be none) besides. A guyed stand keeps the bags that it would take without lines, up to
// maxBags: it has to stand while lines are made fast, and more wind never means fewer bags. Where neither holds the better
// of the two is the answer, and Holds is false.
func (p *Piece) Rig(gustMS, bagKg float64, maxBags int, g *Guys) Rig {
	if maxBags == 0 {
		maxBags = DefaultMaxBags
	}
	m := p.moment(g)
	var free Rig
	free.Bags, _ = p.bags(gustMS, bagKg, &m, nil)
	p.settle(&free, gustMS, bagKg, maxBags, &m, nil)
	if free.Holds || g == nil || len(p.Supports) == 0 {
		return free
	}
	lines := *g
	guyed := Rig{Guyed: true}
	if lines.StakeSafePullN <= 0 {
		guyed.Weights = p.weights(gustMS, &m, &lines)
		lines.Weights = guyed.Weights
	}
	guyed.Bags, _ = p.bags(gustMS, bagKg, &m, &lines)
	for i, n := range free.Bags {
		guyed.Bags[i] = max(guyed.Bags[i], n)
	}
	p.settle(&guyed, gustMS, bagKg, maxBags, &m, &lines)
	if !guyed.Holds && guyed.Hold.LowerAtMS <= free.Hold.LowerAtMS {
		return free
	}
	return guyed
}

// weights is how many dead weights a line gets: as many as the gust asks for, at least one, at most what a line may have.
func (p *Piece) weights(gustMS float64, m *moment, g *Guys) int {
	most := g.MaxWeights
	if most == 0 {
		most = DefaultMaxWeights
	}
	n, ok := p.weightsFor(gustMS, m, g)
	if !ok {
		return most
	}
	return min(max(n, 1), most)
}

// settle caps the bags and says what they hold.
func (p *Piece) settle(r *Rig, gustMS, bagKg float64, maxBags int, m *moment, g *Guys) {
	var kg [MaxSupports]float64
	for i, n := range r.Bags {
		r.Bags[i] = min(n, maxBags)
		kg[i] = float64(r.Bags[i]) * bagKg
	}
	r.Hold = p.hold(&kg, m, g)
	r.Holds = r.Hold.Holds(gustMS)
}
