package sizing

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/rigging"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

const (
	// mostParts is into how many parts a window is cut at most.
	mostParts = 6
	// leastPart is the least length of a part, and shotShare the least share of one that is left when its move is done (common practice, no
	// source).
	leastPart = 40 * time.Minute
	shotShare = 0.5
)

// cut is a window in parts, with the light of each.
type cut struct {
	parts  []*scene.Light
	groups []*overhead.Group
	rigs   []*overhead.Rig // of one frame, one for each part
}

// moved adds overheads that are set anew in the course of a long window: a frame on stands that is smaller than any that stops the sources
// all through, on the same supports in every part. The window is cut into equal parts, to the minute, two to [mostParts] of
// [leastPart] at least. Two cuts are planned: that of fewest parts in which a smaller frame does at all, and, where more parts allow a
// smaller one yet, that of fewest parts in which the smallest does; each so that half of every part is left when its move is done.
//
// Where no sun is to be softened in some part the window is not cut, nor for lamps, which do not move, nor for people who walk; and where lamps are put up for the
// people nothing is moved: their cables would be, too.
func (p *pool) moved(ctx context.Context, onStands, onLift []*overhead.Rig) error {
	w := p.pl.shot.Window
	most := min(mostParts, int(w.To.Sub(w.From)/leastPart))
	if most < 2 || p.pl.shot.Site.Roofed || p.pl.shot.Walks() || !sunHard(p.light.ToSoften) {
		return nil
	}
	cands := smallerThan(p.pl.frames.Stands, math.Min(openingM2(onStands), openingM2(onLift)))
	finest := p.cutInto(ctx, most, cands)
	if finest == nil {
		return nil // what does not do for the finest parts does for no others
	}
	on := overhead.Terms{LimitMinor: p.pl.frames.Limit, Wind: overhead.HoldGust}
	var cuts []*cut
	for n := 2; n <= most && len(cands) > 0; n++ {
		c := finest
		if n < most {
			c = p.cutInto(ctx, n, cands)
		}
		if c == nil {
			continue
		}
		if c.rigs = overhead.InTurn(ctx, c.groups, cands, on); c.rigs == nil {
			continue
		}
		cuts = append(cuts, c)
		cands = smallerThan(cands, c.rigs[0].Candidate.AreaM2)
	}
	kept := false
	for len(cuts) > 0 && !kept {
		var err error
		if kept, err = p.addMoved(ctx, cuts[0]); err != nil {
			return err
		}
		cuts = cuts[1:]
	}
	for kept = false; len(cuts) > 0 && !kept; cuts = cuts[:len(cuts)-1] {
		var err error
		if kept, err = p.addMoved(ctx, cuts[len(cuts)-1]); err != nil {
			return err
		}
	}
	return nil
}

// sunHard reports whether the sun is among some sources.
func sunHard(list []*scene.Source) bool {
	return slices.ContainsFunc(list, func(src *scene.Source) bool { return src.Lamp == nil })
}

// openingM2 is the area of the openings of rigs; +Inf where there are none.
func openingM2(rigs []*overhead.Rig) (sum float64) {
	if len(rigs) == 0 {
		return math.Inf(1)
	}
	for _, r := range rigs {
		sum += r.Candidate.AreaM2
	}
	return sum
}

// smallerThan returns the candidates that something holds and whose opening is under an area, the smallest first.
func smallerThan(list []*overhead.Candidate, areaM2 float64) []*overhead.Candidate {
	list = slices.DeleteFunc(slices.Clone(list), func(c *overhead.Candidate) bool {
		return len(c.Options) == 0 || c.AreaM2 > areaM2*(1-noticedArea)
	})
	slices.SortStableFunc(list, func(a, b *overhead.Candidate) int { return cmp.Compare(a.AreaM2, b.AreaM2) })
	return list
}

// cutInto cuts the window into so many equal parts; nil where the sun is not to be softened in one of them, or none of some candidates
// covers in each.
func (p *pool) cutInto(ctx context.Context, n int, cands []*overhead.Candidate) *cut {
	w := p.pl.shot.Window
	c := &cut{}
	from, leastM2 := w.From, 0.0
	for k := 1; k <= n; k++ {
		to := w.From.Add((w.To.Sub(w.From) * time.Duration(k) / time.Duration(n)).Truncate(time.Minute))
		if k == n {
			to = w.To
		}
		sc := scene.LightOf(p.pl.during(shot.WindowBetween(from, to)).shot)
		if !sunHard(sc.ToSoften) {
			return nil
		}
		leastM2 = math.Max(leastM2, sc.Stage.LeastOpeningM2(sc.ToSoften))
		g := overhead.NewGroup(ctx, sc.Stage, sc.ToSoften)
		g.Brief = true
		c.parts, c.groups = append(c.parts, sc), append(c.groups, g)
		from = to
	}
	if !slices.ContainsFunc(cands, func(f *overhead.Candidate) bool { return f.AreaM2 >= leastM2 && f.FitsEach(ctx, c.groups) }) {
		return nil
	}
	return c
}

