package oracle_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"sync/atomic"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// answered sizes a draft; ok is false where it is refused, which changed drafts may be.
func answered(t *testing.T, s oracle.Shoot, d shot.Draft, stock *catalog.Snapshot) (sizing.Result, bool) {
	t.Helper()
	if _, faults := d.Resolve(); len(faults) > 0 {
		return sizing.Result{}, false
	}
	res, err := oracle.Size(t.Context(), oracle.Shoot{Kind: s.Kind, Seed: s.Seed, Draft: d}, stock)
	if err != nil {
		t.Errorf("%v\n\tdraft %s", err, drafted(d))
		return res, false
	}
	return res, true
}

// bare is a house without boards, lamps, nets, black cloths and bounce: what softens is chosen the same, and nothing else
// takes time. Its cloths for diffusion alone could shape no light.
func bare(stock *catalog.Snapshot) *catalog.Snapshot {
	return without(stock, func(item *catalog.Item) bool {
		cloth, ok := item.Spec.(*catalog.Fabric)
		k := item.Kind()
		return k == catalog.KindReflector || k == catalog.KindLamp || ok && cloth.Use != catalog.UseDiffusion
	})
}

// enough fails a test that had too little to compare.
func enough(t *testing.T, compared *atomic.Int64, least int64) {
	t.Helper()
	t.Cleanup(func() {
		t.Logf("%d comparisons", compared.Load())
		if compared.Load() < least {
			t.Errorf("only %d comparisons, wanted %d", compared.Load(), least)
		}
	})
}

func TestAskingForMoreNeverGivesLess(t *testing.T) {
	t.Parallel()
	stock := bare(demo(t, "quayside"))
	var compared atomic.Int64
	enough(t, &compared, 35)
	inParts(t, oracle.Scenes(2000, scenes(14, 500)), func(t *testing.T, s oracle.Shoot) {
		shot, faults := s.Draft.Resolve()
		if len(faults) > 0 || !oracle.AlwaysCounts(shot) {
			return
		}
		base := oracle.Spelled(s.Draft, shot)
		less, ok := answered(t, s, base, stock)
		if !ok {
			return
		}
		rng := rand.New(rand.NewPCG(s.Seed, 4))
		for _, demand := range oracle.Demands {
			d := oracle.Spelled(s.Draft, shot)
			if !demand.More(&d, shot, rng) {
				continue
			}
			more, ok := answered(t, s, d, stock)
			if !ok || !oracle.AlwaysCounts(more.Shot) {
				continue
			}
			bad, had := oracle.CheckNotSmaller(less, more, stock, demand.Name)
			if had {
				compared.Add(1)
			}
			if len(bad) > 0 {
				t.Errorf("%s: %v\n\tdraft %s\n\tgreater demand %s", s, bad, drafted(base), drafted(d))
			}
		}
	})
}

func TestMoreInTheHouseNeverGivesMore(t *testing.T) {
	t.Parallel()
	whole := bare(demo(t, "quayside"))
	var compared atomic.Int64
	enough(t, &compared, 8)
	inParts(t, oracle.Scenes(3000, scenes(16, 500)), func(t *testing.T, s oracle.Shoot) {
		rng := rand.New(rand.NewPCG(s.Seed, 5))
		part := without(whole, func(item *catalog.Item) bool {
			k := item.Kind()
			return (k == catalog.KindFrame || k == catalog.KindSupport) && rng.IntN(4) == 0
		})
		few, ok := answered(t, s, s.Draft, part)
		if !ok {
			return
		}
		many, ok := answered(t, s, s.Draft, whole)
		if !ok {
			return
		}
		bad, had := oracle.CheckNotSmaller(many, few, whole, "fewer frames and stands")
		if had {
			compared.Add(1)
		}
		report(t, s, bad)
	})
}

// without is a house less the items that are taken out.
func without(stock *catalog.Snapshot, out func(*catalog.Item) bool) *catalog.Snapshot {
	var kept []catalog.Item
	for _, item := range stock.Items() {
		if !out(&item) {
			kept = append(kept, item)
		}
	}
	return catalog.NewSnapshot(stock.House, kept)
}

func TestTurningTheSceneTurnsTheAnswer(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	var compared atomic.Int64
	enough(t, &compared, 9)
	inParts(t, oracle.Scenes(4000, scenes(14, 500)), func(t *testing.T, s oracle.Shoot) {
		shot, faults := s.Draft.Resolve()
		if len(faults) > 0 {
			return
		}
		d := oracle.UnderLamp(s.Draft, shot)
		first, ok := answered(t, s, d, stock)
		if !ok {
			return
		}
		rng := rand.New(rand.NewPCG(s.Seed, 6))
		deg := []float64{90, 180, 360 * rng.Float64()}[rng.IntN(3)]
		second, ok := answered(t, s, oracle.Turned(d, deg), stock)
		if !ok {
			return
		}
		compared.Add(1)
		bad := oracle.CheckSame(first, second, func(p geom.Vec) geom.Vec { return oracle.TurnPoint(p, deg) }, true)
		if len(bad) > 0 {
			t.Errorf("%s, turned by %.4f°: %v\n\tdraft %s", s, deg, bad, drafted(d))
		}
	})
}

