package sharedkit

import "math"

// haulAtLeast returns the least that bringing a load costs on a day, however many people are there; 0 where nobody can bring it: what
// then is paid for is not known.
func (p *Problem) haulAtLeast(day int, load Load) int64 {
	if p.HaulAtLeast != nil {
		return p.HaulAtLeast(day, load)
	}
	least := int64(math.MaxInt64)
	for hands := range p.mostHands(day) + 1 {
		if minor, ok := p.Haul(day, load, hands); ok {
			least = min(least, minor)
		}
	}
	if least == math.MaxInt64 {
		return 0
	}
	return least
}

// mostHands is how many people drive or ride at most on a day: all that all its shots' largest options have.
func (p *Problem) mostHands(day int) int {
	total := 0
	for s := range p.Shots {
		if p.Shots[s].Day != day {
			continue
		}
		most := 0
		for o := range p.Shots[s].Options {
			n := 0
			for _, u := range p.Shots[s].Options[o].Roles {
				if !p.Roles[u.Of].Apart {
					n += u.N
				}
			}
			most = max(most, n)
		}
		total += most
	}
	return total
}
