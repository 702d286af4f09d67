package anchorage

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/rigging"
	"kitspan/internal/scene"
)

// Piece is what is to be held in the wind: a frame, a board or a lamp on its masts, in the camera's axes.
type Piece struct {
	// Outer is its outer edge, Solidity as in [rigging.Panel]. A lamp is Round: a square that turns with the wind, see [Boxed].
	Outer    geom.Rect
	Solidity float64
	Round    bool
	// MassKg hangs on the masts; HouseMS is the gust that the rental house allows it, 0 for none.
	MassKg, HouseMS float64
	Masts           []Mast
	// Hands hold it where it stands on nothing.
	Hands int
}

// Boxed returns what stands for a lamp, or any other box whose sides are not known, by its packed volume and middle: an upright
// square of the side of a cube of that volume. It errs on the safe side: the packed volume is more than the lamp's, and a
// cube draws less than a signboard (1.05 against 1.8, from memory).
func Boxed(packedM3 float64, middle geom.Vec) geom.Rect {
	half := math.Cbrt(math.Max(0, packedM3)) / 2
	return geom.Rect{Center: middle, U: geom.Vec{X: 1}, V: geom.Vec{Z: 1}, HalfU: half, HalfV: half}
}

// Panel returns the piece as one in the wind.
func (p *Piece) Panel() rigging.Panel { return rigging.PanelOf(&p.Outer, p.Solidity) }

// limitMS returns the gust that the house, or the maker of a machine under it, allows the piece, and which of the masts is the
// machine, −1 where it is the house; 0 for none.
func (p *Piece) limitMS() (gustMS float64, mast int) {
	gustMS, mast = p.HouseMS, -1
	for i := range p.Masts {
		if p.Masts[i].Support.Spec.Class == catalog.ClassMachine && (gustMS <= 0 || gustMS > rigging.MachineGustMS) {
			gustMS, mast = rigging.MachineGustMS, i
		}
	}
	return gustMS, mast
}

// OnMachines reports whether machines hold the piece, which takes no ballast and no ropes then.
func (p *Piece) OnMachines() bool {
	for i := range p.Masts {
		if p.Masts[i].Support.Spec.Class == catalog.ClassMachine {
			return true
		}
	}
	return false
}

// structure returns the piece with ropes as package rigging takes it.
func (t *Planner) structure(p *Piece, ropes []rigging.Rope) *rigging.Structure {
	s := &rigging.Structure{
		Frame: p.Outer, Solidity: p.Solidity, Round: p.Round, MassKg: p.MassKg, Friction: t.ground.Friction, SafetyFactor: t.safety, Ropes: ropes,
	}
	for i := range p.Masts {
		m := &p.Masts[i]
		s.Stands = append(s.Stands, rigging.Stand{
			Foot: m.Base, Held: m.Held, FootprintM: m.Support.Spec.FootprintM, Legs: m.Support.Spec.Legs,
			MassKg: m.Support.Item.MassKg, SafeLoadKg: m.Support.Spec.SafeLoadKg,
		})
	}
	return s
}

// SolidityOf returns the share of a fabric that stops the wind: an open net lets some through, anything woven counts as closed.
func SolidityOf(f *catalog.Fabric) float64 {
	if f.Use == catalog.UseNet {
		return f.Solidity
	}
	return 1
}

// Surroundings are what ropes have to keep clear of.
type Surroundings struct {
	Stage *scene.Stage
	// Cut reports whether something stands in a rope's way.
	Cut func(from, to geom.Vec) bool
}
