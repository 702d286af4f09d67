package lighting

import (
	"context"
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/light"
	"kitspan/internal/scene"
)

// Readings are what a meter says on set, once everything is up: illuminances in lux on a flat receptor at the middle of the zone, more than 0.
type Readings struct {
	// BackgroundLx is the exposure reference of the background, the level against which stops are counted.
	BackgroundLx float64
	// KeyLx is read on the key face.
	KeyLx float64
	// CoveredLx is read there with the boards or lamps of the key covered where they stand, or turned off; nil where it was not.
	CoveredLx *float64
	// FillLx is read on the fill face, all being up; nil where it was not.
	FillLx *float64
}

// ScaledBy is from which readings it is known how the light on set differs from the plan's; see [Arrangement.Meter].
type ScaledBy string

// The ways, the surest first.
const (
	ScaledByCover      ScaledBy = "cover"
	ScaledByFill       ScaledBy = "fill"
	ScaledByBackground ScaledBy = "background"
	ScaledTogether     ScaledBy = "together"
)

// Metered is what readings say of a plan, and what to change.
type Metered struct {
	By ScaledBy
	// RestStops, BoardStops and FillStops are by how many stops the light is over the plan's: on the key face without what lifts the key,
	// what that gives, and on the fill face without it.
	RestStops, BoardStops, FillStops float64
	// Now is the light as it was read; its contrast is read where FillLx was, else computed.
	Now, Wanted MeteredLook
	FillRead    bool
	// Key is where to carry what lifts the key; nil where nothing does. FillKey is the same of what stands on the fill side, once the key is
	// carried; nil where nothing does.
	Key, Fill *Carry
	// WithoutFill is the light with what stands on the fill side taken away; nil where nothing does. Dims is set where that darkens.
	WithoutFill *MeteredLook
	Dims        bool
	// ScrimStops is how many stops of scrim bring lamps to the key where they stand, negative for how many to take out; nil without lamps.
	ScrimStops *float64
	// Next are other ways where carrying does not do it, those that come nearest first.
	Next []NextStep
}

// MeteredLook is a key against the background, and over the fill, in stops.
type MeteredLook struct{ KeyStops, ContrastStops float64 }

// meter is an arrangement in the light that was read.
type meter struct {
	*Arrangement
	ctx context.Context //nolint:containedctx // of one call
	pl  *Planner
	// restBy, boardBy and fillBy are the factors by which the light is more than planned.
	restBy, boardBy, fillBy float64
	referenceLx             float64
}

// shares is the light on the key and on the fill face, as planned, without what lifts the key (it stands there, but black) and what that adds.
type shares struct{ rest, board [2]float64 }

const onKey, onFill = 0, 1

// Meter returns what to change where readings differ from the plan. It leaves the arrangement as it was. Its error is that of the context.
//
// The light on the key face is the sum of two: what comes by sky, ground, sun, cloths and whatever else is up, R, and what the key's boards
// or lamps add, B. R is the level with them black in their places, so that what they hide stays hidden. Light adds up, and each way of it is
// a product of one source and of shares that surfaces and cloths pass on, so that another source, reflectance or transmittance scales it:
// on set R is a·R and B is b·B, and both keep their dependence on the distance r of the key,
//
//	K(r) = a·R(r) + b·B(r),  F(r) = c·R′(r) + b·B′(r)
//
// on the key face and on the fill face, with one b: it is the same board. R and B are the engine's, for every r. With what was read at r0:
//
//   - [ScaledByCover]: covered, the key reads a·R, so a is the reading over R, and b is (K − a·R)/B.
//   - [ScaledByFill]: the rest is taken to differ alike on both faces, a = c; K and F are two equations in a and b.
//   - [ScaledByBackground]: the rest is taken to differ as the background does, a = its reading over the plan's; b is (K − a·R)/B.
//   - [ScaledTogether]: where none of these gives shares of 0 or more, all is taken to differ alike, a = b = K/(R + B).
//
// c is (F − b·B′)/R′ where the fill was read and that is 0 or more, else a. What is the key at another distance follows.
func (a *Arrangement) Meter(ctx context.Context, pl *Planner, r Readings) (Metered, error) {
	m := &meter{Arrangement: a, ctx: ctx, pl: pl, referenceLx: r.BackgroundLx}
	pieces, taken, gear := a.Pieces, a.taken, a.gear
	key, fill := a.key, a.fill
	a.taken = map[string]int{}
	for k, v := range taken {
		a.taken[k] = v
	}
	a.Pieces = append([]*Piece(nil), pieces...)
	if key != nil {
		own := *key
		a.key = &own
	}
	if fill != nil {
		own := *fill
		a.fill = &own
	}
	defer func() {
		a.Pieces, a.taken, a.gear, a.key, a.fill = pieces, taken, gear, key, fill
		a.light()
	}()
	out := m.read(&r)
	m.advise(&out)
	return out, ctx.Err()
}

