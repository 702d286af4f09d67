package text_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"kitspan/internal/lighting"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/price"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// sheetAt is the corners of an upright square sheet of side 1 m about a middle, turned to look along an azimuth
// (degrees, 0 is north) and tilted up.
func sheetAt(mid geom.Vec, azimuthDeg, upDeg float64) (c [4]geom.Vec) {
	n := geom.Toward(azimuthDeg, upDeg)
	u := geom.Toward(azimuthDeg-90, 0) // to the left of who looks along n: u × v = n
	v := n.Cross(u)
	for i, k := range [4][2]float64{{-0.5, -0.5}, {0.5, -0.5}, {0.5, 0.5}, {-0.5, 0.5}} {
		c[i] = mid.Add(u.Scale(k[0])).Add(v.Scale(k[1]))
	}
	return c
}

func on(sku string, at geom.Vec) []sizing.Support {
	return []sizing.Support{{SKU: sku, Base: geom.Vec{X: at.X, Y: at.Y}, HeightM: at.Z, FootprintM: 0.45}}
}

// rigged is a plan made by hand: the lens looks north, the sun stands 62° high in the north.
func rigged(pieces ...sizing.Piece) sizing.Result {
	euro, _ := currency.NewAmount("40.00", "EUR")
	at := time.Date(2027, 6, 18, 17, 0, 0, 0, time.UTC)
	background := scene.BackgroundLevel{ReferenceLx: 80000, EV100: 15, NDStops: 9.04, NDDensity: 2.72}
	return sizing.Result{
		Shot: shot.Shot{
			Zone:       shot.Zone{WidthM: 2, DepthM: 1, BaseM: 0.4, TopM: 2},
			OtherZones: []shot.OtherZone{{Label: "bystanders", CenterY: 10, TopM: 1.8}},
			Exposure:   shot.Exposure{ISO: 800, FrameRateFPS: 25, ShutterAngleDeg: 172.8, TStop: 2.8},
		},
		Sources:    []scene.SourceTrack{{Label: "sun", Softened: true, Track: []scene.TrackPoint{{At: at, ElevationDeg: 62, IlluminanceLx: 90000}}}},
		Background: background,
		Options: []sizing.Option{{
			Label: sizing.LabelReflectors, Workable: true, State: finding.DoesIt, Pieces: pieces, Background: background,
			Kit: price.Kit{PerDay: euro, Lines: []price.KitLine{{SKU: "SILVER", Name: "Silver board", DayRate: euro, LinePerDay: euro}}},
			Levels: lighting.Levels{At: at, KeyLx: 80000, FillLx: 20000, BackLx: 160000, ContrastStops: 2, SoftnessDeg: 11.4, KeySoftnessDeg: 9.8, KeyFrom: finding.FromRole(finding.RoleReflector), UniformityStops: 0.44,
				OtherZones: []lighting.ZoneLevels{{Label: "bystanders", KeyLx: 40000, KeyStops: -1, UniformityStops: 0.2}}},
		}},
	}
}

func printedPlan(t *testing.T, r sizing.Result) string {
	t.Helper()
	var b strings.Builder
	if err := text.WritePlan(&b, text.Metres, r); err != nil {
		t.Fatal(err)
	}
	brokenWell(t, b.String())
	return flat(b.String())
}

func board(mid geom.Vec, azimuthDeg, upDeg float64) sizing.Piece {
	return sizing.Piece{
		Role: finding.RoleReflector, Face: "silver", Serves: "main", Items: []catalog.Count{{SKU: "SILVER", Quantity: 1}},
		Corners: sheetAt(mid, azimuthDeg, upDeg), ViewClearanceM: 2, Supports: on("STAND", mid),
	}
}

