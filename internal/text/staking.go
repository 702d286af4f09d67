package text

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/phrase"
	"kitspan/internal/sizing"
)

// The staking-out table: every spot on the ground that is measured and marked before anything is raised.

// Stake is a spot on the ground, or, of a frame that several hold, the one below its middle.
type Stake struct {
	// Mark is that of the drawing ([StakeMark]); empty for the middle of a frame and the anchor of a rope.
	Mark string
	// Is says what is there of the piece: the corner that is held, how a board is turned, what a rope runs from and to.
	Is string
	// Aside and Along are the distances from the subject, square to the lens axis and along it.
	Aside, Along string
	// Mast is the height of its head, Arm the length of the arm and the way that it points; empty where there is none.
	Mast, Arm string
	// EachLeg and AtMast are the bags on each leg and on the base against the mast, named where the piece has several kinds.
	EachLeg, AtMast string
	// Middle is set for the spot below the middle of a frame that several hold: it is measured, and nothing is put down there.
	Middle bool
	// At is the spot itself, in the camera's axes: metres, x to the right of the lens, y away from it, from the subject mark.
	At geom.Vec
}

// Staked is the spots of one piece.
type Staked struct {
	Stakes []Stake
	// AimedBy and AimedOn say of a board that is not turned straight to what it works on by what it is aimed, and on what; empty for every
	// other piece.
	AimedBy, AimedOn string
	// Ropes says what its ropes may bear, and what to do when one hangs slack; empty without ropes.
	Ropes string
}

// StakeMark names a spot of piece i, from 0, of those of its stands and the people who hold it: "3", or "3b" of several.
func StakeMark(i, spot, of int) string {
	mark := strconv.Itoa(i + 1)
	if of > 1 {
		mark += string(rune('a' + spot))
	}
	return mark
}

// Staking returns the spots of each piece of an option, in order; length writes those of the table's figures, which are in
// the same units and in the reader's number format. names are the items' by SKU.
func Staking(to Reader, length func(m float64) string, r *sizing.Result, o *sizing.Option, names map[string]string) []Staked {
	p := &printer{to: to, axes: r.Shot.Axes(), shot: &r.Shot, sources: r.Sources}
	t := staker{p, length, names}
	var out []Staked
	for _, g := range ranks(o.Pieces) {
		for i := range g.pieces {
			out = append(out, t.piece(o, len(out), &g.pieces[i], g.before))
		}
	}
	return out
}

// staker writes the spots.
type staker struct {
	*printer
	inFigures func(m float64) string
	names     map[string]string
}

func (t *staker) piece(o *sizing.Option, i int, v, before *sizing.Piece) Staked {
	var out Staked
	sides := sidesOf(t.printer, v.Corners)
	if works(v) {
		out.AimedBy, out.AimedOn = beam(t.printer, o, v, before)
	}
	if v.Spots() == 1 {
		out.Stakes = append(out.Stakes, t.stand(i, 0, v, t.turned(v, before)))
	} else {
		is := t.to.say("middle: %s", sides.heights())
		if works(v) {
			is += "; " + facing(t.printer, v, before)
		}
		middle := t.spot("", is, sides.middle)
		middle.Middle = true
		out.Stakes = append(out.Stakes, middle)
		at := make(map[*sizing.Support]string, len(v.Supports))
		for _, h := range holds(t.printer, v, &sides) {
			at[h.support] = h.at
		}
		for k := range v.Supports {
			out.Stakes = append(out.Stakes, t.stand(i, k, v, at[&v.Supports[k]]))
		}
		for k := range v.HeldBy {
			h := &v.HeldBy[k]
			is := t.to.say("person %d of %d, holds a side %s up", k+1, len(v.HeldBy), t.to.length(h.Holds.Z, 2))
			out.Stakes = append(out.Stakes, t.spot(StakeMark(i, len(v.Supports)+k, v.Spots()), is, seen(t.printer, h.Stands)))
		}
	}
	out.Stakes = append(out.Stakes, t.anchors(i, v, &sides)...)
	out.Ropes = t.slack(v)
	return out
}

// turned says how a piece on one stand is turned.
func (t *staker) turned(v, before *sizing.Piece) string {
	switch {
	case v.Lamp != nil:
		return aimed(t.printer, v, before)
	case v.Role == finding.RoleCameraShade:
		return shades(t.to, v)
	}
	return facing(t.printer, v, before)
}