func TestMirroringTheSceneKeepsTheFrames(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	var compared atomic.Int64
	enough(t, &compared, 9)
	inParts(t, oracle.Scenes(4500, scenes(14, 500)), func(t *testing.T, s oracle.Shoot) {
		shot, faults := s.Draft.Resolve()
		if len(faults) > 0 {
			return
		}
		d := oracle.UnderLamp(s.Draft, shot)
		first, ok := answered(t, s, d, stock)
		if !ok {
			return
		}
		second, ok := answered(t, s, oracle.Mirrored(d), stock)
		if !ok {
			return
		}
		compared.Add(1)
		// Where left and right are equally good the engine may take either.
		mirror := func(p geom.Vec) geom.Vec { return oracle.MirrorPoint(p, first.Shot.Camera.BearingDeg) }
		if bad := oracle.CheckSame(first, second, mirror, false); len(bad) > 0 {
			t.Errorf("%s, mirrored: %v\n\tdraft %s", s, bad, drafted(d))
		}
	})
}

// hangs reports whether frames hang over the zone at the hour asked, on whatever holds them: one, or several that share the sources.
func hangs(res sizing.Result) bool {
	return slices.ContainsFunc(res.Options, func(o sizing.Option) bool {
		return len(o.Summary.Overheads) > 0 && o.Label != sizing.LabelOtherHour && o.Label != sizing.LabelHandHeld
	})
}

// TestWidestZoneIsTheWidest asks again for zones just narrower than the widest told, over which one frame must hang, and for
// one just wider, over which none on stands may. Whether a lifting machine counts for the widest zone is left open. To the
// scenes that are always the same it adds some that no run before has had.
func TestWidestZoneIsTheWidest(t *testing.T) {
	t.Parallel()
	stock := bare(demo(t, "quayside"))
	var compared atomic.Int64
	enough(t, &compared, 22)
	first := uint64(6500)
	if oracle.Full() { // other ones each time: in one of some five hundred the zone told is a few per cent narrower than one found
		first = rand.Uint64N(1 << 40)
	}
	t.Logf("the further scenes are those of the seeds from %d", first)
	list := slices.Concat(oracle.Scenes(6000, scenes(10, 400)), oracle.Scenes(first, scenes(8, 200)))
	inParts(t, list, func(t *testing.T, s oracle.Shoot) {
		asked, faults := s.Draft.Resolve()
		if len(faults) > 0 || !oracle.AlwaysCounts(asked) || asked.Look.Soften == shot.SoftenOff {
			return
		}
		res, ok := answered(t, s, oracle.Spelled(s.Draft, asked), stock)
		if !ok {
			return
		}
		if !hangs(res) && res.WidestZoneM >= asked.Zone.WidthM && softened(res) {
			t.Errorf("%s: the widest zone told is %.3f m, and no frame hangs over the %.3f m asked\n\tdraft %s",
				s, res.WidestZoneM, asked.Zone.WidthM, drafted(s.Draft))
		}
		for _, c := range []struct {
			width  float64
			served bool
		}{
			{0.998 * res.WidestZoneM, true},
			{0.99 * res.WidestZoneM, true},
			{0.97*res.WidestZoneM - 0.02, true},
			{1.03*res.WidestZoneM + 0.05, false},
		} {
			if c.width < 0.02 || c.width > 150 {
				continue
			}
			d := oracle.Spelled(s.Draft, asked)
			d.Zone.WidthM = ptr(math.Floor(c.width*1000) / 1000)
			again, ok := answered(t, s, d, stock)
			if !ok || !oracle.AlwaysCounts(again.Shot) {
				continue
			}
			compared.Add(1)
			stands, _ := oracle.OneFrame(again)
			if c.served && !hangs(again) || !c.served && stands {
				t.Errorf("%s: the widest zone told is %.3f m; over one of %.3f m one frame hangs on stands: %v, one or several on anything: %v\n\tdraft %s",
					s, res.WidestZoneM, *d.Zone.WidthM, stands, hangs(again), drafted(d))
			}
		}
	})
}

