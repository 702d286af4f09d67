package oracle

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"kitspan/internal/shot"
)

// Shoot is a random shot with the seed that makes it again.
type Shoot struct {
	Kind  string
	Seed  uint64
	Draft shot.Draft
}

func (s Shoot) String() string { return fmt.Sprintf("%s (seed %d)", s.Kind, s.Seed) }

// Kinds of shot, each with a maker. Sunlit ones differ in where the sun stands to the lens and in the size of the picture.
var makers = []struct {
	kind string
	make func(g *maker)
}{
	{"table-top", func(g *maker) { g.sunlit(20, 70, 0, 60); g.picture(0.3, 0.8); g.table() }},
	{"close", func(g *maker) { g.sunlit(15, 65, 0, 50); g.picture(0.8, 2) }},
	{"medium", func(g *maker) { g.sunlit(15, 65, 0, 50); g.picture(2, 5) }},
	{"wide", func(g *maker) { g.sunlit(30, 75, 0, 60); g.picture(4.5, 9); g.lookDown() }},
	{"very wide", func(g *maker) { g.sunlit(20, 70, 0, 60); g.picture(12, 25); g.partOfWide() }},
	{"sun low behind", func(g *maker) { g.sunlit(5, 20, 0, 40); g.picture(1, 4) }},
	{"sun high", func(g *maker) { g.sunlit(60, 85, 0, 180); g.picture(1, 5) }},
	{"sun in front", func(g *maker) { g.sunlit(15, 60, 130, 180); g.picture(1, 5) }},
	{"sun far off axis", func(g *maker) { g.sunlit(15, 60, 70, 115); g.picture(1, 5) }},
	{"south", func(g *maker) { g.south = true; g.sunlit(15, 70, 0, 70); g.picture(1, 6) }},
	{"polar day", func(g *maker) { g.polar = true; g.sunlit(8, 34, 0, 60); g.picture(1, 5) }},
	{"hall, parallel lamps", func(g *maker) { g.hall(false); g.picture(1, 5) }},
	{"hall, lamps near by", func(g *maker) { g.hall(true); g.picture(1, 5) }},
	{"sun and a lamp", func(g *maker) { g.sunlit(10, 40, 0, 60); g.picture(1, 4); g.strongLamp() }},
	{"portrait", func(g *maker) {
		g.sunlit(20, 65, 0, 60)
		g.picture(0.8, 3)
		g.d.Framing.AspectRatio = ptr(g.in(0.5, 0.8))
	}},
	{"tilted lens", func(g *maker) { g.sunlit(20, 65, 0, 60); g.picture(1, 5); g.tilt() }},
	{"narrow zone", func(g *maker) { g.sunlit(20, 65, 0, 60); g.picture(3, 12); g.narrow() }},
	{"one minute", func(g *maker) { g.minutes = 1; g.sunlit(15, 65, 0, 60); g.picture(1, 5) }},
	{"four hours", func(g *maker) { g.minutes = 240; g.sunlit(25, 65, 0, 60); g.picture(1, 4) }},
	{"hazy", func(g *maker) { g.sunlit(15, 65, 0, 60); g.picture(1, 5); g.d.Sky.Condition = ptr("partly_cloudy") }},
	{"read by a meter", func(g *maker) { g.sunlit(15, 65, 0, 60); g.picture(1, 4); g.readings() }},
	{"overcast", func(g *maker) { g.sunlit(15, 65, 0, 180); g.picture(1, 5); g.overcast() }},
	{"people behind", func(g *maker) { g.sunlit(15, 65, 0, 60); g.picture(2, 5); g.behind = true }},
	{"dark hall", func(g *maker) { g.dark(); g.picture(1, 4) }},
}

// firstYear is when the demo catalogue's rates hold: a shot before has no prices and so no answer.
const firstYear = 2027

// Scenes makes n shots of all kinds in turn, the i-th from the seed first+i.
func Scenes(first uint64, n int) []Shoot {
	list := make([]Shoot, n)
	for i := range list {
		list[i] = SceneOf(first + uint64(i))
	}
	return list
}

// Kinds lists the kinds of shot; the seed's remainder by their number chooses.
func Kinds() []string {
	var list []string
	for _, m := range makers {
		list = append(list, m.kind)
	}
	return list
}

// Hard reports whether shots of a kind have hard light as a rule.
func Hard(kind string) bool { return kind != "overcast" && kind != "dark hall" }

// SceneOf makes the shot of one seed.
func SceneOf(seed uint64) Shoot {
	m := makers[seed%uint64(len(makers))]
	g := &maker{rng: rand.New(rand.NewPCG(seed, 0x5eed))}
	m.make(g)
	g.finish()
	g.anywhere(seed)
	g.looked(seed)
	g.windy(seed)
	g.faced(seed)
	g.limited(seed)
	g.d.Name = m.kind
	return Shoot{Kind: m.kind, Seed: seed, Draft: g.d}
}

