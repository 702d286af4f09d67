package oracle

import (
	"math"
	"math/rand/v2"
	"time"

	"kitspan/internal/shot"
)

// Spelled returns a draft that says what its shot resolved to, so that one number can be changed without moving a default
// that hangs on it.
func Spelled(d shot.Draft, asked shot.Shot) shot.Draft {
	d.Camera.HeightM, d.Camera.AimHeightM = ptr(asked.Camera.HeightM), ptr(asked.Camera.AimHeightM)
	d.Zone = shot.DraftZone{
		WidthM: ptr(asked.Zone.WidthM), DepthM: ptr(asked.Zone.DepthM), BaseM: ptr(asked.Zone.BaseM), TopM: ptr(asked.Zone.TopM),
	}
	d.Allowance = shot.DraftAllowance{
		CoverM: ptr(asked.Allowance.CoverM), ViewM: ptr(asked.Allowance.ViewM), HeadM: ptr(asked.Allowance.HeadM),
	}
	return d
}

// Demand asks for more of one thing, by a random amount; false where the shot leaves no room to.
type Demand struct {
	Name string
	More func(d *shot.Draft, asked shot.Shot, rng *rand.Rand) bool
}

// Demands are the ways to ask for more. None of them may be answered with a smaller overhead, because every placement that does for
// the greater demand does for the lesser.
var Demands = []Demand{
	{"wider zone", func(d *shot.Draft, _ shot.Shot, rng *rand.Rand) bool {
		*d.Zone.WidthM *= 1.02 + 0.6*rng.Float64()
		return true
	}},
	{"deeper zone", func(d *shot.Draft, asked shot.Shot, rng *rand.Rand) bool {
		*d.Zone.DepthM *= 1.05 + rng.Float64()
		return *d.Zone.DepthM < asked.Framing.DistanceM
	}},
	{"higher zone", func(d *shot.Draft, asked shot.Shot, rng *rand.Rand) bool {
		*d.Zone.TopM += 0.4 * rng.Float64()
		return !near(asked)
	}},
	{"lower base", func(d *shot.Draft, asked shot.Shot, rng *rand.Rand) bool {
		*d.Zone.BaseM *= rng.Float64()
		return asked.Zone.BaseM > 0 && !near(asked)
	}},
	{"longer window", func(d *shot.Draft, asked shot.Shot, rng *rand.Rand) bool {
		end := asked.Window.To.Add(time.Duration(5+rng.IntN(60)) * time.Minute)
		d.Window.End = ptr(end.Format("15:04"))
		return end.Day() == asked.Window.From.Day() && len(asked.Lamps) == 0
	}},
	{"more cover", func(d *shot.Draft, _ shot.Shot, rng *rand.Rand) bool {
		*d.Allowance.CoverM += 0.3 * rng.Float64()
		return true
	}},
	{"more clearance", func(d *shot.Draft, _ shot.Shot, rng *rand.Rand) bool {
		*d.Allowance.ViewM += 0.3 * rng.Float64()
		return true
	}},
	{"more head room", func(d *shot.Draft, _ shot.Shot, rng *rand.Rand) bool {
		*d.Allowance.HeadM += 0.4 * rng.Float64()
		return true
	}},
}

// near reports whether the shot has a lamp near by, whose illuminance hangs on where the zone's middle is.
func near(asked shot.Shot) bool {
	for _, l := range asked.Lamps {
		if l.Position != nil {
			return true
		}
	}
	return false
}

// AlwaysCounts reports whether every source of a shot plainly counts at every instant, or plainly never: then asking for
// more does not change what has to be softened.
func AlwaysCounts(asked shot.Shot) bool {
	s := NewScene(asked, asked.Window.From, asked.Window.To)
	for _, src := range s.Sources {
		for _, m := range src.Moments {
			if share := m.Lx / s.Strongest; src.Doubtful || src.Softened && share < 2*countsShare {
				return false
			}
		}
	}
	return true
}

// UnderLamp turns a shot into one under a roof where a far lamp stands for the sun of mid-window, so that nothing but
// the lens, the lamps and the key side has a direction.
func UnderLamp(d shot.Draft, asked shot.Shot) shot.Draft {
	d = Spelled(d, asked)
	d.Look.KeySide = ptr(asked.Look.KeySide)
	if !asked.Site.Roofed {
		s := NewScene(asked, asked.Window.From, asked.Window.To)
		if src := s.source(SunLabel); src != nil {
			m := src.Moments[len(src.Moments)/2].Toward
			d.Lamps = append(append([]shot.DraftLamp{}, d.Lamps...), shot.DraftLamp{
				Label:        ptr("stand-in"),
				AzimuthDeg:   ptr(math.Mod(math.Atan2(m.x, m.y)*180/math.Pi+360, 360)),
				ElevationDeg: ptr(math.Asin(m.z) * 180 / math.Pi), IlluminanceLx: ptr(90000.0), AngularRadiusDeg: ptr(0.2666),
			})
		}
		d.Site.Roofed = ptr(true)
	}
	return d
}

// Turned returns a draft under a roof with lens and lamps turned clockwise by an angle.
func Turned(d shot.Draft, deg float64) shot.Draft {
	return redirected(d, func(azimuth float64) float64 { return azimuth + deg })
}

// Mirrored returns a draft under a roof, its key side said, with left and right of the lens exchanged.
func Mirrored(d shot.Draft) shot.Draft {
	bearing := *d.Camera.BearingDeg
	if side := *d.Look.KeySide; side == shot.SideLeft {
		d.Look.KeySide = ptr(shot.SideRight)
	} else {
		d.Look.KeySide = ptr(shot.SideLeft)
	}
	return redirected(d, func(azimuth float64) float64 { return 2*bearing - azimuth })
}

func redirected(d shot.Draft, to func(azimuthDeg float64) float64) shot.Draft {
	wrap := func(deg float64) *float64 { return ptr(math.Mod(math.Mod(deg, 360)+360, 360)) }
	lamps := append([]shot.DraftLamp{}, d.Lamps...)
	for i := range lamps {
		l := &lamps[i]
		if l.AzimuthDeg != nil {
			l.AzimuthDeg = wrap(to(*l.AzimuthDeg))
		}
		if p := l.PositionM; p != nil {
			azimuth := math.Atan2(p[0], p[1]) * 180 / math.Pi
			r := math.Hypot(p[0], p[1])
			a := to(azimuth) * math.Pi / 180
			l.PositionM = []float64{r * math.Sin(a), r * math.Cos(a), p[2]}
		}
	}
	d.Lamps = lamps
	zones := append([]shot.DraftOtherZone{}, d.OtherZones...)
	for i := range zones {
		p := zones[i].CenterM
		r, a := math.Hypot(p[0], p[1]), to(math.Atan2(p[0], p[1])*180/math.Pi)*math.Pi/180
		zones[i].CenterM = []float64{r * math.Sin(a), r * math.Cos(a)}
	}
	d.OtherZones = zones
	d.Camera.BearingDeg = wrap(to(*d.Camera.BearingDeg))
	return d
}
