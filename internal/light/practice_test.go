package light

import (
	"math"
	"testing"

	"kitspan/internal/geom"
)

// What every crew knows of the gear: common practice, no source. The sun is behind the subject, who stands at (0, 0) and
// looks north to the camera.

var (
	subject  = geom.Vec{Z: 1.6}
	backSun  = geom.Toward(180, 35)
	keyFace  = geom.Toward(45, 0)
	fillFace = geom.Toward(315, 0)
	white    = Surface{Diffuse: 0.85}
	silver   = Surface{Diffuse: 0.2, Specular: 0.6, LobeDeg: 8}
	black    = Surface{Diffuse: 0.04}
)

// backlit is daylight with the sun behind the subject, and panels.
func backlit(panels ...Panel) *Scene {
	return &Scene{SkyLx: 12000, GroundReflectance: 0.2, Panels: panels,
		Hard: []Hard{{Dir: backSun, NormalLx: 80000, RadiusDeg: 0.2665}}}
}

// keyBoard is a board on the key side that mirrors the sun to the subject.
func keyBoard(side Surface, distance, width float64) Panel {
	at := subject.Add(keyFace.Scale(distance))
	return Panel{Corners: mirrorOf(at, subject, backSun, width, width), A: side, B: black}
}

func fillBoard(side Surface, distance float64) Panel {
	return Panel{Corners: toward(subject, 315, distance, 1.5, 1.2, 1.8), A: side, B: side}
}

func TestSilverGivesMoreThanWhite(t *testing.T) {
	for _, d := range []float64{1.5, 3, 6, 12} {
		s := Light(backlit(keyBoard(silver, d, 1.2))).Face(subject, keyFace).Total()
		w := Light(backlit(keyBoard(white, d, 1.2))).Face(subject, keyFace).Total()
		n := Light(backlit()).Face(subject, keyFace).Total()
		if !(s > 1.5*w && w > n) {
			t.Errorf("at %v m silver %v, white %v, nothing %v", d, s, w, n)
		}
	}
}

// A board with a lobe holds its level near by, and then falls without a jump.
func TestSilverMovedBackFallsSmoothly(t *testing.T) {
	const step = 1.02
	last, fell := math.Inf(1), 0.0
	for d := 1.5; d < 60; d *= step {
		got := Light(backlit(keyBoard(silver, d, 1.2))).Face(subject, keyFace).Beam
		if got > last*(1+1e-9) {
			t.Errorf("at %.2f m it rises from %v to %v", d, last, got)
		}
		if !math.IsInf(last, 0) && got < last/step/step/1.02 { // the inverse square, and a little for its start
			t.Errorf("at %.2f m it jumps from %v to %v", d, last, got)
		}
		if !math.IsInf(last, 0) {
			fell += math.Log2(last / got)
		}
		last = got
	}
	if fell < 4 {
		t.Errorf("all the way it falls by %v stops alone", fell)
	}
}

func TestWhiteNearerGivesMore(t *testing.T) {
	last := 0.0
	for d := 8.0; d > 0.8; d *= 0.8 {
		got := Light(backlit(fillBoard(white, d))).Face(subject, fillFace)
		if got.Total() <= last {
			t.Errorf("at %.2f m %v, farther off %v", d, got.Total(), last)
		}
		last = got.Total()
	}
}

func TestBlackTakesFromTheFill(t *testing.T) {
	open := Light(backlit()).Face(subject, fillFace).Total()
	last := open
	for d := 4.0; d > 0.5; d *= 0.7 {
		got := Light(backlit(fillBoard(black, d))).Face(subject, fillFace).Total()
		if got >= last {
			t.Errorf("at %.2f m %v, farther off %v", d, got, last)
		}
		last = got
	}
	if stops := math.Log2(open / last); stops < 0.5 {
		t.Errorf("near by it takes %v stops", stops)
	}
}

func TestFrameBeforeSilverSoftens(t *testing.T) {
	board := keyBoard(silver, 4, 1.2)
	frame := Panel{Corners: toward(subject, 45, 1.8, 1.6, 1.5, 1.5), A: Surface{Diffuse: 0.3}, B: Surface{Diffuse: 0.3},
		Transmittance: 0.5, BeamShare: 0.05, Fed: true}
	bare, soft := Light(backlit(board)), Light(backlit(board, frame))
	hard, mild := bare.Face(subject, keyFace), soft.Face(subject, keyFace)
	if !(mild.Total() < hard.Total() && mild.Glow > hard.Glow) {
		t.Errorf("bare %+v, through the frame %+v", hard, mild)
	}
	if from, to := bare.SourceDeg(subject, 0), soft.SourceDeg(subject, 1); !(to > 2*from) {
		t.Errorf("it looks %v° before and %v° after", from, to)
	}
	// Most of what the frame gives came from the board: without being fed it would be dim.
	frame.Fed = false
	if unfed := Light(backlit(board, frame)).Face(subject, keyFace); !(unfed.Glow < 0.7*mild.Glow) {
		t.Errorf("unfed %v, fed %v", unfed.Glow, mild.Glow)
	}
}

// A half-stop net in the sun's way passes 0.707 of it, and does not turn what it passes into another light.
func TestNetPassesHalfAStop(t *testing.T) {
	for stops, want := range map[float64]float64{0.5: 0.7071, 1: 0.5} {
		net := Panel{Corners: board(subject.Add(backSun.Scale(1.2)), backSun, 0.9, 0.9), A: black, B: black,
			Transmittance: math.Exp2(-stops), BeamShare: 1}
		bare, netted := backlit(), backlit(net)
		bare.SkyLx, netted.SkyLx, bare.GroundReflectance, netted.GroundReflectance = 0, 0, 0, 0
		face := geom.Toward(180, 45) // hair and shoulders
		near(t, "net", Light(netted).Face(subject, face).Total()/Light(bare).Face(subject, face).Total(), want, 0.02*want)
		// In daylight it takes less than that of the whole, for the sky comes past it.
		if all := Light(backlit(net)).Face(subject, face).Total() / Light(backlit()).Face(subject, face).Total(); all <= want || all >= 1 {
			t.Errorf("of all the light it passes %v", all)
		}
	}
}

// An overhead cloth in the sun's way lowers the hair light and hides its part of the sky.
func TestOverheadTamesTheBackLight(t *testing.T) {
	over := Panel{Corners: board(subject.Add(backSun.Scale(2)), geom.Vec{Z: 1}, 3, 3), A: white, B: white,
		Transmittance: 0.12, BeamShare: 0.02}
	over.A.Diffuse, over.B.Diffuse = 0.6, 0.6
	open, under := Light(backlit()).Face(subject, geom.Toward(180, 45)), Light(backlit(over)).Face(subject, geom.Toward(180, 45))
	if !(under.Direct < 0.01*open.Direct && under.Sky < open.Sky && under.Total() < open.Total()/2) {
		t.Errorf("open %+v, under the cloth %+v", open, under)
	}
}