// A board south of the subject that looks north faces it; half the sun's height is where its reflection goes level.
func TestBoardsSayWhereTheyFace(t *testing.T) {
	south := geom.Vec{Y: -5, Z: 1.2}
	for _, tc := range []struct {
		azimuth, up float64
		want        string
	}{
		{0, 31, "faces the subject, tilted up 31°"},
		{0, 0, "faces the subject, upright"},
		{340, 31, "faces 20° left of the subject (seen from the board), tilted up 31°"},
		{20, -7, "faces 20° right of the subject (seen from the board), tilted down 7°"},
		{0, 90, "lies level, tilted up 90°"},
	} {
		text := printedPlan(t, rigged(board(south, tc.azimuth, tc.up)))
		if !strings.Contains(text, "; "+tc.want) {
			t.Errorf("azimuth %v°, %v° up: no %q in\n%s", tc.azimuth, tc.up, tc.want, text)
		}
		aimed := strings.Contains(text, "by the reflection of the sun on the subject")
		if level := tc.azimuth == 0 && tc.up == 31; aimed != level {
			t.Errorf("azimuth %v°, %v° up: said to be aimed by reflection: %v", tc.azimuth, tc.up, aimed)
		}
	}
	white := board(south, 0, 31)
	white.Face = "white"
	if text := printedPlan(t, rigged(white)); strings.Contains(text, "reflection") {
		t.Errorf("a white board throws no beam:\n%s", text)
	}
	// 5 m to the west of the bystanders, 10 m behind the subject.
	aside := board(geom.Vec{X: -5, Y: 10, Z: 0.9}, 90, 31)
	aside.Serves = "bystanders"
	if text := printedPlan(t, rigged(aside)); !strings.Contains(text, "Reflector for bystanders: ") || !strings.Contains(text, "; faces bystanders, tilted up 31°") {
		t.Errorf("%s", text)
	}
}

func TestEqualBoardsShareAParagraph(t *testing.T) {
	row := []sizing.Piece{board(geom.Vec{X: -1, Y: -5, Z: 1.2}, 11, 31), board(geom.Vec{Y: -5, Z: 1.2}, 0, 31), board(geom.Vec{X: 1, Y: -5, Z: 1.2}, 349, 31)}
	for i := range row {
		row[i].Face = "white" // which throws no beam to aim by
	}
	text := printedPlan(t, rigged(row...))
	for _, want := range []string{
		"Reflectors, 3 in a row: Silver board, white side; each 1.00 m (3.3 ft) wide × 1.00 m (3.3 ft) high; each faces the subject, tilted up 31°; each on STAND raised to 1.20 m",
		"Reflector 1 of 3: 1.0 m to the left, 5.0 m in front of the subject. Reflector 2 of 3: on the lens axis",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q:\n%s", want, text)
		}
	}
	// What differs is said at each.
	row[1].Corners = sheetAt(geom.Vec{Y: -5, Z: 1.2}, 0, 20)
	row[2].Supports = on("TALL", geom.Vec{X: 1, Y: -5, Z: 1.2})
	text = printedPlan(t, rigged(row...))
	for _, want := range []string{
		"Reflector 2 of 3: on the lens axis, 5.0 m in front of the subject; faces the subject, tilted up 20°; on STAND raised to",
		"Reflector 3 of 3: 1.0 m to the right, 5.0 m in front of the subject; faces the subject, tilted up 31°; on TALL raised to",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q:\n%s", want, text)
		}
	}
}

