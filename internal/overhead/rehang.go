package overhead

import (
	"context"
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/placement"
	"kitspan/internal/scene"
)

// flatTilts are the shares of a rig's tilt at which a cheaper place is looked for, and flatRad the tilt up to which it counts as
// level: a level frame is a wing and a tilted one a sail, which takes several times the ballast.
var flatTilts = [...]float64{0, 1. / 3, 2. / 3}

const flatRad = 5 * math.Pi / 180

// flatter returns the rig in another place where its frame hangs flatter and costs less to hold, on supports of the same kind; the
// rig itself where there is none.
func (g *Group) flatter(ctx context.Context, r *Rig, t Terms) *Rig {
	spot, w := &r.Placed.spot, r.option
	if w == nil || w.Spec.Class == catalog.ClassMachine || math.Abs(spot.Tilt) < flatRad {
		return r
	}
	for _, share := range flatTilts {
		ch := g.turnedTo(ctx, r, &w.Limits, spot.Yaw, share*spot.Tilt, t)
		if ch != nil && ch.armM() <= math.Max(r.armM(), longArmM) && ch.better(r, t) {
			return ch
		}
	}
	return r
}

// longArmM is the length of an arm, in metres, from which a place without such arms comes first (common practice, no source), and
// armTurns are the turns, in radians of yaw, at which one is looked for, level and tilted as the rig is.
const longArmM = 0.5

var armTurns = [...]float64{0, -math.Pi / 12, math.Pi / 12, -math.Pi / 6, math.Pi / 6, math.Pi / 2}

// closer returns the rig in another place where no arm is longer than [longArmM]: its frame's ends hang outside the picture then.
// It is the rig itself where there is none, or none that holds.
func (g *Group) closer(ctx context.Context, r *Rig, t Terms) *Rig {
	spot, w := &r.Placed.spot, r.option
	if w == nil || w.Spec.Class == catalog.ClassMachine || r.armM() <= longArmM {
		return r
	}
	short := w.Limits
	short.Stances = slices.Clone(short.Stances)
	for i := range short.Stances {
		short.Stances[i].ArmM = math.Min(short.Stances[i].ArmM, longArmM)
	}
	tilts := []float64{spot.Tilt, 0}
	if math.Abs(spot.Tilt) < flatRad {
		tilts = tilts[:1]
	}
	for _, tilt := range tilts {
		for _, turn := range armTurns {
			ch := g.turnedTo(ctx, r, &short, spot.Yaw+turn, tilt, t)
			if ch != nil && ch.armM() <= longArmM+scene.GuardM {
				return ch
			}
		}
	}
	return r
}

// turning is a frame on so many supports of one kind, at one turn, with arms up to some length.
type turning struct {
	onKind
	size            placement.Size
	yaw, tilt, armM float64
}

// at returns where a rig goes at another turn, in radians of yaw and tilt, on supports of its kind within some limits. It is looked for once:
// by every preference the same rig may be hung otherwise.
func (g *Group) at(ctx context.Context, r *Rig, within *placement.SupportLimits, yaw, tilt float64) *placed {
	size := r.Placed.spot.Size
	key := turning{kindOf(r.Candidate, r.option), size, yaw, tilt, within.Stances[0].ArmM}
	if p := g.turned[key]; p != nil {
		return p
	}
	p := &placed{}
	w := *r.option
	w.Limits = *within
	accept := func(s *placement.Spot) (ok bool, short int) {
		p.rigged, short = g.settled(r.Candidate, s, within, []*SupportOption{&w})
		return short == allStand, short
	}
	_, p.ok = g.fd.At(ctx, yaw, tilt, placement.CoverQuery(size, within, &placement.Trial{Accept: accept, Patience: patienceOnce}))
	for i := range p.rigged.masts[:p.rigged.Count] {
		p.rigged.masts[i].Support = &r.option.Support
	}
	g.turned[key] = p
	return p
}

// turnedTo returns the rig at another turn as [Group.at] finds it; nil where it finds no room or does not keep the terms.
func (g *Group) turnedTo(ctx context.Context, r *Rig, within *placement.SupportLimits, yaw, tilt float64, t Terms) *Rig {
	ch := g.at(ctx, r, within, yaw, tilt).rig(g, r.Candidate, t.Wind)
	if ch == nil {
		return nil
	}
	if ch.option = r.option; !ch.keeps(t) {
		return nil
	}
	return ch
}

// armM returns the length of the rig's longest arm, in metres.
func (r *Rig) armM() (longest float64) {
	for _, m := range r.Masts() {
		longest = math.Max(longest, m.ArmM())
	}
	return longest
}
