package oracle

import (
	"math"
	"math/rand/v2"
	"time"

	"github.com/bojanz/currency"
)

// anywhere leaves the order that the kinds of shot keep, in one shot of six each: the lens looks wherever it likes, with the
// sun on any side, the zone takes most of the picture and not all of it, and the sun sets or rises within the window. By
// numbers of its own, so that the other shots stay.
func (g *maker) anywhere(seed uint64) {
	g.rng = rand.New(rand.NewPCG(seed, 0xa11))
	if g.one(6) {
		g.d.Camera.BearingDeg = ptr([]float64{0, 90, math.Round(g.in(0, 360)), g.in(0, 360)}[g.rng.IntN(4)])
	}
	if g.one(6) && g.d.Zone.WidthM == nil {
		g.d.Zone.WidthM = ptr(*g.d.Framing.WidthM * g.in(0.7, 1))
	}
	if g.one(6) && g.d.Site.Roofed == nil {
		g.acrossTheHorizon()
	}
}

// acrossTheHorizon moves the window, its date and length kept, so that the sun crosses the horizon within it; not where it
// does not that day, or the window would run into another day.
func (g *maker) acrossTheHorizon() {
	d := &g.d
	loc, err := time.LoadLocation(*d.Site.TimeZone)
	if err != nil {
		panic(err)
	}
	start, err := time.ParseInLocation("2006-01-02 15:04", *d.Window.Date+" "+*d.Window.Start, loc)
	if err != nil {
		panic(err)
	}
	at := place{lat: *d.Site.LatitudeDeg, lon: *d.Site.LongitudeDeg}
	length := time.Duration(g.minutes) * time.Minute
	_, was := roughSun(start, at)
	for step, share := time.Minute, g.rng.Float64(); step < 24*time.Hour; step += time.Minute {
		_, now := roughSun(start.Add(step), at)
		if (now > 0) == (was > 0) {
			continue
		}
		from := start.Add(step - time.Duration(share*float64(length)))
		to := from.Add(length)
		if from.Day() == start.Day() && to.Day() == start.Day() && to.After(from) {
			d.Window.Start, d.Window.End = ptr(from.Format("15:04")), ptr(to.Format("15:04"))
		}
		return
	}
}

// limited bounds what an option may take, in one shot of six, by numbers of its own.
func (g *maker) limited(seed uint64) {
	g.rng = rand.New(rand.NewPCG(seed, 0x1177))
	if !g.one(6) {
		return
	}
	l := &g.d.Limits
	switch g.rng.IntN(4) {
	case 0:
		l.Crew = ptr(2 + g.rng.IntN(10))
	case 1:
		l.RigHeightM = ptr(g.in(2, 6))
	case 2:
		l.MassKg = ptr(g.in(100, 1500))
	default:
		amount, err := currency.NewAmountFromInt64(int64(10000+g.rng.IntN(80000)), "EUR")
		if err != nil {
			panic(err)
		}
		l.PricePerDay = &amount
	}
}