// spot is a place in the camera's axes.
func (t *staker) spot(mark, is string, at geom.Vec) Stake {
	const nothing = 0.005 // metres, at two decimals
	s := Stake{Mark: mark, Is: is, Aside: t.to.say("on the axis"), Along: t.to.say("level with it"), At: at}
	switch {
	case at.X >= nothing:
		s.Aside = t.to.say("%s right", t.inFigures(at.X))
	case at.X <= -nothing:
		s.Aside = t.to.say("%s left", t.inFigures(-at.X))
	}
	switch {
	case at.Y >= nothing:
		s.Along = t.to.say("%s behind", t.inFigures(at.Y))
	case at.Y <= -nothing:
		s.Along = t.to.say("%s in front", t.inFigures(-at.Y))
	}
	return s
}

// stand is a support of a piece.
func (t *staker) stand(i, k int, v *sizing.Piece, is string) Stake {
	h := &v.Supports[k]
	s := t.spot(StakeMark(i, k, v.Spots()), is, seen(t.printer, h.Base))
	s.Mast = t.inFigures(h.HeightM)
	if a := h.Arm; a != nil {
		along := a[1].Sub(a[0])
		s.Arm = t.inFigures(along.Len()) + " " + armPoints(t.to, seen(t.printer, along))
	}
	kind := ""
	if slices.ContainsFunc(v.Supports, func(o sizing.Support) bool { return o.Ballast.Quantity > 0 && o.Ballast.SKU != h.Ballast.SKU }) {
		kind = " × " + named(h.Ballast, t.names)
	}
	if h.EachLeg > 0 {
		s.EachLeg = strconv.Itoa(h.EachLeg) + kind + " (" + t.to.say("%d legs", h.Legs) + ")"
	}
	if h.AtMast > 0 {
		s.AtMast = strconv.Itoa(h.AtMast) + kind
	}
	return s
}

// armPoints is the way of an arm over the ground to the nearest eighth of a turn, in the camera's axes.
func armPoints(to Reader, d geom.Vec) string {
	ways := [8]phrase.Key{"way|right", "right and away", "way|away", "left and away", "way|left", "left and to the lens", "to the lens", "right and to the lens"}
	eighth := int(math.Round(math.Atan2(d.Y, d.X) / (math.Pi / 4)))
	return to.say(ways[(eighth+8)%8])
}

// anchors are what a piece's ropes are tied to.
func (t *staker) anchors(i int, v *sizing.Piece, sides *frameSides) (list []Stake) {
	for k := range v.Lines {
		l := &v.Lines[k]
		from := t.to.say("mast %s", StakeMark(i, max(0, l.Support), v.Spots()))
		if l.OnFrame() {
			from = t.to.say("the %s", sides.corner(seen(t.printer, l.From)))
		}
		is := t.to.say("rope from %s, %s to the fixed point %s, %s up", from, slope(t.to, l.To.Sub(l.From)), l.Point, t.to.length(l.To.Z, 2))
		if l.Point == "" {
			away := math.Hypot(l.To.X-l.From.X, l.To.Y-l.From.Y)
			is = t.to.say("%d × %s, %s off: rope from %s, %s", l.Anchor.Quantity, named(l.Anchor, t.names), t.to.length(away, 2), from, slope(t.to, l.To.Sub(l.From)))
		}
		list = append(list, t.spot("", is, seen(t.printer, l.To)))
	}
	return list
}

// slack is what a piece's ropes may bear, and the order to lower it where it does not hold the gust asked without one.
func (t *staker) slack(v *sizing.Piece) string {
	if len(v.Lines) == 0 {
		return ""
	}
	most := 0.0
	for i := range v.Lines {
		most = math.Max(most, v.Lines[i].PullN)
	}
	var says []string
	if most > 0 {
		says = append(says, t.to.say("any of its ropes may pull up to %.0f N, without factor", UpToWhole(most)))
	}
	if v.Hold.RopeGoneMS < t.shot.GustMS {
		says = append(says, t.to.say("a rope that hangs slack: lower it at once"))
	}
	return strings.Join(says, "; ")
}