func TestRolesAreInWords(t *testing.T) {
	mid := geom.Vec{X: 3, Y: -3, Z: 1.5}
	ends := []sizing.Support{{SKU: "STAND", Base: geom.Vec{X: 2.6, Y: -3.4}, HeightM: 1.5}, {SKU: "STAND", Base: geom.Vec{X: 3.4, Y: -2.6}, HeightM: 1.5}}
	framed := func(role finding.Role, covers ...string) sizing.Piece {
		return sizing.Piece{Role: role, Face: "black", Serves: "main", Covers: covers, Items: []catalog.Count{{SKU: "FRAME", Quantity: 1}},
			Corners: sheetAt(mid, 315, 0), MarginM: 0.22, ViewClearanceM: 0.3, Supports: ends}
	}
	lamp := sizing.Piece{Role: finding.RoleLamp, Serves: "main", Items: []catalog.Count{{SKU: "SPOT", Quantity: 1}}, ViewClearanceM: 100,
		Lamp: &sizing.LampPlace{Position: geom.Vec{X: 4, Y: -4, Z: 1.8}, Aim: mid}, Supports: on("STAND", geom.Vec{X: 4, Y: -4, Z: 1.8})}
	shade := framed(finding.RoleCameraShade, "sun")
	shade.Supports = on("STAND", mid)
	bare := lamp
	bare.Lamp = &sizing.LampPlace{Position: geom.Vec{X: 1, Y: 4, Z: 2.5}, Aim: geom.Vec{Z: 1.2}}
	for name, tc := range map[string]struct {
		pieces []sizing.Piece
		want   string
	}{
		"a black panel": {[]sizing.Piece{framed(finding.RoleBlack)}, "Black panel: FRAME, black side; opening 1.00 m"},
		"a lens shade":  {[]sizing.Piece{shade}, "; keeps the sun off the lens: tilt it to face the sun, so that its shadow falls on the lens; on STAND"},
		"a net":         {[]sizing.Piece{framed(finding.RoleNet)}, "Fills the picture there with 0.22 m to spare"},
		"a lamp behind a diffuser": {[]sizing.Piece{lamp, framed(finding.RoleLampDiffuser)},
			"Lamp: SPOT; 4.0 m to the right, 4.0 m in front of the subject; 600 W; aimed at the diffuser; on STAND raised to 1.80 m (5.9 ft)"},
		"its diffuser":     {[]sizing.Piece{lamp, framed(finding.RoleLampDiffuser)}, "Diffuser before the lamp: FRAME; opening"},
		"a lamp by itself": {[]sizing.Piece{bare}, "Lamp: SPOT; 1.0 m to the right, 4.0 m behind the subject; 600 W; aimed at the subject; on "},
		"a board's diffuser": {[]sizing.Piece{board(geom.Vec{X: 4, Y: -4, Z: 1.5}, 315, 31), framed(finding.RoleReflectorDiffuser)},
			"; faces the diffuser, tilted up 31°; on STAND"},
	} {
		r := rigged(tc.pieces...)
		r.Options[0].PowerW = 600
		r.Options[0].Notes = []finding.Note{finding.LampsDraw{PowerW: 600}}
		text := printedPlan(t, r)
		if !strings.Contains(text, tc.want) {
			t.Errorf("%s: no %q in\n%s", name, tc.want, text)
		}
		for _, wrong := range []string{"Stops ;", "corner", "_"} {
			if strings.Contains(text, wrong) {
				t.Errorf("%s: has %q:\n%s", name, wrong, text)
			}
		}
		if strings.Contains(text, "0.6 kW") && strings.Contains(text, "600 W") {
			t.Errorf("%s: one lamp's power is said twice:\n%s", name, text)
		}
	}
}

func TestLevelsAreOnePerFace(t *testing.T) {
	r := rigged(board(geom.Vec{Y: -5, Z: 1.2}, 0, 31))
	o := &r.Options[0]
	for i, d := range []float64{3.75, 4.375, 5, 6.25, 7.5} {
		o.Trim = append(o.Trim, lighting.TrimStep{DistanceM: d, KeyStops: -0.3 * float64(i), ContrastStops: 2 - 0.2*float64(i)})
	}
	o.Notes = []finding.Note{
		finding.KeyPlaced{
			By: finding.Array{Goods: finding.Goods{Item: finding.Item{Name: "Silver board"}, Quantity: 2}, Face: "silver"}, DistanceM: 5, Side: finding.Left,
		},
		finding.FillLeft{Side: finding.Right, ContrastStops: 2}, finding.ContrastMissed{ContrastStops: 2, AskedStops: 1.5},
	}
	text := printedPlan(t, r)
	for _, want := range []string{
		// 20 000 lx are two stops under 80 000, 160 000 one over.
		"Light at 17:00 (stops against the background): key 80000 lx, +0.0; fill 20000 lx, -2.0; hair and shoulders 160000 lx, +1.0.",
		"Contrast 2.0 stops; the key comes from the reflectors, 9.8° across; it differs by 0.4 stops over the zone. Bystanders: key 40000 lx, -1.0; differs by 0.2 stops over the zone.",
		"at 3.8 m: key +0.0 stops, contrast 2.0 at 4.4 m: key -0.3 stops, contrast 1.8 at 5.0 m: key -0.6 stops, contrast 1.6 (as planned) at 6.2 m",
		"Background: 80000 lx, EV 15.0 at ISO 100. The camera at ISO 800, 25 fps, 172.8°, T2.8 takes 9.0 stops of neutral density, 2.72: ND 2.7.",
		"- The right side is left as it is. - Contrast comes to 2.0 stops",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q:\n%s", want, text)
		}
	}
	if strings.Contains(text, "from the subject on the left") {
		t.Errorf("says twice where the boards stand:\n%s", text)
	}

	// The same again in a second option: named, not repeated. A note of all options stands above them.
	again := *o
	again.Label = sizing.LabelOverhead
	o.Notes = []finding.Note{finding.SunInFront{TurnDeg: 4, Side: finding.Left}, finding.AimHolds{}}
	again.Notes = []finding.Note{finding.SunInFront{TurnDeg: 4, Side: finding.Left}, finding.MachinesApart{}}
	r.Options = append(r.Options, again)
	text = printedPlan(t, r)
	for want, times := range map[string]int{
		"together 0 , without the machines' carriers.": 1, "straight behind. 1. Reflectors alone": 1, "straight behind.": 1, "2. No overhead needed": 1, "As in 1: reflector. Light as in 1. - Machines come": 1, "Contrast 2.0": 1,
	} {
		if got := strings.Count(text, want); got != times {
			t.Errorf("%d times %q, want %d:\n%s", got, want, times, text)
		}
	}
}

