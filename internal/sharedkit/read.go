package sharedkit

// This file answers questions about a choice that a plan of it does not.

// Need returns how many of an item each day takes: the most of any moment in which a shot of the day is up.
func (p *Problem) Need(choice []int, item int) []int {
	count := func(s int) int {
		for _, u := range p.Shots[s].Options[choice[s]].Items {
			if u.Of == item {
				return u.N
			}
		}
		return 0
	}
	users := make([]int, len(choice))
	for s := range choice {
		if users[s] = choice[s]; users[s] >= 0 && count(s) == 0 {
			users[s] = -1
		}
	}
	need := make([]int, p.Days)
	ups := p.ups(users)
	for _, set := range p.together(ups) {
		sum := 0
		for _, k := range set {
			sum += count(ups[k].shot)
		}
		for _, k := range set {
			d := p.Shots[ups[k].shot].Day
			need[d] = max(need[d], sum)
		}
	}
	return need
}

// PeopleAt returns how many people a moment takes in which some shots are up.
func (p *Problem) PeopleAt(choice, shots []int) (people int) {
	ups := make([]up, len(shots))
	set := make([]int, len(shots))
	for k, s := range shots {
		ups[k], set[k] = up{shot: s, place: p.Shots[s].Place}, k
	}
	for _, n := range p.rolesOf(&Plan{Choice: choice}, ups, set) {
		people += n
	}
	return people
}

// Load returns what is brought on a day of a plan, and the mass of all that is hired on it, machines included.
func (p *Problem) Load(plan *Plan, day int) (load Load, kg float64) { return p.load(day, plan.Hired) }
