package overhead

import (
	"context"
	"slices"
)

// turnTries is for how many frames that cover everywhere rigs are looked for before a search is given up: what does not hold a small frame
// seldom holds a larger one.
const turnTries = 2

// InTurn returns a rig for each of some groups, of one frame that is moved from one to the next: the first of the candidates, the smallest
// first, that does on the terms everywhere on supports of one kind. It returns nil where none of the first two that cover does.
func InTurn(ctx context.Context, groups []*Group, cands []*Candidate, t Terms) []*Rig {
	s := series{groups: groups, terms: t}
	tries := 0
	for _, c := range cands {
		if ctx.Err() != nil || tries == turnTries {
			break
		}
		if !c.FitsEach(ctx, groups) {
			continue
		}
		tries++
		if rigs := s.of(ctx, c); rigs != nil {
			return rigs
		}
	}
	return nil
}

// series is a search for rigs one after the other.
type series struct {
	groups []*Group
	terms  Terms
	// hardest is the group for which no rig was found last: the next candidate is tried there first.
	hardest int
}

// FitsEach reports whether a frame covers the sources of each of some groups from somewhere that its supports reach.
func (c *Candidate) FitsEach(ctx context.Context, groups []*Group) bool {
	return len(c.Options) > 0 && !slices.ContainsFunc(groups, func(g *Group) bool { return !g.BestPlace(ctx, c).Fits() })
}

// of returns the rigs of a candidate that covers everywhere; nil where it has none of one kind.
func (s *series) of(ctx context.Context, c *Candidate) []*Rig {
	rigs := s.erect(ctx, c)
	if rigs == nil {
		return nil
	}
	var kinds []*SupportOption
	for _, r := range rigs {
		if w := r.kind(); !slices.Contains(kinds, w) {
			kinds = append(kinds, w)
		}
	}
	if len(kinds) == 1 && kinds[0] != nil {
		return rigs
	}
	kinds = slices.DeleteFunc(kinds, func(w *SupportOption) bool { return w == nil }) // supports of several kinds
	slices.SortStableFunc(kinds, func(a, b *SupportOption) int { return slices.Compare(a.rank[:], b.rank[:]) })
	for _, w := range kinds {
		if rigs := s.erect(ctx, c.on(w)); rigs != nil {
			return rigs
		}
	}
	return nil
}

// erect returns a candidate's rig for each group; nil where there is none for one.
func (s *series) erect(ctx context.Context, c *Candidate) []*Rig {
	rigs := make([]*Rig, len(s.groups))
	for k := range s.groups {
		i := (s.hardest + k) % len(s.groups)
		if ctx.Err() == nil && s.groups[i].BestPlace(ctx, c).Fits() {
			rigs[i] = s.groups[i].Erect(ctx, c, s.terms)
		}
		if rigs[i] == nil {
			s.hardest = i
			return nil
		}
	}
	return rigs
}

// on returns the candidate on one of its options alone.
func (c *Candidate) on(w *SupportOption) *Candidate {
	own := *c
	own.same, own.Options = nil, []SupportOption{*w}
	return &own
}

// kind returns the option of a rig's candidate that it stands on; nil where its supports are of several kinds.
func (r *Rig) kind() *SupportOption {
	masts := r.Masts()
	for _, m := range masts {
		if m.Support.Item != masts[0].Support.Item {
			return nil
		}
	}
	options := r.Candidate.PricedOptions()
	i := slices.IndexFunc(options, func(w SupportOption) bool { return w.Item == masts[0].Support.Item && w.Limits.Count == len(masts) })
	if i < 0 {
		return nil
	}
	return &options[i]
}