// TestMoreGustNeverTakesASmallerFrame asks for the same in more and more wind: what holds more holds less, so that no smaller
// frame may come up, and no frame is refused that by its own figure holds the gust.
func TestMoreGustNeverTakesASmallerFrame(t *testing.T) {
	t.Parallel()
	stock := bare(demo(t, "quayside"))
	var compared atomic.Int64
	enough(t, &compared, 9)
	inParts(t, oracle.Scenes(7500, scenes(12, 300)), func(t *testing.T, s oracle.Shoot) {
		asked, faults := s.Draft.Resolve()
		if len(faults) > 0 || !oracle.AlwaysCounts(asked) {
			return
		}
		var calmer sizing.Result
		for i, gust := range []float64{2, 5, 8, 11} {
			d := oracle.Spelled(s.Draft, asked)
			d.GustMS, d.Prefer = ptr(gust), ptr(shot.PreferSmallest)
			res, ok := answered(t, s, d, stock)
			if !ok {
				return
			}
			if bad := contradictions(res); len(bad) > 0 {
				t.Errorf("%s: %.1f m/s is asked: %q\n\tdraft %s", s, gust, bad, drafted(d))
			}
			if i > 0 && held(calmer) && held(res) {
				bad, had := oracle.CheckNotSmaller(calmer, res, stock, "more gust")
				if had {
					compared.Add(1)
				}
				if len(bad) > 0 {
					t.Errorf("%s: %v\n\tdraft %s", s, bad, drafted(d))
				}
			}
			if i > 0 && !held(calmer) && held(res) {
				t.Errorf("%s: held at %.1f m/s and not at less\n\tdraft %s", s, gust, drafted(d))
			}
			calmer = res
		}
	})
}

// TestLessGustNeverTakesADearerRig asks for the same in more and more wind: the rig that holds a gust is there for every
// lesser one with no more to hold it, so that none that ranks after it may be taken there. But where no rig holds in the
// first place that has room, another place is looked for, which may ask for less than the first did in less wind. That came
// up in 8 of 450 comparisons of other shots: one in thirty is allowed for.
func TestLessGustNeverTakesADearerRig(t *testing.T) {
	t.Parallel()
	stock := bare(demo(t, "quayside"))
	var compared, dearer atomic.Int64
	enough(t, &compared, 14)
	t.Cleanup(func() {
		if most := compared.Load() / 30; dearer.Load() > most {
			t.Errorf("%d rigs are dearer in less wind, wanted %d at most", dearer.Load(), most)
		}
	})
	inParts(t, oracle.Scenes(7600, scenes(12, 300)), func(t *testing.T, s oracle.Shoot) {
		asked, faults := s.Draft.Resolve()
		if len(faults) > 0 || !oracle.AlwaysCounts(asked) {
			return
		}
		for _, prefer := range []string{shot.PreferSmallest} {
			var calmer sizing.Result
			for i, gust := range []float64{2, 4, 6, 8, 10, 12} {
				d := oracle.Spelled(s.Draft, asked)
				d.GustMS, d.Prefer = ptr(gust), ptr(prefer)
				res, ok := answered(t, s, d, stock)
				if !ok {
					return
				}
				if i > 0 {
					bad, had := oracle.CheckNotDearer(calmer, res, stock)
					if had {
						compared.Add(1)
					}
					for _, v := range bad {
						dearer.Add(1)
						t.Logf("%s, %s: %v\n\tdraft %s", s, prefer, v, drafted(d))
					}
				}
				calmer = res
			}
		}
	})
}

// TestRigOnceDearerInLessWind asks for one shot at gusts a half apart.
func TestRigOnceDearerInLessWind(t *testing.T) {
	t.Parallel()
	body, err := os.ReadFile("testdata/requests/dearer-in-less-wind.json")
	if err != nil {
		t.Fatal(err)
	}
	var req map[string]any
	if err := json.Unmarshal(body, &req); err != nil {
		t.Fatal(err)
	}
	stock, compared := houseOf(t, body), 0
	var calmer sizing.Result
	for gust := 1.0; gust <= 12; gust += 0.5 {
		req["shot"].(map[string]any)["gust_ms"] = gust
		changed, err := json.Marshal(req)
		if err != nil {
			t.Fatal(err)
		}
		res, err := desk().SizeJSON(t.Context(), changed)
		if err != nil {
			t.Fatal(err)
		}
		if gust > 1 {
			bad, had := oracle.CheckNotDearer(calmer, res, stock)
			if had {
				compared++
			}
			for _, v := range bad {
				t.Error(v)
			}
		}
		calmer = res
	}
	if compared < 8 {
		t.Errorf("only %d comparisons", compared)
	}
}

// held reports whether an overhead on stands holds the gust asked.
func held(res sizing.Result) bool {
	for _, o := range res.Options {
		if o.Label == sizing.LabelOverhead && len(o.Pieces) > 0 && o.Pieces[0].Role == finding.RoleOverhead {
			return o.Pieces[0].Hold.LowerAtMS >= res.Shot.GustMS
		}
	}
	return false
}

// softened reports whether some source of an answer is to be stopped.
func softened(res sizing.Result) bool {
	return slices.ContainsFunc(res.Sources, func(s scene.SourceTrack) bool { return s.Softened })
}
