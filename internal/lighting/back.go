package lighting

import (
	"context"
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/light"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// lightBack puts a lamp behind the subject where more light on hair and shoulders is required than the sun gives.
func lightBack(ctx context.Context, pl *Planner, a *Arrangement) {
	if pl.shot.Look.BackStops == nil || pl.shot.Look.Back != shot.BackRequired {
		return
	}
	want := a.Light.ReferenceLx * math.Exp2(*pl.shot.Look.BackStops)
	_, _, back := a.FaceLevels(a.Light.Stage.Mid)
	off := light.Stops(math.Max(back, scene.DarkestLx), want)
	if math.Abs(off) <= closeStops {
		return
	}
	if off < 0 && !a.dark {
		to := aim{serves: shot.MainLabel, mid: a.Light.Stage.Mid, half: a.Light.Stage.Half, face: a.Light.Back, lights: finding.LitBack, side: -a.Light.KeySide, behind: true}
		for range 2 {
			q := newSearch(a.Setup, asking(&to, want, false))
			q.role = finding.RoleLamp
			if mountDone(ctx, a, q, pl.arrays.of(lampArrays)) {
				a.note(finding.BackLampTowardLens{})
				return
			}
			to.side = -to.side
		}
		q := newSearch(a.Setup, asking(&to, want, false))
		q.role = finding.RoleLamp
		pl.mount(ctx, a, q, lampArrays)
	}
}

// mountDone puts up only what does in full.
func mountDone(ctx context.Context, a *Arrangement, q *lightSearch, list []array) bool {
	up, done := q.run(ctx, list)
	if done {
		a.add(up)
	}
	return done
}
