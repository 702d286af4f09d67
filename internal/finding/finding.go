// Package finding holds what the engine has to say of a shot beside its numbers, as values: what was found, with the
// quantities that belong to it, their units in the names. Package text makes sentences of them, rest the members of an
// answer; no program has to read a sentence to learn what was found.
//
// [Note] is everything that can be said of an option, [RuledOut] why a frame was not chosen, [Work] a step of the order of
// work, [Summary] an option in one sentence, [Caution] what the numbers are not.
package finding

import (
	"time"

	"kitspan/internal/catalog"
)

// Role is what a piece is there for.
type Role string

// HasMargin reports whether pieces of the role have a margin.
func (r Role) HasMargin() bool { return r == RoleOverhead || r == RoleSide || r == RoleNet }

// The roles of a piece.
const (
	RoleOverhead          Role = "overhead"
	RoleSide              Role = "side"
	RoleReflector         Role = "reflector"
	RoleReflectorDiffuser Role = "reflector_diffuser"
	RoleFill              Role = "fill"
	RoleBlack             Role = "black"
	RoleNet               Role = "net"
	RoleLamp              Role = "lamp"
	RoleLampDiffuser      Role = "lamp_diffuser"
	RoleCameraShade       Role = "camera_shade"
)

// Lit is the side of the people that a lamp is there for.
type Lit string

// The sides.
const (
	LitKey  Lit = "key"
	LitFill Lit = "fill"
	LitBack Lit = "back"
)

// Unpriced is something that the day takes and the house has no price for, so that the total is without it.
type Unpriced string

// What a total may be without.
const (
	UnpricedCarriers  Unpriced = "machine_carriers"
	UnpricedTransport Unpriced = "transport"
	UnpricedPeople    Unpriced = "people"
)

// UnpricedOf returns what a note says is not priced, empty for nothing.
func UnpricedOf(n Note) Unpriced {
	switch n.(type) {
	case MachinesApart:
		return UnpricedCarriers
	case NoTransport:
		return UnpricedTransport
	case NoLabour:
		return UnpricedPeople
	default:
		return ""
	}
}

// LightFrom is what gives a face most of its light: a role of pieces, or what is there anyway.
type LightFrom string

// FromRole returns the pieces of a role as what gives light.
func FromRole(r Role) LightFrom { return LightFrom(r) }

// What gives light without any piece: a hard source straight, through cloths perhaps. FromNone is the dark.
const (
	FromNone   LightFrom = "none"
	FromHard   LightFrom = "hard"
	FromSky    LightFrom = "sky"
	FromGround LightFrom = "ground"
)

// Side is a side of the picture, as the lens sees it.
type Side string

// The sides.
const (
	Left  Side = "left"
	Right Side = "right"
)

// SideOf returns the side of a coordinate, a turn or an angle that is positive to the right; 0 counts as left.
func SideOf(toTheRight float64) Side {
	if toTheRight > 0 {
		return Right
	}
	return Left
}

// Corner is a corner of the zone seen from above; near is toward the lens.
type Corner string

// The corners.
const (
	NearLeft  Corner = "near_left"
	NearRight Corner = "near_right"
	FarLeft   Corner = "far_left"
	FarRight  Corner = "far_right"
)

// CornerOf returns the corner of a point of the zone in the camera's axes: x to the right of the zone's middle, y away from the
// lens.
func CornerOf(x, y float64) Corner {
	switch right, far := x > 0, y > 0; {
	case far && right:
		return FarRight
	case far:
		return FarLeft
	case right:
		return NearRight
	}
	return NearLeft
}

// Item is an item of the house by its SKU and its name.
type Item struct {
	SKU  string `json:"sku"`
	Name string `json:"name"`
}

// ItemOf returns a catalogue's item by SKU and name.
func ItemOf(i *catalog.Item) Item { return Item{SKU: i.SKU, Name: i.Name} }

// Goods is so many of one item.
type Goods struct {
	Item
	Quantity int `json:"quantity"`
}

// Means is what a face is lit by.
type Means string

// The means.
const (
	ByReflector Means = "reflector"
	ByLamp      Means = "lamp"
)

// Source is the label of a hard source: that of a lamp, or [Sun].
type Source string

// Sun is the label of the sun, which no lamp may have.
const Sun Source = "sun"

// Framed is a cloth in a frame.
type Framed struct {
	Frame Item `json:"frame"`
	Cloth Item `json:"cloth"`
}

// Array is one or several equal boards, framed cloths or lamps that work together.
type Array struct {
	Goods
	// Cloth is what the frame carries; nil for a board or a lamp.
	Cloth *Item `json:"cloth,omitempty"`
	// Face is the side of a board that works, in the catalogue's words; empty for a framed cloth or a lamp.
	Face string `json:"face,omitempty"`
	// Behind is the diffuser that it works through; nil for none.
	Behind *Framed `json:"behind,omitempty"`
}

// Span is from one instant to a later one.
type Span struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// Hours are a window of the day by the clocks of the place, HH:MM.
type Hours struct {
	Start string `json:"start"`
	End   string `json:"end"`
}
