package sizing

import (
	"context"
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/light"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// lightBack puts a lamp behind the subject where more light on hair and shoulders is asked for than there is.
func (pl *lightPlanner) lightBack(ctx context.Context, a *arranged) {
	if pl.shot.Look.BackStops == nil {
		return
	}
	want := a.sc.Reference * math.Exp2(*pl.shot.Look.BackStops)
	_, _, back := a.faces(a.sc.St.Mid)
	off := light.Stops(math.Max(back, scene.DarkestLx), want)
	if math.Abs(off) <= closeStops {
		return
	}
	if off < 0 && !a.dark {
		to := aim{serves: shot.MainLabel, mid: a.sc.St.Mid, half: a.sc.St.Half, face: a.sc.Back, side: -a.sc.Side, behind: true}
		for range 2 {
			q := a.search(asking(&to, want, false))
			q.role = finding.RoleLamp
			if a.mountDone(ctx, q, pl.arrays.of(lampTrains)) {
				a.note(finding.BackLampTowardLens{})
				return
			}
			to.side = -to.side
		}
		q := a.search(asking(&to, want, false))
		q.role = finding.RoleLamp
		pl.mount(ctx, a, q, lampTrains)
	}
}

// mountDone puts up only what does in full.
func (a *arranged) mountDone(ctx context.Context, q *lightSearch, list []train) bool {
	up, done := q.run(ctx, list)
	if done {
		a.add(up)
	}
	return done
}
