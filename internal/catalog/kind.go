package catalog

import "slices"

var kinds = []Kind{
	KindFrame, KindFabric, KindReflector, KindSupport, KindBallast, KindLine, KindAnchor, KindLamp, KindVehicle,
	KindLabour, KindAccessory, KindExpendable,
}

// Kinds returns all kinds in the order of a kit list.
func Kinds() []Kind { return slices.Clone(kinds) }

// KindOrder returns the place of a kind in a kit list, from 0; an unknown kind comes last.
func KindOrder(k Kind) int {
	if n := slices.Index(kinds, k); n >= 0 {
		return n
	}
	return len(kinds)
}

// NewSpec returns an empty spec of a kind, always a pointer (*[Frame], *[Fabric], …); nil for an unknown kind.
func NewSpec(k Kind) Spec {
	switch k {
	case KindFrame:
		return new(Frame)
	case KindFabric:
		return new(Fabric)
	case KindReflector:
		return new(Reflector)
	case KindSupport:
		return new(Support)
	case KindBallast:
		return new(Ballast)
	case KindLine:
		return new(Line)
	case KindAnchor:
		return new(Anchor)
	case KindLamp:
		return new(Lamp)
	case KindVehicle:
		return new(Vehicle)
	case KindLabour:
		return new(Labour)
	case KindAccessory:
		return new(Accessory)
	case KindExpendable:
		return new(Expendable)
	default:
		return nil
	}
}

// Kind of each spec.
func (*Frame) Kind() Kind      { return KindFrame }
func (*Fabric) Kind() Kind     { return KindFabric }
func (*Reflector) Kind() Kind  { return KindReflector }
func (*Support) Kind() Kind    { return KindSupport }
func (*Ballast) Kind() Kind    { return KindBallast }
func (*Line) Kind() Kind       { return KindLine }
func (*Anchor) Kind() Kind     { return KindAnchor }
func (*Lamp) Kind() Kind       { return KindLamp }
func (*Vehicle) Kind() Kind    { return KindVehicle }
func (*Labour) Kind() Kind     { return KindLabour }
func (*Accessory) Kind() Kind  { return KindAccessory }
func (*Expendable) Kind() Kind { return KindExpendable }
