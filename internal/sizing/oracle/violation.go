package oracle

import "fmt"

// Rule names one thing that an answer has to keep.
type Rule string

// The rules, in the order in which the checks run.
const (
	RuleFrame      Rule = "frame"      // the corners are the frame's opening, flat, one pair of edges level, near the zone
	RuleCovered    Rule = "covered"    // every ray crosses the opening far enough inside
	RuleMargin     Rule = "margin"     // the margin told is the least one
	RuleInView     Rule = "in_view"    // nothing is in the picture
	RuleClearance  Rule = "clearance"  // the clearance told is the least one
	RuleHead       Rule = "head_room"  // what hangs over people is high enough, the rest off the ground
	RuleSupport    Rule = "support"    // stands hold the frame where it can be held, within what they can do
	RuleByHand     Rule = "by_hand"    // people hold what they can hold, where they can stand, out of the picture
	RuleCamera     Rule = "camera"     // nothing stands where the camera and its operator do
	RuleFabric     Rule = "fabric"     // the fabric fits and does what the role asks, the face is one of its own
	RuleApart      Rule = "apart"      // pieces keep off the people and do not cut each other
	RuleSun        Rule = "in_sun"     // reflectors see the source that they work with, all through the window
	RuleMirror     Rule = "mirror"     // what throws a beam throws it on the zone, corners and all
	RuleVeil       Rule = "veil"       // a diffusing frame stands between its reflectors or lamps and the people
	RuleNet        Rule = "net"        // a net fills the view at its plane, as far as told, and has the strength asked
	RuleShade      Rule = "lens_shade" // a lens shade stops its source, and what falls on the lens has one or a note
	RuleBackground Rule = "background" // reference and density are those of the light
	RuleLevel      Rule = "level"      // levels told are those that rays find
	RuleEven       Rule = "uniformity" // the spread told is that of the zone
	RuleSoftness   Rule = "softness"   // what an option says gives the key most does, and looks as large as it says
	RuleColour     Rule = "colour"     // the shift told is that of the key's light, and nothing tints a key that is to be neutral
	RuleEffect     Rule = "effect"     // a fill lifts, a black darkens
	RuleStrength   Rule = "strength"   // the diffusion is as strong as brings back and contrast nearest to what is asked
	RuleGain       Rule = "gain"       // each piece on the fill side brings a sixth of a stop
	RuleServes     Rule = "serves"     // what is said to do what the look asks does it, what does not is said
	RuleReaim      Rule = "reaim"      // boards are aimed anew when the sun has carried their beam off, not later
	RuleTrim       Rule = "trim"       // the table of distances runs through the plan
	RuleStock      Rule = "stock"      // no more than the house owns
	RuleKit        Rule = "kit"        // the kit is what the pieces use, and the money adds up
	RuleLoad       Rule = "load"       // mass and volume are those of the kit
	RuleWind       Rule = "wind"       // what the wind does to a piece at the gust asked
	RuleGust       Rule = "gusts"      // the gusts told are those up to which it holds, stands and stays, and what goes first is named
	RuleBallast    Rule = "ballast"    // ballast lies on stands, as much as it takes
	RuleLines      Rule = "lines"      // guy lines are whole, in order, and out of everybody's way
	RuleWorkable   Rule = "workable"   // what is said to be workable holds and keeps the limits, what does not is said
	RuleCrew       Rule = "crew"       // people and minutes are those that the pieces take
	RuleLabour     Rule = "labour"     // the crew is priced
	RuleTransport  Rule = "transport"  // vehicles carry the load, none that need not
	RuleCurve      Rule = "wind_curve" // other gusts take what can be, more wind no less
	RuleSources    Rule = "sources"    // which sources are hard, and where they stand
	RuleRuledOut   Rule = "ruled_out"  // exactly the smaller frames are listed, with a shortfall
	RuleOptions    Rule = "options"    // labels, windows and order of the options
	RuleSmallest   Rule = "smallest"   // no smaller frame does it
	RuleMonotone   Rule = "monotone"   // asking for more never gives less
	RuleSymmetry   Rule = "symmetry"   // turning or mirroring the scene turns or mirrors the answer
	RuleRepeat     Rule = "repeatable" // the same input gives the same answer
)

// Violation is one rule broken, by how many metres (or the unit that the detail names), and where.
type Violation struct {
	Rule   Rule
	By     float64
	Detail string
}

func (v Violation) String() string { return fmt.Sprintf("%s by %.4f: %s", v.Rule, v.By, v.Detail) }

func broken(rule Rule, by float64, format string, args ...any) Violation {
	return Violation{Rule: rule, By: by, Detail: fmt.Sprintf(format, args...)}
}

// Tolerances, metres. A placement is printed to 0.1 mm and its corners are promised flat to 1 mm, so a check at
// that accuracy allows 1 mm; the reported margin and clearance are allowed what two samplings of the same thing differ.
const (
	placeTolM     = 0.001
	marginTolM    = 0.002
	clearanceTolM = 0.002
)
