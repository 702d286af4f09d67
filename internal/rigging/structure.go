package rigging

import (
	"math"

	"kitspan/internal/geom"
)

// Structure is a rig as one linked structure: a rigid frame, the stands that it joins, [MaxSupports] at most, and ropes, [MaxRopes] at
// most. Points are in metres in any
// axes whose z points up from the ground.
//
// It stands a load where some set of joint, foot, rope and anchor forces is in equilibrium with it. That is a criterion, no proof:
// dry friction has no theorem that promises more (Drucker 1954). So friction is taken low, no answer rests on forces that nothing
// in the rig makes (see the rules below), and every stand is checked against sliding by itself.
//
// What the bodies bear, each as a linear condition or a cone of [ConeSides] sides cut into it:
//
//   - A stand weighs down with its mass and ballast, both over its mast. The forces of its feet add up to one force N ≥ 0 within
//     LeverM = FootprintM·cos(180°/Legs) of the mast, for how its feet are turned is not known.
//   - Its level force H and the twist T about its mast share the friction: |H| + |T|/r ≤ μ·N, r = FootprintM·sin(180°/Legs), which two
//     feet at the tipping edge give. T is the level joint force by the arm, multiplied by N and the lift over N where the
//     joint lifts; a moment about the mast in the joint itself turns the piece in its head before it turns the feet. The same holds with μ times its own weight, ballast and an even share of the frame's weight in place of μ·N, so that
//     no grip comes from wind or ropes that press.
//   - Two and more stands join the frame by balls, which take any force and no moment. Two stands hold it by ears about the
//     line between the points held, which take a moment about that line as well. One stand holds it rigidly.
//   - A joint presses a stand down with at most its safe load, with the even share of the frame's weight and what the wind adds to it,
//     the wind without its factor. In calm air the factored weight has to be within it.
//   - A rope pulls with 0 to the least of its safe pull (which meets the load without factor) and what its anchor bears (with factor).
//     Weights at its foot hold μ·W/(cos α + μ·sin α), W their weight and α the rope's angle with the ground.
//
// Against forces that nothing makes: a rope pulls only where it runs against the level part of the wind on the frame, or against the
// wind and the weight of the frame together. No stand is pushed against the load along either of the frame's two level axes (its
// more level side and the one across it in plan) by more than it would be if all stands gave alike: the level load shared evenly,
// and its moment about the vertical through the middle of the points held by the distance from there. Where a rope may pull, which
// it may do sideways, that holds only along the axis on which the load is larger. A single stand has nothing to lean on.
//
// The loads, all with the velocity pressure q:
//
//   - In the wind, pressed or lifted with the coefficients of [Panel.Wind] square to the frame, a quarter of a side off the
//     middle along one of its two directions at a time (OffWidthM, OffSlopeM of [Wind]), RaiseM higher, drag
//     (alongPanel) by the part of the wind's direction that lies in the frame, at its middle and RaiseM higher, and wind on the masts at
//     half the height of the point held (mastDrag, mastM), in each of [WindDirections] directions, the first along the level part of the
//     frame's normal, or along its first side where it is level. Steeper than 30° the wind blows with the push and not against it.
//     A Round frame is pushed at its middle, RaiseM higher, the
//     first direction being that of the y axis. The factor is on all of that and not on weight.
//   - Calm: the factor on the frame's weight, where there is one, no level force in any joint, no rope.
//   - Tilted: the ground leans by [TiltDeg] in each of [WindDirections] directions, with friction enough, no factor and no rope. The mass
//     of a stand then counts half-way up to the point held, ballast on the ground.
type Structure struct {
	// Frame is the outer edge of what the wind blows on, Solidity as in [Panel], MassKg all that the stands hold.
	Frame    geom.Rect
	Solidity float64
	MassKg   float64
	// Round is set for a box that shows the wind the same side from everywhere, such as a lamp: it is pushed along the wind
	// with the coefficient of an upright panel and is not lifted.
	Round        bool
	Stands       []Stand
	Ropes        []Rope
	Friction     float64
	SafetyFactor float64 // at least 1
}

// Stand is one stand of a [Structure].
type Stand struct {
	// Foot is where the mast meets the ground, Held the point of the frame that it holds, at the end of an arm where it is not
	// over the foot.
	Foot, Held geom.Vec
	FootprintM float64
	Legs       int
	MassKg     float64
	SafeLoadKg float64
}

// LeverM returns the level distance from the mast to the nearest tipping edge, 0 for fewer than three legs.
func (s *Stand) LeverM() float64 {
	if s.Legs < 3 {
		return 0
	}
	return s.FootprintM * math.Cos(math.Pi/float64(s.Legs))
}

// Rope is one rope of a [Structure], from the frame, or from the head of a stand, to an anchor on the ground or elsewhere.
type Rope struct {
	// Stand is the index of the stand from whose head, over its foot at the height of the point held, the rope runs; OnFrame for one
	// that is tied to the frame.
	Stand    int
	From, To geom.Vec
	// SafePullN is the rope's working load.
	SafePullN float64
	// AnchorN is what the anchor bears, 0 for weights: WeightKg of them.
	AnchorN  float64
	WeightKg float64
}

// MaxSupports is how many stands a structure has at most.
const MaxSupports = 4

// OnFrame is in place of the number of a stand for a rope that is tied to the frame.
const OnFrame = -1

const (
	// ConeSides is how many sides the cones of friction and the circles of feet have, cut into them: 32 lose at most
	// 1 − cos(180°/32), 0.48 %.
	ConeSides = 32
	// WindDirections is from how many directions the wind blows.
	WindDirections = 12
	// TiltDeg is the slope on which a rig stays up (the stability test of IEC 62368-1, quoted on a list for product safety).
	TiltDeg = 10
)

// Stability is up to which wind a structure stands.
type Stability struct {
	// SafeToMS is with the factor, GoesAtMS without any; −1 where it does not stand in calm air.
	SafeToMS, GoesAtMS float64
	// Governs is what goes first, and Stand or Rope where, −1 for none.
	Governs     Governs
	Stand, Rope int
}
