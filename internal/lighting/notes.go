package lighting

import (
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// explain adds a gaffer's remarks on the setup, from its numbers.
func (a *Arrangement) explain(pl *Planner) {
	a.noteKey(pl)
	a.noteContrast(pl)
	a.noteBack(pl)
	a.noteSunHours(pl)
	for i := range a.Levels.OtherZones {
		z := &a.Levels.OtherZones[i]
		if asked := pl.shot.OtherZones[i].KeyStops; math.Abs(z.KeyStops-asked) > closeStops {
			a.lacks(finding.Zone, z.Label, z.KeyStops-asked)
			a.note(finding.ZoneMissed{Zone: z.Label, KeyStops: z.KeyStops, AskedStops: asked})
		}
	}
	a.noteColour(pl)
	if a.ReaimMin != nil {
		length := a.Light.Window.To.Sub(a.Light.Window.From).Minutes()
		if *a.ReaimMin < length/2 {
			a.note(finding.ReAim{EveryMin: math.Max(1, math.Floor(*a.ReaimMin))})
		} else {
			a.note(finding.AimHolds{})
		}
	}
	if w := a.power(); w > 0 {
		a.note(finding.LampsDraw{PowerW: w})
	}
}

func (a *Arrangement) note(n finding.Note) { a.Notes = append(a.Notes, n) }

// lacks files a level that misses what the look asks by so many stops.
func (a *Arrangement) lacks(what finding.Aspect, zone string, byStops float64) {
	a.Lacks = append(a.Lacks, finding.Shortfall{What: what, Zone: zone, ByStops: &byStops})
}

func (a *Arrangement) power() (w float64) {
	for _, p := range a.Pieces {
		w += p.PowerW
	}
	return w
}

func (a *Arrangement) noteKey(pl *Planner) {
	got, want := a.Levels.KeyStops, pl.shot.Look.KeyStops
	miss := got - want
	if math.Abs(miss) > closeStops {
		a.lacks(finding.Key, "", miss)
	}
	switch {
	case a.key == nil && math.Abs(miss) <= closeStops:
		a.note(finding.KeyUnlifted{KeyStops: got})
	case a.key == nil && miss > 0:
		a.note(finding.KeyTooBright{KeyStops: got, AskedStops: want})
	case a.key == nil:
		a.note(finding.KeyTooDark{KeyStops: got, AskedStops: want, By: a.by.finding()})
	default:
		t := &a.key.array
		n := finding.KeyPlaced{By: t.finding(), DistanceM: t.r, Side: finding.SideOf(a.key.to.side)}
		n.FlatMirror = t.of.lamp == nil && t.of.specular() && t.of.front.LobeDeg < 1 && t.diffuser == nil
		if loss := a.lossPerM(); loss/2 >= leastLossStops {
			n.LosesStopsPerM = loss
		}
		a.note(n)
		if pl.shot.Look.Soften != shot.SoftenOff && pl.shot.Look.SoftDeg >= closeUpDeg && t.of.specular() && t.diffuser == nil {
			a.note(finding.KeyBare{Face: t.of.face})
		}
		if soft := pl.shot.Look.SoftDeg; pl.shot.Look.Soften != shot.SoftenOff && a.Levels.KeySoftnessDeg < soft-softRoundDeg {
			a.note(finding.KeyHard{KeySoftnessDeg: a.Levels.KeySoftnessDeg, AskedDeg: soft})
		}
		if math.Abs(miss) > closeStops {
			a.note(finding.KeyMissed{KeyStops: got, AskedStops: want, By: a.by.finding()})
		}
	}
}

func (a *Arrangement) noteContrast(pl *Planner) {
	got, want := a.Levels.ContrastStops, pl.shot.Look.ContrastStops
	miss := got - want
	if math.Abs(miss) > closeStops {
		a.lacks(finding.Contrast, "", miss)
		a.note(finding.ContrastMissed{ContrastStops: got, AskedStops: want})
	}
	switch {
	case a.fill == nil && math.Abs(miss) <= closeStops:
		a.note(finding.FillLeft{Side: finding.SideOf(-a.Light.KeySide), ContrastStops: got})
	case a.fill != nil:
		t := &a.fill.array
		a.note(finding.FillPlaced{
			By: t.finding(), DistanceM: t.r, Side: finding.SideOf(a.fill.to.side), Darkens: a.fill.dims, ContrastStops: got,
		})
	}
}

// noteBack notes where hair and shoulders are not as asked, with everything up.
func (a *Arrangement) noteBack(pl *Planner) {
	want := pl.shot.Look.BackStops
	if want == nil || pl.shot.Look.Back != shot.BackRequired {
		return
	}
	if got := a.Light.Stops(a.Levels.BackLx); math.Abs(got-*want) > closeStops {
		a.lacks(finding.Back, "", got-*want)
		a.note(finding.BackMissed{BackStops: got, AskedStops: *want})
	}
}

// noteSunHours notes when reflectors have the sun that they work with, where that is not all of the window.
func (a *Arrangement) noteSunHours(pl *Planner) {
	if a.Light.Driver < 0 || a.Light.Throughout || !slices.ContainsFunc(a.Pieces, func(p *Piece) bool { return p.sunny }) {
		return
	}
	zone := pl.shot.Window.From.Location()
	a.note(finding.SunForPart{From: a.Light.Times[0].In(zone), To: a.Light.Until().In(zone), LowestDeg: scene.LowestSunDeg})
}

// softRoundDeg is how far under what is asked the key may look, in degrees, before that is noted: it is set with its own light alone.
const softRoundDeg = 0.1

// leastLossStops is the least loss by half a metre of distance that is worth reporting (common practice, no source).
const leastLossStops = 0.05

// lossPerM returns what a metre more of distance costs the key, in stops; 0 where it is not known.
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

// finding returns what the key or the fill is lit by, as notes report it.
func (m Means) finding() finding.Means {
	if m == ByLamps {
		return finding.ByLamp
	}
	return finding.ByReflector
}

// finding returns the array as notes and summaries report it.
func (t *array) finding() finding.Array {
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
