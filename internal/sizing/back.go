package sizing

import (
	"context"
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/light"
	"kitspan/internal/shot"
)

// lightBack puts a lamp behind the subject where more light on hair and shoulders is asked for than there is.
func (pl *lightPlanner) lightBack(ctx context.Context, a *arranged) {
	if pl.shot.Look.BackStops == nil {
		return
	}
	want := a.sc.reference * math.Exp2(*pl.shot.Look.BackStops)
	_, _, back := a.faces(a.sc.st.mid)
	off := light.Stops(math.Max(back, darkestLx), want)
	if math.Abs(off) <= closeStops {
		return
	}
	if off < 0 && !a.dark {
		to := aim{serves: shot.MainLabel, mid: a.sc.st.mid, half: a.sc.st.half, face: a.sc.back, side: -a.sc.side, behind: true}
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
