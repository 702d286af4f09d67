package sizing

import (
	"testing"

	"kitspan/internal/scene"
	"kitspan/internal/shot/shottest"
)

// TestRoomIsThatOfTheHoldAsked asks of every facing of the grid whether stands of several heights have room: what is kept
// from one may not answer for another. A low one asked first once hid the room that a high one has.
func TestRoomIsThatOfTheHoldAsked(t *testing.T) {
	shot := shottest.Resolve(t, shottest.Bare())
	st := scene.NewStage(&shot)
	hard := scene.HardOf(scene.Sources(&shot, st, scene.NewSky(&shot, shot.Window.From, shot.Window.To)))
	sh := sheet{2.4, 2.4, 2.45, 2.45}
	var holds []hold
	for _, highestM := range []float64{2, 4, 8, 16} {
		holds = append(holds, hold{lowestM: highestM / 3, highestM: highestM, topM: 2 * scene.FarM, count: 2, stances: []stance{{1.5, 0.9}}})
	}
	asked := newFinder(t.Context(), st, scene.RaysOf(st, hard)) // of one after the other
	roomy := 0
	for i := range asked.grid {
		for k := range holds {
			fresh := newFinder(t.Context(), st, scene.RaysOf(st, hard))
			got, want := asked.placer.room(&asked.grid[i], &sh, &holds[k]), fresh.placer.room(&fresh.grid[i], &sh, &holds[k])
			if got != want {
				t.Errorf("yaw %.2f, tilt %.2f, up to %g m: room %v after other holds, %v at first",
					asked.grid[i].yaw, asked.grid[i].tilt, holds[k].highestM, got, want)
			}
			if want {
				roomy++
			}
		}
	}
	if all := len(asked.grid) * len(holds); roomy == 0 || roomy == all {
		t.Errorf("%d of %d have room: nothing is told apart", roomy, all)
	}
}