// What pieces and levels say is not said again in a note.
func TestNotesAreNotRepeated(t *testing.T) {
	told := map[string]int{}
	for _, file := range []string{"01-two-anglers.json", "05-six-rowers.json", "07-noon-on-the-beach.json", "09-floodlit-sports-hall.json"} {
		r := resultOf(t, file)
		plan := printedPlan(t, r)
		for i := range r.Options {
			for _, n := range r.Options[i].Notes {
				switch n.(type) {
				case finding.KeyPlaced, finding.FillPlaced, finding.FillLeft:
					if told[n.Code()]++; strings.Contains(plan, flat(text.Note(text.Metres, n))) {
						t.Errorf("%s: pieces and levels have said: %+v", file, n)
					}
				default:
				}
			}
		}
	}
	if len(told) < 3 {
		t.Errorf("the engine no longer notes all of it: %v", told)
	}
}

func TestNeutralDensityIsSignedInWords(t *testing.T) {
	for nd, want := range map[float64]string{
		2.04: "T2.8 takes 2.0 stops of neutral density, 0.61: ND 0.6.", 1.38: "T2.8 takes 1.4 stops of neutral density, 0.42: ND 0.3 and a third.",
		0.68: "0.20: two thirds of a stop of ND.", 0.02: "T2.8 takes no neutral density.", -0.02: "T2.8 takes no neutral density.",
		-1.26: "T2.8 is 1.3 stops short of light: open up, slow down or raise the ISO.",
	} {
		r := rigged()
		r.Background.NDStops, r.Background.NDDensity = nd, math.Max(0, nd)*math.Log10(2)
		if text := printedPlan(t, r); !strings.Contains(text, want) {
			t.Errorf("%v stops: no %q in\n%s", nd, want, text)
		}
	}
}

// TestEachBoardOfARowIsAimedAtItsPart: of two boards in a row each sends the sun to half a metre beside the subject, and the plan says to
// which side.
func TestEachBoardOfARowIsAimedAtItsPart(t *testing.T) {
	mid := geom.Vec{Z: 1.2} // of the zone
	aimed := func(at, goal geom.Vec) sizing.Piece {
		n := goal.Sub(at).Unit().Add(geom.Toward(0, 62))
		return board(at, n.Bearing(), n.Elevation())
	}
	left, right := geom.Vec{X: -1, Y: -6, Z: 1.2}, geom.Vec{X: 1, Y: -6, Z: 1.2}
	side := geom.Vec{X: 0.5}
	for _, test := range []struct {
		pieces []sizing.Piece
		want   []string
	}{
		{[]sizing.Piece{aimed(left, mid.Sub(side)), aimed(right, mid.Add(side))}, []string{
			"sun on a point 0.5 m to the left, level with the middle of the subject. Reflector 2 of 2",
			"sun on a point 0.5 m to the right, level with the middle of the subject.",
		}},
		{[]sizing.Piece{aimed(left, mid), aimed(right, mid)}, []string{"by the reflection of the sun on the subject"}},
	} {
		got := printedPlan(t, rigged(test.pieces...))
		for _, want := range test.want {
			if strings.Count(got, want) != 1 {
				t.Errorf("not once %q:\n%s", want, got)
			}
		}
	}
}
