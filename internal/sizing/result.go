package sizing

import (
	"slices"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/price"
	"kitspan/internal/rigging"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// Result is the answer to one shot.
type Result struct {
	Shot       shot.Shot
	Sources    []scene.SourceTrack
	Background scene.BackgroundLevel
	Options    []Option // best first
	RuledOut   []finding.RuledOut
	Ladder     []Rung // by the shot's CrewLadder
	// WidestZoneM is the widest zone, all else equal, that a frame of the house covers here with supports it has;
	// 0 where not even a sliver is covered.
	WidestZoneM float64
	Cautions    []finding.Caution
	// Forecast is from when to when the forecast speaks of the days of the shot's window; nil where it does not, or none was given.
	Forecast *finding.Span
}

// Rung is the best plan that so many people can light.
type Rung struct {
	Crew   int
	Option Option
}

// Label is the kind of a plan.
type Label string

// The options in the order of the scheme.
const (
	LabelOverhead   Label = "overhead-and-reflector"
	LabelOnLift     Label = "overhead-on-lift"
	LabelMoved      Label = "overhead-moved"
	LabelReflectors Label = "reflectors-only"
	LabelLamps      Label = "lamps"
	LabelOtherHour  Label = "other-hour"
	LabelHandHeld   Label = "hand-held"
)

// Option is one workable (or nearly workable) plan.
type Option struct {
	Label Label
	// Name tells the option from others of the answer: its label, with a number from 2 on where there are several of one.
	Name    string
	Summary finding.Summary
	// Workable means that no limit is broken, the gust included, and that softening is done where it is required.
	Workable bool
	// State says whether it does what is asked. Broken are the limits that it breaks, the gust of each piece that does not hold it
	// among them; GivesUp is what of the look it does not do, what weighs most first.
	State   finding.State
	Broken  []finding.Note
	GivesUp []finding.Shortfall
	// BestIn is in what no option of as good a state takes less; Trade is what it takes more than the first.
	BestIn []finding.Measure
	Trade  finding.Trade
	Window shot.Window
	// SwitchOff are the labels of lamps of the shot that are off in this plan.
	SwitchOff []string
	// Pieces are what stands, until the first of Moves where there are any.
	Pieces []Piece
	// Moves bring the pieces to other places in the course of the window, in the order of time; empty for all options but [LabelMoved].
	// Background, Levels, Trim, ReaimMin and Order are of the time before the first of them; GivesUp is the worst of all parts of the
	// window, Kit is enough for every part and Crew for every part and every move. See [Option.Part].
	Moves []Move
	// Background is that of the option's own window.
	Background scene.BackgroundLevel
	Levels     lighting.Levels
	// Trim is the key level against the distance of the key reflectors or lamps, nearest first; empty where none is
	// placed.
	Trim []lighting.TrimStep
	// Crew is who puts it up, holds it and works it.
	Crew rigging.Crew
	// Order is the order of work, equal pieces that follow each other in one step.
	Order []finding.Work
	// ReaimMin is after how many minutes a beam that is aimed has left the zone with the sun; nil where no piece is
	// aimed.
	ReaimMin *float64
	// Kit is what is hired, machines included; Labour the people by the day, operators included; Transport the vehicles
	// with their drivers.
	Kit, Labour, Transport price.Kit
	// TotalPerDay is the sum of the three.
	TotalPerDay currency.Amount
	Load        Load
	// Haul is the vehicles that bring it, with the trips of each kind together; empty where the house's cannot.
	Haul   []Trips
	PowerW float64 // that the lamps of the kit draw together, from mains and batteries
	Power  Power
	// Wind is what it takes in each gust of [CurveMS].
	Wind  []WindStep
	Notes []finding.Note

	rank       overhead.Rank // by what the user prefers
	areaM2     float64       // of overheads and sides
	totalMinor int64         // of the day, in minor units
	lifted     bool          // the key is as asked
	mirrors    bool          // a piece throws the sun as a mirror does
	scheme     scheme
	// first is what is given up before the first of Moves, where there are any.
	first []finding.Shortfall
	// arranged is what the option was made of, until its wind curve is drawn: one arrangement for each part of its window.
	arranged []*lighting.Arrangement

	onFrontier bool // it is one of those between which a crew would choose
}

// Move is the pieces brought to other places in the middle of a window.
type Move struct {
	// Window is the part of the option's that begins with the move.
	Window shot.Window
	// Minutes is what lowering, walking and raising takes of that, rounded up to five, in which nothing is shot; Hands are those at it at
	// its largest moment, with those who stay at what does not move.
	Minutes, Hands int
	// Pieces are all that stands in that part, whether it was moved or not.
	Pieces     []Piece
	Background scene.BackgroundLevel
	Levels     lighting.Levels
	Trim       []lighting.TrimStep
	ReaimMin   *float64
	GivesUp    []finding.Shortfall
	Notes      []finding.Note // on these pieces
}

// Parts is in how many parts the option's window is cut: one, and one more for each move.
func (o *Option) Parts() int { return 1 + len(o.Moves) }

// Part returns the option as it stands in a part of its window, from 0 on: what stands, the light of that and the notes on it are of the
// part, what it takes is of the whole. The one part of an option that is not moved is the option.
func (o *Option) Part(k int) Option {
	out := *o
	switch {
	case len(o.Moves) == 0:
	case k == 0:
		out.Window, out.GivesUp = shot.WindowBetween(o.Window.From, o.Moves[0].Window.From), o.first
	default:
		m := &o.Moves[k-1]
		out.Window, out.Pieces, out.Background, out.Levels, out.Trim, out.ReaimMin = m.Window, m.Pieces, m.Background, m.Levels, m.Trim, m.ReaimMin
		out.GivesUp, out.Notes, out.Order = m.GivesUp, m.Notes, nil
	}
	out.Moves = nil
	return out
}

// TotalWithout returns what the day takes that is not in its total, each once.
func (o *Option) TotalWithout() []finding.Unpriced {
	var out []finding.Unpriced
	for _, n := range o.Notes {
		if u := finding.UnpricedOf(n); u != "" && !slices.Contains(out, u) {
			out = append(out, u)
		}
	}
	return out
}

// Serves reports whether the option does what the look asks.
func (o *Option) Serves() bool { return len(o.GivesUp) == 0 }

// Has reports whether the option has a piece of any of the roles.
func (o *Option) Has(roles ...finding.Role) bool {
	return slices.ContainsFunc(o.Pieces, func(v Piece) bool { return slices.Contains(roles, v.Role) })
}

// Trips is so many vehicles of one kind, and how often they drive together.
type Trips struct {
	catalog.Count
	Trips int
}

// Load is the mass and packed volume of the whole kit.
type Load struct {
	MassKg   float64
	VolumeM3 float64
}

// Piece is one placed frame, board or lamp with what holds it.
type Piece struct {
	Role   finding.Role
	Face   string // the colour of the working side, in the catalogue's words
	Serves string // "main" or the label of another zone
	// Lights is the side that a lamp, or the diffuser before it, is there for; empty for any other role.
	Lights finding.Lit
	Covers []string
	Items  []catalog.Count
	// Corners are the opening's corners in order around it; a board's those of its sheet. Not for a lamp.
	Corners [4]geom.Vec
	// Aim is where a board that throws a beam sends it in mid-window; nil for every other piece.
	Aim *geom.Vec
	// Lamp is where a lamp stands and where it points; nil for every other piece.
	Lamp *LampPlace
	// MarginM is the least distance inside the opening's edge at which a ray crosses, over zone, sources and window; a
	// net's: by how much it exceeds the view at its plane. Other roles have none.
	MarginM float64
	// ViewClearanceM is the least distance across the lens axis between any part of the piece and the view; 100 where
	// the piece lies wholly behind the lens.
	ViewClearanceM float64
	OuterAreaM2    float64
	Supports       []Support
	// HeldBy are the people who hold it, where it stands on nothing; of a frame that is carried along, in the middle of the way.
	HeldBy []Hand
	Lines  []GuyLine
	Hold   Hold
	// Stands are the times of Result.Forecast in which the piece may stand by the forecast, and OnWatch those of them in which it stands
	// on watch, both in order and apart from each other.
	Stands, OnWatch []finding.Span

	topM float64 // of its highest part
}

// Faces returns the way that a piece with corners looks, a unit vector; they run anticlockwise seen from there. It is a board's working
// side, of a diffusing frame the side that the light comes in by, of a net or a lens shade either.
func (v *Piece) Faces() geom.Vec {
	c := &v.Corners
	return c[1].Sub(c[0]).Cross(c[3].Sub(c[0])).Unit()
}

// Spots returns on how many places of the ground it is held: the stands, and the people who hold it.
func (v *Piece) Spots() int { return len(v.Supports) + len(v.HeldBy) }

// Hold is what the wind does to a piece and up to which gust it stands.
type Hold struct {
	AreaM2 float64 // outer
	// PressurePa, Coefficient and ForceN are at the gust asked: force = coefficient × pressure × area.
	PressurePa, Coefficient, ForceN float64
	rigging.Hold
	// RopeGoneMS is the gust up to which it holds with the safety factor when its worst rope is gone; 0 where it has none, or would
	// not stand then.
	RopeGoneMS float64
}

// GuyLine is one rope from the frame, or from the head of a support, to its anchor.
type GuyLine struct {
	SKU string
	// Support is the index of the support from whose head it runs, [rigging.OnFrame] for the frame.
	Support  int
	From, To geom.Vec
	// Anchor is what it is tied to, none where that is the fixed point of the user's called Point.
	Anchor catalog.Count
	Point  string
	// PullN is the most that any rope of the piece has to bear for working in the gust asked: without the safety factor, at the gust of
	// which it is 80 %.
	PullN float64
}

// OnFrame reports whether it is tied to the frame and not to the head of a support.
func (l *GuyLine) OnFrame() bool { return l.Support == rigging.OnFrame }

// Hand is a person who holds a side of a frame: where they stand, and where their hands are.
type Hand struct{ Stands, Holds geom.Vec }

// LampPlace is a lamp's position and the point that it is aimed at.
type LampPlace struct{ Position, Aim geom.Vec }

// Support is one stand or machine in its place.
type Support struct {
	SKU        string
	Base       geom.Vec // on the ground, z 0
	HeightM    float64
	FootprintM float64
	// Arm runs from the mast's top to the point that it holds; nil where the load sits on the mast.
	Arm *[2]geom.Vec
	// Ballast lies on its base: EachLeg on every one of Legs, the rest at the foot of the mast. No quantity, no ballast.
	Ballast       catalog.Count
	Legs, EachLeg int
	AtMast        int
	// MastNM is the largest bending moment at the foot of the mast at the gust asked, without the safety factor; 0 for a machine, whose
	// maker's table counts.
	MastNM float64
}
