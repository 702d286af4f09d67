//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"kitspan/internal/finding"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// The words for directions in sentences are held to the geometry of the answer, worked out here from bearings: x is east, y
// north, and a bearing runs clockwise from north.

// toTheRight is how far a point of the ground is to the right of the lens's axis, which passes over the zone's middle.
func toTheRight(bearingDeg, x, y float64) float64 {
	sin, cos := math.Sincos(bearingDeg * math.Pi / 180)
	return x*cos - y*sin
}

// middleOf is the middle of pieces of a role that serve the main zone, on the ground.
func middleOf(o *sizing.Option, roles ...finding.Role) (x, y float64, ok bool) {
	n := 0.0
	for i := range o.Pieces {
		p := &o.Pieces[i]
		if p.Serves != "main" || !slices.Contains(roles, p.Role) {
			continue
		}
		at := p.Corners[:]
		if p.Lamp != nil {
			at = at[:0]
			x, y, n = x+p.Lamp.Position.X, y+p.Lamp.Position.Y, n+1
		}
		for _, c := range at {
			x, y, n = x+c.X/4, y+c.Y/4, n+0.25
		}
	}
	return x / n, y / n, n > 0
}

var onTheSide = regexp.MustCompile(` (from the subject|off) on the (left|right)\b|^The (left|right) side is left as it is`)

// sideIn is the side in a sentence of a note.
func sideIn(t *testing.T, n finding.Note) string {
	t.Helper()
	s := text.Note(text.Metres, n)
	found := onTheSide.FindStringSubmatch(s)
	if found == nil {
		t.Fatalf("no side in %q", s)
	}
	return found[2] + found[3]
}

func TestSidesInSentencesAreWherePiecesStand(t *testing.T) {
	t.Parallel()
	told := map[string]int{}
	for _, bearing := range []float64{82, 172, 258, 300} {
		for _, side := range []string{"left", "right"} {
			d := jetty()
			d.Camera.BearingDeg, d.Look.KeySide, d.Look.AnyBack = &bearing, &side, true
			for _, o := range plan(t, d).Options {
				holds := func(what, got string, right float64) {
					told[what+" "+got]++
					if want := map[bool]string{true: "right", false: "left"}[right > 0]; got != want {
						t.Errorf("lens at %g°, key from the %s, %s: %s on the %s, and stands %.1f m to the right", bearing, side, o.Label, what, got, right)
					}
				}
				if n, ok := noted[finding.KeyPlaced](o); ok {
					if x, y, up := middleOf(&o, finding.RoleReflector); up {
						holds("key", sideIn(t, n), toTheRight(bearing, x, y))
					}
				}
				if n, ok := noted[finding.FillPlaced](o); ok {
					if x, y, up := middleOf(&o, finding.RoleFill, finding.RoleBlack); up {
						holds("fill", sideIn(t, n), toTheRight(bearing, x, y))
					}
				}
				if n, ok := noted[finding.FillLeft](o); ok && sideIn(t, n) == side {
					t.Errorf("lens at %g°: the key comes from the %s, and the %s side is left as it is", bearing, side, side)
				}
			}
		}
	}
	for _, what := range []string{"key left", "key right", "fill left", "fill right"} {
		if told[what] == 0 {
			t.Errorf("no %s: %v", what, told)
		}
	}
}

var (
	turnLens  = regexp.MustCompile(`turn the lens (\d+)° to the (left|right)`)
	waitUntil = regexp.MustCompile(`wait until (\d\d:\d\d), when`)
)

// turned is the bearing after the turn that a sentence tells: to the right is clockwise.
func turned(t *testing.T, bearingDeg float64, sentence string) (told, other float64) {
	t.Helper()
	found := turnLens.FindStringSubmatch(sentence)
	if found == nil {
		t.Fatalf("no turn in %q", sentence)
	}
	deg, err := strconv.ParseFloat(found[1], 64)
	if err != nil {
		t.Fatal(err)
	}
	if found[2] == "left" {
		deg = -deg
	}
	return math.Mod(bearingDeg+deg+360, 360), math.Mod(bearingDeg-deg+360, 360)
}

func sunSeen(t *testing.T, d shot.Draft) bool {
	t.Helper()
	return slices.ContainsFunc(plan(t, d).Sources[0].Track, func(p scene.TrackPoint) bool { return p.InView })
}