type maker struct {
	rng          *rand.Rand
	d            shot.Draft
	south, polar bool
	minutes      int
	behind       bool // further zones
}

func ptr[T any](v T) *T { return &v }

// in is a random number of a range, to 1/1000, so that a failing draft is short to write down.
func (g *maker) in(lo, hi float64) float64 {
	return math.Round((lo+(hi-lo)*g.rng.Float64())*1000) / 1000
}

type place struct {
	lat, lon float64
	zone     string
}

var (
	northern = []place{{38.7, -9.2, "Europe/Lisbon"}, {51.5, -0.1, "Europe/London"}, {1.3, 103.8, "Asia/Singapore"}, {34.05, -118.25, "America/Los_Angeles"}, {60.2, 24.9, "Europe/Helsinki"}}
	southern = []place{{-36.85, 174.75, "Pacific/Auckland"}, {-15.8, -47.9, "America/Sao_Paulo"}, {-33.9, 18.4, "Africa/Johannesburg"}}
	arctic   = []place{{78.2, 15.6, "Arctic/Longyearbyen"}, {69.65, 18.95, "Europe/Oslo"}}
)

// roughSun is the sun's azimuth and elevation to about a degree, enough to put a lens: declination by a cosine of the
// day, the hour angle from mean solar time.
func roughSun(at time.Time, p place) (azimuthDeg, elevationDeg float64) {
	const deg = math.Pi / 180
	utc := at.UTC()
	decl := -23.44 * deg * math.Cos(2*math.Pi/365.25*(float64(utc.YearDay())+10))
	hour := float64(utc.Hour()) + float64(utc.Minute())/60
	h := (15*(hour-12) + p.lon) * deg
	lat := p.lat * deg
	sinE := math.Sin(lat)*math.Sin(decl) + math.Cos(lat)*math.Cos(decl)*math.Cos(h)
	az := math.Atan2(-math.Cos(decl)*math.Sin(h), math.Cos(lat)*math.Sin(decl)-math.Sin(lat)*math.Cos(decl)*math.Cos(h))
	return math.Mod(az/deg+360, 360), math.Asin(sinE) / deg
}

// sunlit puts the shot under a sun between two elevations over the whole window, and turns the lens so that the sun in mid-window
// is between two angles off the lens's bearing: 0 is right behind the subject.
func (g *maker) sunlit(loDeg, hiDeg, offLoDeg, offHiDeg float64) {
	if g.minutes == 0 {
		g.minutes = []int{10, 30, 60, 60, 90, 120}[g.rng.IntN(6)]
	}
	places, firstMonth, months := northern, 1, 12
	if g.south {
		places = southern
	}
	if g.polar {
		places, firstMonth, months = arctic, 6, 1
	}
	for {
		p := places[g.rng.IntN(len(places))]
		loc, err := time.LoadLocation(p.zone)
		if err != nil {
			panic(err)
		}
		date := time.Date(firstYear+g.rng.IntN(4), time.Month(firstMonth+g.rng.IntN(months)), 1+g.rng.IntN(28), 0, 0, 0, 0, time.UTC)
		start := time.Date(date.Year(), date.Month(), date.Day(), 4+g.rng.IntN(16), g.rng.IntN(60), 0, 0, loc)
		end := start.Add(time.Duration(g.minutes) * time.Minute)
		if end.Day() != start.Day() || end.Hour() < start.Hour() {
			continue
		}
		up := true
		for k := range 9 {
			_, e := roughSun(start.Add(time.Duration(k*g.minutes)*time.Minute/8), p)
			up = up && e >= loDeg && e <= hiDeg
		}
		if !up {
			continue
		}
		az, _ := roughSun(start.Add(time.Duration(g.minutes)*time.Minute/2), p)
		off := g.in(offLoDeg, offHiDeg)
		if g.rng.IntN(2) == 0 {
			off = -off
		}
		g.at(p)
		g.d.Window = shot.DraftWindow{Date: ptr(date.Format(time.DateOnly)), Start: ptr(start.Format("15:04")), End: ptr(end.Format("15:04"))}
		g.d.Camera.BearingDeg = ptr(math.Round(math.Mod(az+off+360, 360)*100) / 100)
		return
	}
}

func (g *maker) at(p place) {
	g.d.Site = shot.DraftSite{LatitudeDeg: ptr(p.lat), LongitudeDeg: ptr(p.lon), TimeZone: ptr(p.zone), ElevationM: ptr(g.in(0, 300))}
}