// addMoved keeps the option of a cut, where it is one. A shade on the lens is as in [planner.option].
func (p *pool) addMoved(ctx context.Context, c *cut) (kept bool, err error) {
	opt, ok, err := p.inParts(ctx, c, lighting.Omit{})
	if err != nil || !ok {
		return false, err
	}
	if len(opt.Broken) > 0 && opt.Has(finding.RoleCameraShade) {
		bare, ok, err := p.inParts(ctx, c, lighting.Omit{Shade: true})
		if err != nil {
			return false, err
		}
		if ok && len(bare.Broken) < len(opt.Broken) {
			opt = bare
		}
	}
	p.keep(opt)
	return true, nil
}

// inParts returns the option of the rigs of a cut, which stand one after the other; ok is false where something does not hold the gust,
// lamps are put up, or a move leaves too little of its part.
func (p *pool) inParts(ctx context.Context, c *cut, omit lighting.Omit) (opt Option, ok bool, err error) {
	for k, rig := range c.rigs {
		part, err := p.pl.placed(ctx, scheme{label: LabelMoved, light: c.parts[k], rigs: []*overhead.Rig{rig}, by: lighting.ByReflectors, omit: omit})
		if err != nil {
			return Option{}, false, err
		}
		if len(part.Broken) > 0 || part.PowerW > 0 {
			return Option{}, false, nil
		}
		if k == 0 {
			opt = part
		} else {
			opt.follow(&part)
		}
	}
	opt.Window = p.pl.shot.Window
	if err := p.pl.complete(&opt); err != nil {
		return Option{}, false, err
	}
	note := finding.Moved{Moves: len(opt.Moves)}
	for i := range opt.Moves {
		m := &opt.Moves[i]
		if float64(m.Minutes) > (1-shotShare)*m.Window.To.Sub(m.Window.From).Minutes() {
			return Option{}, false, nil
		}
		note.Minutes += m.Minutes
	}
	opt.Notes = slices.Concat(p.notes, []finding.Note{note}, opt.Notes)
	return opt, true, nil
}

// follow adds a part of the window, with what it does less than those before it.
func (o *Option) follow(part *Option) {
	if len(o.Moves) == 0 {
		o.first = slices.Clone(o.GivesUp)
	}
	o.Moves = append(o.Moves, Move{
		Window: part.Window, Pieces: part.Pieces, Background: part.Background, Levels: part.Levels, Trim: part.Trim, ReaimMin: part.ReaimMin,
		GivesUp: part.GivesUp, Notes: part.Notes,
	})
	o.arranged = append(o.arranged, part.arranged...)
	o.lifted, o.mirrors = o.lifted && part.lifted, o.mirrors || part.mirrors
	for _, s := range part.GivesUp {
		i := slices.IndexFunc(o.GivesUp, func(t finding.Shortfall) bool { return t.What == s.What && t.Zone == s.Zone })
		switch {
		case i < 0:
			o.GivesUp = append(o.GivesUp, s)
		case lost(&s) > lost(&o.GivesUp[i]):
			o.GivesUp[i] = s
		}
	}
}

// piecesIn returns the pieces that stand in a part of an option's window, the first where nothing is moved.
func (o *Option) piecesIn(part int) []Piece {
	if part == 0 {
		return o.Pieces
	}
	return o.Moves[part-1].Pieces
}

// changes returns what is moved between the parts of an option's window.
func (o *Option) changes() []rigging.Move {
	var out []rigging.Move
	for k := range o.Moves {
		before, after := o.piecesIn(k), o.piecesIn(k+1)
		out = append(out, rigging.Move{
			Down: others(before, after, (*Piece).stays), Up: others(after, before, (*Piece).stays), Anew: others(after, before, (*Piece).isOf),
		})
	}
	return out
}

// others returns which of some pieces have none among others that is the same, each of which is the same as one alone.
func others(of, among []Piece, same func(p, o *Piece) bool) (list []int) {
	taken := make([]bool, len(among))
	for i := range of {
		found := false
		for k := range among {
			if !taken[k] && same(&of[i], &among[k]) {
				taken[k], found = true, true
				break
			}
		}
		if !found {
			list = append(list, i)
		}
	}
	return list
}

// isOf reports whether a piece is made of the same items as another.
func (v *Piece) isOf(o *Piece) bool { return slices.Equal(v.Items, o.Items) }

// stays reports whether a piece is another in the same place, held alike.
func (v *Piece) stays(o *Piece) bool {
	return v.isOf(o) && v.Corners == o.Corners && slices.EqualFunc(v.Supports, o.Supports, func(a, b Support) bool {
		return a.SKU == b.SKU && a.Base == b.Base && a.HeightM == b.HeightM && (a.Arm == nil) == (b.Arm == nil) && (a.Arm == nil || *a.Arm == *b.Arm) &&
			a.Ballast == b.Ballast
	}) && slices.EqualFunc(v.Lines, o.Lines, func(a, b GuyLine) bool {
		return a.SKU == b.SKU && a.From == b.From && a.To == b.To && a.Anchor == b.Anchor
	})
}

// workMin is the minutes of work on an option: to rig it, to move it, and to strike it.
func (o *Option) workMin() int {
	sum := o.Crew.RigMin + o.Crew.StrikeMin
	for i := range o.Moves {
		sum += o.Moves[i].Minutes
	}
	return sum
}