// read finds by what factors the light differs from the plan.
func (m *meter) read(r *Readings) Metered {
	var up []*Piece
	if m.key != nil {
		up = m.Pieces[m.key.first : m.key.first+m.key.count]
	}
	s := m.split(up)
	out := Metered{FillRead: r.FillLx != nil, Wanted: MeteredLook{m.pl.shot.Look.KeyStops, m.pl.shot.Look.ContrastStops}}
	m.scale(&s, r, &out)
	stops := func(v float64) float64 { return light.Stops(math.Max(v, leastFactor), 1) }
	out.RestStops, out.BoardStops, out.FillStops = stops(m.restBy), stops(m.boardBy), stops(m.fillBy)
	out.Now = m.look(&s)
	if r.FillLx != nil {
		out.Now.ContrastStops = light.Stops(r.KeyLx, *r.FillLx)
	}
	return out
}

// leastFactor stands for no light at all, so that it has a number of stops: ten stops less.
const leastFactor = 1.0 / 1024

// scale sets the factors, by the surest way that the readings allow.
func (m *meter) scale(s *shares, r *Readings, out *Metered) {
	restLx, boardLx := math.Max(s.rest[onKey], scene.DarkestLx), s.board[onKey]
	lifts := boardLx > leastShareOfKey*(restLx+boardLx)
	by := func(way ScaledBy, rest float64) bool {
		board := 1.0
		if lifts {
			board = (r.KeyLx - rest*restLx) / boardLx
		}
		if !(rest >= 0 && board >= 0) {
			return false
		}
		m.restBy, m.boardBy, out.By = rest, board, way
		return true
	}
	switch {
	case !lifts: // nothing to tell apart
		by(ScaledTogether, r.KeyLx/restLx)
	case r.CoveredLx != nil && by(ScaledByCover, *r.CoveredLx/restLx):
	case r.FillLx != nil && by(ScaledByFill, twoFaces(s, r.KeyLx, *r.FillLx)):
	case by(ScaledByBackground, r.BackgroundLx/m.Light.ReferenceLx):
	default:
		by(ScaledTogether, r.KeyLx/(restLx+boardLx))
	}
	m.fillBy = m.restBy
	if r.FillLx != nil && s.rest[onFill] > 0 {
		if c := (*r.FillLx - m.boardBy*s.board[onFill]) / s.rest[onFill]; c >= 0 {
			m.fillBy = c
		}
	}
}

// leastShareOfKey is the least share of the key that has to come from what lifts it for readings to tell it apart: what a meter reads
// wrongly by, a tenth of a stop (common practice, no source).
const leastShareOfKey = 0.067

// twoFaces returns the factor of the rest where it is one on both faces; negative where the equations do not tell.
func twoFaces(s *shares, keyLx, fillLx float64) float64 {
	det := s.rest[onKey]*s.board[onFill] - s.board[onKey]*s.rest[onFill]
	if math.Abs(det) < leastShareOfKey*(s.rest[onKey]+s.board[onKey])*(s.rest[onFill]+s.board[onFill]) {
		return -1
	}
	return (keyLx*s.board[onFill] - s.board[onKey]*fillLx) / det
}

// split returns the light as planned, all being up, by whether it comes from what lifts the key.
func (m *meter) split(up []*Piece) (s shares) {
	key, fill, _ := m.FaceLevels(m.Light.Stage.Mid)
	kept := make([]Piece, len(up))
	for i, p := range up {
		kept[i] = *p
		switch {
		case p.Lamp != nil:
			off := *p.Lamp
			off.IntensityCd = 0
			p.Lamp = &off
		case p.Role != finding.RoleReflectorDiffuser && p.Role != finding.RoleLampDiffuser:
			p.panel.A, p.panel.B, p.panel.Transmittance = light.Surface{}, light.Surface{}, 0
		}
	}
	s.rest[onKey], s.rest[onFill], _ = m.FaceLevels(m.Light.Stage.Mid)
	for i, p := range up {
		*p = kept[i]
	}
	s.board = [2]float64{key - s.rest[onKey], fill - s.rest[onFill]}
	return s
}

// look is the light on set.
func (m *meter) look(s *shares) MeteredLook {
	key := math.Max(m.restBy*s.rest[onKey]+m.boardBy*s.board[onKey], scene.DarkestLx)
	fill := math.Max(m.fillBy*s.rest[onFill]+m.boardBy*s.board[onFill], scene.DarkestLx)
	return MeteredLook{light.Stops(key, m.referenceLx), light.Stops(key, fill)}
}

// KeyDone reports whether the key is within a third of a stop of what is asked, and ContrastDone the contrast.
func (m *Metered) KeyDone() bool { return math.Abs(m.Now.KeyStops-m.Wanted.KeyStops) <= closeStops }
func (m *Metered) ContrastDone() bool {
	return math.Abs(m.contrast()-m.Wanted.ContrastStops) <= closeStops
}

// contrast is the contrast once the key is carried.
func (m *Metered) contrast() float64 {
	if m.Key != nil && !m.KeyDone() {
		return m.Key.Then.ContrastStops
	}
	return m.Now.ContrastStops
}

// FillGoes reports whether the contrast comes within a third of a stop of what is asked, or nearer than by any carrying, with what stands on
// the fill side taken away.
func (m *Metered) FillGoes() bool {
	if m.WithoutFill == nil || m.ContrastDone() {
		return false
	}
	without := math.Abs(m.WithoutFill.ContrastStops - m.Wanted.ContrastStops)
	return without <= closeStops || without < math.Abs(m.Fill.Then.ContrastStops-m.Wanted.ContrastStops)
}
