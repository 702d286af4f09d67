package sizing

import (
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/scene"
)

// explain adds what a gaffer would say of the setup, from its numbers.
func (a *arranged) explain(pl *lightPlanner) {
	a.tellKey(pl)
	a.tellContrast(pl)
	a.tellBack(pl)
	a.tellShift(pl)
	for i := range a.levels.OtherZones {
		z := &a.levels.OtherZones[i]
		if asked := pl.shot.OtherZones[i].KeyStops; math.Abs(z.KeyStops-asked) > closeStops {
			a.lacks = append(a.lacks, "zone")
			a.note(finding.ZoneMissed{Zone: z.Label, KeyStops: z.KeyStops, AskedStops: asked})
		}
	}
	if a.reaim != nil {
		length := a.sc.Window.To.Sub(a.sc.Window.From).Minutes()
		if *a.reaim < length/2 {
			a.note(finding.ReAim{EveryMin: math.Max(1, math.Floor(*a.reaim))})
		} else {
			a.note(finding.AimHolds{})
		}
	}
	if w := a.power(); w > 0 {
		a.note(finding.LampsDraw{PowerW: w})
	}
}

func (a *arranged) note(n finding.Note) { a.notes = append(a.notes, n) }

func (a *arranged) power() (w float64) {
	for _, p := range a.pieces {
		w += p.powerW
	}
	return w
}

func (a *arranged) tellKey(pl *lightPlanner) {
	got, want := a.levels.KeyStops, pl.shot.Look.KeyStops
	miss := got - want
	if math.Abs(miss) > closeStops {
		a.lacks = append(a.lacks, "key")
	}
	switch {
	case a.key == nil && math.Abs(miss) <= closeStops:
		a.note(finding.KeyUnlifted{KeyStops: got})
	case a.key == nil && miss > 0:
		a.note(finding.KeyTooBright{KeyStops: got, AskedStops: want})
	case a.key == nil:
		a.note(finding.KeyTooDark{KeyStops: got, AskedStops: want, By: a.by.finding()})
	default:
		t := &a.key.train
		n := finding.KeyPlaced{By: t.finding(), DistanceM: t.r, Side: finding.SideOf(a.key.to.side)}
		n.FlatMirror = t.of.lamp == nil && t.of.specular() && t.of.front.LobeDeg < 1 && t.veil == nil
		if loss := a.lossPerM(); loss/2 >= leastLossStops {
			n.LosesStopsPerM = loss
		}
		a.note(n)
		if math.Abs(miss) > closeStops {
			a.note(finding.KeyMissed{KeyStops: got, AskedStops: want, By: a.by.finding()})
		}
	}
}

func (a *arranged) tellContrast(pl *lightPlanner) {
	got, want := a.levels.ContrastStops, pl.shot.Look.ContrastStops
	miss := got - want
	if math.Abs(miss) > closeStops {
		a.lacks = append(a.lacks, "contrast")
		a.note(finding.ContrastMissed{ContrastStops: got, AskedStops: want})
	}
	switch {
	case a.fill == nil && math.Abs(miss) <= closeStops:
		a.note(finding.FillLeft{Side: finding.SideOf(-a.sc.Side), ContrastStops: got})
	case a.fill != nil:
		t := &a.fill.train
		a.note(finding.FillPlaced{
			By: t.finding(), DistanceM: t.r, Side: finding.SideOf(a.fill.to.side), Darkens: a.fill.dims, ContrastStops: got,
		})
	}
}

// tellBack notes where hair and shoulders are not as asked, with everything up.
func (a *arranged) tellBack(pl *lightPlanner) {
	want := pl.shot.Look.BackStops
	if want == nil {
		return
	}
	if got := a.sc.Stops(a.levels.BackLx); math.Abs(got-*want) > closeStops {
		a.lacks = append(a.lacks, "back")
		a.note(finding.BackMissed{BackStops: got, AskedStops: *want})
	}
}

// tellShift notes when reflectors have the sun that they work with, where that is not all of the window.
func (a *arranged) tellShift(pl *lightPlanner) {
	if a.sc.Driver < 0 || a.sc.Throughout || !slices.ContainsFunc(a.pieces, func(p *piece) bool { return p.sunny }) {
		return
	}
	zone := pl.shot.Window.From.Location()
	a.note(finding.SunForPart{From: a.sc.Times[0].In(zone), To: a.sc.Until().In(zone), LowestDeg: scene.LowestSunDeg})
}

// leastLossStops is the least loss by half a metre of distance that is worth telling (common practice, no source).
const leastLossStops = 0.05

// lossPerM is what a metre more of distance costs the key, in stops; 0 where it is not known.
func (a *arranged) lossPerM() (stops float64) {
	if len(a.trim) < trimSteps {
		return 0
	}
	from, to := a.trim[trimSteps/2], a.trim[trimSteps/2+1]
	if to.DistanceM-from.DistanceM < 1e-6 {
		return 0
	}
	return (from.KeyStops - to.KeyStops) / (to.DistanceM - from.DistanceM)
}

// finding is what the key or the fill is lit by.
func (m means) finding() finding.Means {
	if m == byLamps {
		return finding.ByLamp
	}
	return finding.ByReflector
}

// finding is the train as one array.
func (t *train) finding() finding.Array {
	out := finding.Array{Goods: finding.Goods{Item: finding.ItemOf(t.of.item), Quantity: t.n}}
	if t.of.cloth != nil {
		cloth := finding.ItemOf(t.of.cloth)
		out.Cloth = &cloth
	} else if t.of.lamp == nil {
		out.Face = t.of.face
	}
	if t.veil != nil {
		out.Behind = &finding.Framed{Frame: finding.ItemOf(t.veil.frame), Cloth: finding.ItemOf(t.veil.cloth)}
	}
	return out
}