// The sun stands at about 299° then, at a lens that looks to its left and one that looks to its right.
func TestTheTurnOfTheLensTakesTheSunOut(t *testing.T) {
	t.Parallel()
	sides := map[string]bool{}
	for _, bearing := range []float64{289, 309} {
		d := jetty()
		d.Window.Start, d.Window.End = some("20:30"), some("20:45")
		d.Framing.WidthM, d.Camera.BearingDeg = some(5.0), some(bearing)
		n, ok := noted[finding.SunInView](then(plan(t, d)))
		if !ok {
			t.Fatalf("lens at %g°: the sun is not in the picture", bearing)
		}
		s := text.Note(text.Metres, n)
		told, other := turned(t, bearing, s)
		if d.Camera.BearingDeg = &told; sunSeen(t, d) {
			t.Errorf("lens at %g°: %s At %g° it still is", bearing, s, told)
		}
		if d.Camera.BearingDeg = &other; !sunSeen(t, d) {
			t.Errorf("lens at %g°: %s The other way, at %g°, it is out as well: nothing is told apart", bearing, s, other)
		}
		sides[turnLens.FindStringSubmatch(s)[2]] = true
	}
	if len(sides) != 2 {
		t.Errorf("turns to one side alone: %v", sides)
	}
}

func TestTheSunIsOutFromTheMinuteToldAndNotBefore(t *testing.T) {
	t.Parallel()
	d := jetty()
	d.Window.Start, d.Window.End = some("20:15"), some("20:30") // near the right edge of the picture, which it leaves before it sets
	d.Camera.BearingDeg, d.Framing.WidthM = some(271.0), some(5.0)
	n, ok := noted[finding.SunInView](then(plan(t, d)))
	if !ok || n.Until == nil {
		t.Fatalf("the sun does not leave the picture: %+v", n)
	}
	s := text.Note(text.Metres, n)
	found := waitUntil.FindStringSubmatch(s)
	if found == nil {
		t.Fatalf("no time in %q", s)
	}
	at, err := time.Parse("15:04", found[1])
	if err != nil {
		t.Fatal(err)
	}
	from := func(at time.Time) shot.Draft {
		d.Window.Start, d.Window.End = some(at.Format("15:04")), some(at.Add(15*time.Minute).Format("15:04"))
		return d
	}
	if sunSeen(t, from(at)) {
		t.Errorf("%s Then it is still there", s)
	}
	if !sunSeen(t, from(at.Add(-time.Minute))) {
		t.Errorf("%s A minute earlier it is gone already", s)
	}
}

// Straight behind the subject is where the lens looks.
func TestTheTurnToTheSunBehindIsTowardIt(t *testing.T) {
	t.Parallel()
	sides := map[string]bool{}
	for _, bearing := range []float64{82, 140} {
		d := jetty()
		d.Camera.BearingDeg = some(bearing)
		res := plan(t, d)
		n, ok := noted[finding.SunInFront](res.Options[0])
		if !ok {
			t.Fatalf("lens at %g°: the sun is not in front", bearing)
		}
		s := text.Note(text.Metres, n)
		told, _ := turned(t, bearing, s)
		track := res.Sources[0].Track
		sun := track[len(track)/2].AzimuthDeg
		if off := math.Abs(math.Remainder(told-sun, 360)); off > 0.6 {
			t.Errorf("lens at %g°: %s That is %g°, the sun stands at %.1f°", bearing, s, told, sun)
		}
		sides[turnLens.FindStringSubmatch(s)[2]] = true
	}
	if len(sides) != 2 {
		t.Errorf("turns to one side alone: %v", sides)
	}
}

// What an answer says of a frame that covers nearly is a corner of the zone and an instant of the window, or a lamp.
func TestMissesNameWhatIsThere(t *testing.T) {
	t.Parallel()
	d := jetty()
	res := plan(t, d)
	seen := 0
	for i := range res.RuledOut {
		r := &res.RuledOut[i]
		m, ok := r.Obstacle.(finding.Misses)
		if !ok {
			continue
		}
		seen++
		if m.At.Before(res.Shot.Window.From) || m.At.After(res.Shot.Window.To) || !strings.Contains(text.RuledOut(text.Metres, r), " at "+m.At.In(res.Shot.Window.From.Location()).Format("15:04")+", ") {
			t.Errorf("%s, window %s to %s", text.RuledOut(text.Metres, r), res.Shot.Window.Start, res.Shot.Window.End)
		}
	}
	if seen == 0 {
		t.Error("no frame misses")
	}
}
