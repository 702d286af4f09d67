package lighting

import (
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/scene"
)

// explain adds what a gaffer would say of the setup, from its numbers.
func (a *Arrangement) explain(pl *Planner) {
	a.tellKey(pl)
	a.tellContrast(pl)
	a.tellBack(pl)
	a.tellShift(pl)
	for i := range a.Levels.OtherZones {
		z := &a.Levels.OtherZones[i]
		if asked := pl.shot.OtherZones[i].KeyStops; math.Abs(z.KeyStops-asked) > closeStops {
			a.Lacks = append(a.Lacks, "zone")
			a.note(finding.ZoneMissed{Zone: z.Label, KeyStops: z.KeyStops, AskedStops: asked})
		}
	}
	if a.Reaim != nil {
		length := a.Light.Window.To.Sub(a.Light.Window.From).Minutes()
		if *a.Reaim < length/2 {
			a.note(finding.ReAim{EveryMin: math.Max(1, math.Floor(*a.Reaim))})
		} else {
			a.note(finding.AimHolds{})
		}
	}
	if w := a.power(); w > 0 {
		a.note(finding.LampsDraw{PowerW: w})
	}
}

func (a *Arrangement) note(n finding.Note) { a.Notes = append(a.Notes, n) }

func (a *Arrangement) power() (w float64) {
	for _, p := range a.Pieces {
		w += p.PowerW
	}
	return w
}

func (a *Arrangement) tellKey(pl *Planner) {
	got, want := a.Levels.KeyStops, pl.shot.Look.KeyStops
	miss := got - want
	if math.Abs(miss) > closeStops {
		a.Lacks = append(a.Lacks, "key")
	}
	switch {
	case a.Key == nil && math.Abs(miss) <= closeStops:
		a.note(finding.KeyUnlifted{KeyStops: got})
	case a.Key == nil && miss > 0:
		a.note(finding.KeyTooBright{KeyStops: got, AskedStops: want})
	case a.Key == nil:
		a.note(finding.KeyTooDark{KeyStops: got, AskedStops: want, By: a.by.finding()})
	default:
		t := &a.Key.Array
		n := finding.KeyPlaced{By: t.Finding(), DistanceM: t.r, Side: finding.SideOf(a.Key.to.side)}
		n.FlatMirror = t.of.lamp == nil && t.of.specular() && t.of.front.LobeDeg < 1 && t.diffuser == nil
		if loss := a.lossPerM(); loss/2 >= leastLossStops {
			n.LosesStopsPerM = loss
		}
		a.note(n)
		if math.Abs(miss) > closeStops {
			a.note(finding.KeyMissed{KeyStops: got, AskedStops: want, By: a.by.finding()})
		}
	}
}

func (a *Arrangement) tellContrast(pl *Planner) {
	got, want := a.Levels.ContrastStops, pl.shot.Look.ContrastStops
	miss := got - want
	if math.Abs(miss) > closeStops {
		a.Lacks = append(a.Lacks, "contrast")
		a.note(finding.ContrastMissed{ContrastStops: got, AskedStops: want})
	}
	switch {
	case a.Fill == nil && math.Abs(miss) <= closeStops:
		a.note(finding.FillLeft{Side: finding.SideOf(-a.Light.KeySide), ContrastStops: got})
	case a.Fill != nil:
		t := &a.Fill.Array
		a.note(finding.FillPlaced{
			By: t.Finding(), DistanceM: t.r, Side: finding.SideOf(a.Fill.to.side), Darkens: a.Fill.Dims, ContrastStops: got,
		})
	}
}

// tellBack notes where hair and shoulders are not as asked, with everything up.
func (a *Arrangement) tellBack(pl *Planner) {
	want := pl.shot.Look.BackStops
	if want == nil {
		return
	}
	if got := a.Light.Stops(a.Levels.BackLx); math.Abs(got-*want) > closeStops {
		a.Lacks = append(a.Lacks, "back")
		a.note(finding.BackMissed{BackStops: got, AskedStops: *want})
	}
}

// tellShift notes when reflectors have the sun that they work with, where that is not all of the window.
func (a *Arrangement) tellShift(pl *Planner) {
	if a.Light.Driver < 0 || a.Light.Throughout || !slices.ContainsFunc(a.Pieces, func(p *Piece) bool { return p.sunny }) {
		return
	}
	zone := pl.shot.Window.From.Location()
	a.note(finding.SunForPart{From: a.Light.Times[0].In(zone), To: a.Light.Until().In(zone), LowestDeg: scene.LowestSunDeg})
}

// leastLossStops is the least loss by half a metre of distance that is worth telling (common practice, no source).
const leastLossStops = 0.05

// lossPerM is what a metre more of distance costs the key, in stops; 0 where it is not known.
func (a *Arrangement) lossPerM() (stops float64) {
	if len(a.Trim) < trimSteps {
		return 0
	}
	from, to := a.Trim[trimSteps/2], a.Trim[trimSteps/2+1]
	if to.DistanceM-from.DistanceM < 1e-6 {
		return 0
	}
	return (from.KeyStops - to.KeyStops) / (to.DistanceM - from.DistanceM)
}

// finding is what the key or the fill is lit by.
func (m Means) finding() finding.Means {
	if m == ByLamps {
		return finding.ByLamp
	}
	return finding.ByReflector
}

// Finding is the array as one array.
func (t *array) Finding() finding.Array {
	out := finding.Array{Goods: finding.Goods{Item: finding.ItemOf(t.of.item), Quantity: t.n}}
	if t.of.cloth != nil {
		cloth := finding.ItemOf(t.of.cloth)
		out.Cloth = &cloth
	} else if t.of.lamp == nil {
		out.Face = t.of.face
	}
	if t.diffuser != nil {
		out.Behind = &finding.Framed{Frame: finding.ItemOf(t.diffuser.frame), Cloth: finding.ItemOf(t.diffuser.cloth)}
	}
	return out
}
