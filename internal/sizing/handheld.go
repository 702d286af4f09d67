package sizing

import (
	"context"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/rigging"
	"kitspan/internal/scene"
)

// mayBeHeld reports whether a frame held by hand is thought of at all: in a short window and a light wind.
func (pl *planner) mayBeHeld() bool {
	w := pl.shot.Window
	return pl.shot.GustMS <= rigging.HandGustMS && w.To.Sub(w.From) <= rigging.HandMinutes*time.Minute
}

// handHeld adds a frame that people hold, and carry along where the others walk. What else shapes the light stands where nobody walks, and
// is left out where they do: it would be right in one place of the way alone.
func (p *pool) handHeld(ctx context.Context) error {
	pl := p.pl
	if !pl.mayBeHeld() {
		return nil
	}
	sc := scene.CarriedLightOf(pl.shot)
	rig := pl.frames.ByHand(ctx, sc.Stage, sc.ToSoften, pl.shot.Allowance.ViewM)
	if rig == nil || ctx.Err() != nil {
		return ctx.Err()
	}
	hold := rig.Anchorage.Hold()
	sch := scheme{label: LabelHandHeld, light: sc, rigs: []*overhead.Rig{rig}, by: lighting.ByReflectors}
	sch.notes = append(append(sch.notes, p.notes...), finding.HandHeld{
		People: len(rig.Hands), Minutes: rigging.HandMinutes, UpToMS: hold.LowerAtMS, Carried: pl.shot.Walks(),
	})
	if pl.shot.Walks() {
		sch.omit = lighting.Omit{Lamps: true, Shade: true, Net: true, Back: true, Zones: true, Fill: true, Key: true}
	}
	_, err := p.add(ctx, pl, sch)
	return err
}
