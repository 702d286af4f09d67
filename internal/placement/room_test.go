package placement

import (
	"testing"

	"kitspan/internal/scene"
	"kitspan/internal/shot/shottest"
)

// TestRoomIsThatOfTheSupportsAsked asks of every facing of the grid whether stands of several heights have room: what is kept
// from one may not answer for another. A low one asked first once hid the room that a high one has.
func TestRoomIsThatOfTheSupportsAsked(t *testing.T) {
	shot := shottest.Resolve(t, shottest.Bare())
	st := scene.NewStage(&shot)
	hard := scene.HardOf(scene.Sources(&shot, st, scene.NewSky(&shot, shot.Window.From, shot.Window.To)))
	sh := Size{2.4, 2.4, 2.45, 2.45}
	var supports []SupportLimits
	for _, highestM := range []float64{2, 4, 8, 16} {
		supports = append(supports, SupportLimits{LowestM: highestM / 3, HighestM: highestM, TopM: 2 * scene.FarM, Count: 2, Stances: []Stance{{1.5, 0.9}}})
	}
	asked := NewFinder(t.Context(), st, scene.RaysOf(st, hard)) // of one after the other
	roomy := 0
	for i := range asked.Grid {
		for k := range supports {
			fresh := NewFinder(t.Context(), st, scene.RaysOf(st, hard))
			got, want := asked.placer.room(&asked.Grid[i], &sh, &supports[k]), fresh.placer.room(&fresh.Grid[i], &sh, &supports[k])
			if got != want {
				t.Errorf("yaw %.2f, tilt %.2f, up to %g m: room %v after other supports, %v at first",
					asked.Grid[i].yaw, asked.Grid[i].tilt, supports[k].HighestM, got, want)
			}
			if want {
				roomy++
			}
		}
	}
	if all := len(asked.Grid) * len(supports); roomy == 0 || roomy == all {
		t.Errorf("%d of %d have room: the test does not discriminate", roomy, all)
	}
}