// picture sets the width of the shot and how far the subject stands, as lenses from wide to long would have it.
func (g *maker) picture(lo, hi float64) {
	w := g.in(lo, hi)
	g.d.Framing.WidthM = ptr(w)
	g.d.Framing.DistanceM = ptr(math.Round(w*g.in(1.1, 3.2)*1000) / 1000)
	g.d.Framing.AspectRatio = ptr([]float64{1.7778, 1.7778, 2.39, 1.3333}[g.rng.IntN(4)])
	g.d.Camera.HeightM = ptr(g.in(1, 1.7))
	g.d.Zone.DepthM = ptr(g.in(0.4, 1.5))
}

// table narrows the shot to things on a table.
func (g *maker) table() {
	g.d.Camera.HeightM = ptr(g.in(0.95, 1.2))
	g.d.Zone.DepthM = ptr(g.in(0.2, 0.5))
}

// tilt aims the lens up or down at the subject from a low or a high place.
func (g *maker) tilt() {
	g.d.Camera.HeightM = ptr(g.in(0.3, 3))
	g.d.Camera.AimHeightM = ptr(g.in(0.8, 1.6))
}

// narrow lights less than what is seen.
func (g *maker) narrow() {
	g.d.Zone.WidthM = ptr(math.Round(*g.d.Framing.WidthM*g.in(0.2, 0.7)*1000) / 1000)
	g.d.Zone.BaseM = ptr(g.in(0, 0.8))
	g.d.Zone.TopM = ptr(g.in(1.5, 2))
}

// lookDown puts a scope lens high and aims it low, so that a wide picture keeps its top near people's heads.
func (g *maker) lookDown() {
	g.d.Framing.AspectRatio = ptr(2.39)
	g.d.Camera.HeightM = ptr(g.in(1.6, 3))
	g.d.Camera.AimHeightM = ptr(g.in(0, 1))
}

// partOfWide lights only the people in a picture that no frame could span, in two shots of three.
func (g *maker) partOfWide() {
	if g.rng.IntN(3) > 0 {
		g.d.Zone.WidthM = ptr(g.in(1.5, 6))
	}
}

// hall is a roofed place with one to four lamps of its own, as far off as stand lights or near by under the roof.
func (g *maker) hall(near bool) {
	g.at(northern[0])
	g.d.Site.Roofed = ptr(true)
	g.d.Window = shot.DraftWindow{Date: ptr("2027-11-05"), Start: ptr("19:00"), End: ptr("20:00")}
	bearing := g.in(0, 360)
	g.d.Camera.BearingDeg = ptr(bearing)
	n := 1 + g.rng.IntN(4)
	first := g.in(-70, 70)
	for i := range n {
		l := shot.DraftLamp{Label: ptr(fmt.Sprintf("lamp %d", i+1)), AngularRadiusDeg: ptr(g.in(0, 1))}
		// Lamps of one bank stand within 25° of each other, so that one frame may stop them; others anywhere.
		off := first + g.in(-12, 12)
		if g.rng.IntN(3) == 0 {
			off = g.in(-180, 180)
		}
		elevation := g.in(25, 65)
		if near {
			far := g.in(9, 25)
			p := toward(bearing+off, elevation).times(far)
			l.PositionM = []float64{math.Round(p.x*1000) / 1000, math.Round(p.y*1000) / 1000, math.Round((p.z+1)*1000) / 1000}
			l.IntensityCd = ptr(math.Round(g.in(500, 2500) * far * far))
		} else {
			l.AzimuthDeg = ptr(math.Round(math.Mod(bearing+off+720, 360)*1000) / 1000)
			l.ElevationDeg = ptr(elevation)
			l.IlluminanceLx = ptr(g.in(500, 2500))
		}
		g.d.Lamps = append(g.d.Lamps, l)
	}
}

// strongLamp adds a lamp that is plainly strong enough to count, or plainly not, beside the sun.
func (g *maker) strongLamp() {
	lx := g.in(30000, 60000)
	if g.rng.IntN(3) == 0 {
		lx = g.in(500, 3000)
	}
	g.d.Lamps = append(g.d.Lamps, shot.DraftLamp{
		Label:      ptr("flood"),
		AzimuthDeg: ptr(math.Round(math.Mod(*g.d.Camera.BearingDeg+g.in(-60, 60)+360, 360)*1000) / 1000), ElevationDeg: ptr(g.in(25, 60)),
		IlluminanceLx: ptr(lx), AngularRadiusDeg: ptr(g.in(0, 0.5)),
	})
}

// finish varies what any shot may say.
func (g *maker) finish() {
	if g.rng.IntN(3) == 0 {
		g.d.Allowance.CoverM = ptr(g.in(0.05, 0.3))
	}
	if g.rng.IntN(3) == 0 {
		g.d.Allowance.ViewM = ptr(g.in(0.02, 0.3))
	}
	if g.rng.IntN(6) == 0 {
		g.d.Allowance.HeadM = ptr(g.in(2.1, 2.6))
	}
	if g.rng.IntN(4) == 0 {
		g.d.SafetyFactor = ptr(g.in(1.2, 2.2))
	}
}
