//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sizing_test

import (
	"context"
	"errors"
	"math"
	"reflect"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/lighting"
	"kitspan/internal/price"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// metering is a shot of which readings are taken.
type metering struct {
	shot  shot.Shot
	stock *catalog.Snapshot
	plan  sizing.Result
	at    int // the option
}

func meteringOf(t *testing.T, d shot.Draft, stock *catalog.Snapshot) *metering {
	t.Helper()
	s, faults := d.Resolve()
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return &metering{shot: s, stock: stock, plan: planOf(t, d, stock)}
}

func (m *metering) option() *sizing.Option { return &m.plan.Options[m.at] }

func (m *metering) read(t *testing.T, r lighting.Readings) *sizing.Metered {
	t.Helper()
	_, got, err := sizing.Meter(t.Context(), m.shot, m.stock, price.NewDesk(m.stock, m.shot.Window.Date), m.option().Name, r)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

// asPlanned are the readings of a set that is as it was planned. What the key reads covered is found by halving: the answer says by how many
// stops a reading is over it.
func (m *metering) asPlanned(t *testing.T) lighting.Readings {
	t.Helper()
	l := &m.option().Levels
	r := lighting.Readings{BackgroundLx: m.option().Background.ReferenceLx, KeyLx: l.KeyLx, FillLx: some(l.FillLx), CoveredLx: some(l.KeyLx / 2)}
	r.CoveredLx = some(*r.CoveredLx / math.Exp2(m.read(t, r).RestStops))
	return r
}

func TestReadingsAsPlannedAreThePlan(t *testing.T) {
	t.Parallel()
	m := meteringOf(t, jetty(), house(t))
	r := m.asPlanned(t)
	for _, c := range []struct {
		by          lighting.ScaledBy
		covered, on *float64
	}{{lighting.ScaledByCover, r.CoveredLx, r.FillLx}, {lighting.ScaledByFill, nil, r.FillLx}, {lighting.ScaledByBackground, nil, nil}} {
		got := m.read(t, lighting.Readings{BackgroundLx: r.BackgroundLx, KeyLx: r.KeyLx, CoveredLx: c.covered, FillLx: c.on})
		if got.By != c.by || math.Abs(got.RestStops) > 1e-6 || math.Abs(got.BoardStops) > 1e-6 || math.Abs(got.FillStops) > 1e-6 {
			t.Errorf("by %s: %+v", c.by, got.Metered)
		}
		l := &m.option().Levels
		if math.Abs(got.Now.KeyStops-l.KeyStops) > 1e-6 || math.Abs(got.Now.ContrastStops-l.ContrastStops) > 1e-6 {
			t.Errorf("by %s the light is %+v, planned is %+v", c.by, got.Now, l)
		}
	}
	again, _, err := sizing.Meter(t.Context(), m.shot, m.stock, price.NewDesk(m.stock, m.shot.Window.Date), "", r)
	if err != nil || !reflect.DeepEqual(again.Options[0].Pieces, m.plan.Options[0].Pieces) || !reflect.DeepEqual(again.Options[0].Wind, m.plan.Options[0].Wind) {
		t.Errorf("readings change the plan, %v", err)
	}
}

// The table of the key from other distances is another way to the same: with the light as planned, the background read so that a level of the
// table is the one asked, the key is carried to the distance of that level.
func TestTheKeyIsCarriedToTheDistanceOfTheTable(t *testing.T) {
	t.Parallel()
	m := meteringOf(t, jetty(), house(t))
	r := m.asPlanned(t)
	looked := 0
	for _, step := range m.option().Trim {
		r.BackgroundLx = step.KeyLx / math.Exp2(m.shot.Look.KeyStops)
		got := m.read(t, r)
		if step.DistanceM < got.Key.NearM || step.DistanceM > got.Key.FarM {
			continue
		}
		looked++
		if off := got.Key.ToM - step.DistanceM; math.Abs(off) > 0.02 || !got.Key.Reaches {
			t.Errorf("%.0f lx is at %.3f m, the key is carried to %.3f", step.KeyLx, step.DistanceM, got.Key.ToM)
		}
	}
	if looked < 3 {
		t.Fatalf("%d distances of the table are free", looked)
	}
}

// A bare lamp is a point: I·cos/d² by the photometric law, whatever the engine has.
func TestLampsAreCarriedByTheInverseSquare(t *testing.T) {
	t.Parallel()
	d := jetty()
	d.Site.Roofed, d.Look.Soften = some(true), some(shot.SoftenOff)
	d.Background.EV100 = some(6.0)
	m := meteringOf(t, d, house(t))
	for m.at = range m.plan.Options {
		if m.option().Label == sizing.LabelLamps {
			break
		}
	}
	lampLx := func(pieces []sizing.Piece) (sum float64) {
		at := geom.Vec{Z: (m.shot.Zone.BaseM + m.shot.Zone.TopM) / 2}
		turn := 45.0 // of the key face from the lens, toward the key side, domain
		if m.shot.Look.KeySide == shot.SideRight {
			turn = -45
		}
		face := geom.Toward(m.shot.Camera.BearingDeg+180+turn, 0)
		for _, p := range pieces {
			if p.Lamp == nil || p.Lights != "key" {
				continue
			}
			spec := m.stock.Item(p.Items[0].SKU).Spec.(*catalog.Lamp)
			to := p.Lamp.Position.Sub(at)
			sum += spec.IntensityCd * math.Max(0, face.Dot(to.Unit())) / to.Dot(to)
		}
		return sum
	}
	r := m.asPlanned(t)
	planned := lampLx(m.option().Pieces)
	if planned == 0 || math.Abs((r.KeyLx-*r.CoveredLx)/planned-1) > 0.02 {
		t.Fatalf("lamps give %.1f lx, by hand %.1f", r.KeyLx-*r.CoveredLx, planned)
	}
	for _, by := range []float64{0.7, 1.3} {
		now := r
		now.KeyLx = *r.CoveredLx + by*(r.KeyLx-*r.CoveredLx)
		got := m.read(t, now)
		want := now.BackgroundLx * math.Exp2(m.shot.Look.KeyStops)
		then := *r.CoveredLx + by*lampLx(got.KeyPieces)
		if len(got.KeyPieces) == 0 || math.Abs(math.Log2(then/want)) > 0.03 {
			t.Errorf("×%.1f, carried from %.2f to %.2f m: by hand %.1f lx, wanted %.1f", by, got.Key.FromM, got.Key.ToM, then, want)
		}
		if want := math.Log2(by * (r.KeyLx - *r.CoveredLx) / (want - *r.CoveredLx)); math.Abs(*got.ScrimStops-want) > 0.01 {
			t.Errorf("×%.1f: %.2f stops of scrim, by hand %.2f", by, *got.ScrimStops, want)
		}
	}
}

// A white board is a Lambertian rectangle: what leaves it times its view factor, here by adding up cos·cos/πd² over a thousand patches.
func TestAWhiteBoardIsCarriedByItsViewFactor(t *testing.T) {
	t.Parallel()
	var white []catalog.Item
	for _, item := range house(t).Items() {
		if spec, ok := item.Spec.(*catalog.Reflector); ok && (spec.SpecularA > 0 || spec.SpecularB > 0) {
			continue
		}
		white = append(white, item)
	}
	d := jetty()
	d.Sky.SunLx, d.Sky.SkyLx = some(80000.0), some(9000.0)
	d.Background.EV100, d.Look.KeyStops = some(13.5), some(-1.0)
	m := meteringOf(t, d, catalog.NewSnapshot(house(t).House, white))
	sun := m.plan.Sources[0].Track[len(m.plan.Sources[0].Track)/2]
	toSun := geom.Toward(sun.AzimuthDeg, sun.ElevationDeg)
	boardLx := func(pieces []sizing.Piece) (sum float64) {
		at := geom.Vec{Z: (m.shot.Zone.BaseM + m.shot.Zone.TopM) / 2}
		turn := 45.0
		if m.shot.Look.KeySide == shot.SideRight {
			turn = -45
		}
		face := geom.Toward(m.shot.Camera.BearingDeg+180+turn, 0)
		for i := range pieces {
			p := &pieces[i]
			if p.Role != "reflector" {
				continue
			}
			n := p.Faces()
			rho := whiteness(m.stock, p)
			leaves := rho * (sun.IlluminanceLx*math.Max(0, n.Dot(toSun)) + 9000*(1+n.Z)/2)
			u, v := p.Corners[1].Sub(p.Corners[0]), p.Corners[3].Sub(p.Corners[0])
			const across = 32
			patch := u.Cross(v).Len() / across / across
			for a := range across {
				for b := range across {
					to := p.Corners[0].Add(u.Scale((float64(a) + 0.5) / across)).Add(v.Scale((float64(b) + 0.5) / across)).Sub(at)
					far := to.Len()
					sum += leaves * math.Max(0, face.Dot(to)/far) * math.Max(0, -n.Dot(to)/far) / (math.Pi * far * far) * patch
				}
			}
		}
		return sum
	}
	r := m.asPlanned(t)
	byHand := boardLx(m.option().Pieces)
	if off := (r.KeyLx-*r.CoveredLx)/byHand - 1; byHand == 0 || math.Abs(off) > 0.02 {
		t.Fatalf("the boards give %.0f lx, by hand %.0f", r.KeyLx-*r.CoveredLx, byHand)
	}
	for _, by := range []float64{0.85, 1.4} {
		now := r
		now.KeyLx = *r.CoveredLx + by*(r.KeyLx-*r.CoveredLx)
		now.BackgroundLx = r.KeyLx / math.Exp2(m.shot.Look.KeyStops) // the level of the plan is wanted again
		got := m.read(t, now)
		if got.Key.Stays() || len(got.KeyPieces) == 0 {
			t.Fatalf("×%.2f: %+v", by, got.Key)
		}
		then := *r.CoveredLx + by*boardLx(got.KeyPieces)
		reached := now.BackgroundLx * math.Exp2(got.Key.Then.KeyStops)
		if math.Abs(math.Log2(then/reached)) > 0.05 {
			t.Errorf("×%.2f, carried from %.2f to %.2f m: by hand %.0f lx, computed %.0f", by, got.Key.FromM, got.Key.ToM, then, reached)
		}
	}
}

// whiteness is the diffuse reflectance of the side of a board that works.
func whiteness(stock *catalog.Snapshot, p *sizing.Piece) float64 {
	for _, c := range p.Items {
		switch spec := stock.Item(c.SKU).Spec.(type) {
		case *catalog.Reflector:
			if p.Face == spec.FaceA {
				return spec.DiffuseA
			}
			return spec.DiffuseB
		case *catalog.Fabric:
			return spec.Reflectance
		}
	}
	return 0
}

// The more the key reads the farther it is carried, and the less the nearer; never out of where it may stand.
func TestABrighterKeyIsCarriedFarther(t *testing.T) {
	t.Parallel()
	m := meteringOf(t, jetty(), house(t))
	r := m.asPlanned(t)
	last := 0.0
	for _, by := range []float64{0.4, 0.6, 0.8, 1, 1.25, 1.6, 2.2} {
		now := lighting.Readings{BackgroundLx: r.BackgroundLx, KeyLx: *r.CoveredLx + by*(r.KeyLx-*r.CoveredLx), CoveredLx: r.CoveredLx}
		got := m.read(t, now)
		if got.Key.ToM < last-0.02 || got.Key.ToM < got.Key.NearM-1e-9 || got.Key.ToM > got.Key.FarM+1e-9 {
			t.Errorf("×%.2f: carried to %.2f m, before to %.2f; %.2f to %.2f m are free", by, got.Key.ToM, last, got.Key.NearM, got.Key.FarM)
		}
		last = got.Key.ToM
		for _, n := range got.Next {
			if math.Abs(n.Then.KeyStops-got.Wanted.KeyStops) >= math.Abs(got.Key.Then.KeyStops-got.Wanted.KeyStops) {
				t.Errorf("×%.2f: %s comes no nearer than carrying", by, n.What)
			}
		}
		if got.Key.Reaches && len(got.Next) > 0 {
			t.Errorf("×%.2f: carrying does it, and other ways are told", by)
		}
		if by == 0.4 && len(got.Next) == 0 && !got.Key.Reaches {
			t.Errorf("the key is at %.1f stops with everything as near as it may stand, and there is no other way", got.Key.Then.KeyStops)
		}
	}
}

func TestMeteringEndsWithItsContext(t *testing.T) {
	t.Parallel()
	m := meteringOf(t, jetty(), house(t))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, _, err := sizing.Meter(ctx, m.shot, m.stock, price.NewDesk(m.stock, m.shot.Window.Date), "", lighting.Readings{BackgroundLx: 1, KeyLx: 1}); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}
