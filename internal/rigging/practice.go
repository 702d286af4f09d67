package rigging

// The rules of the trade that this package follows without a published source, in one place. Each is common practice, no
// source, unless it says otherwise; each is there to be changed by somebody who knows better.
const (
	// DefaultSafetyFactor is on every wind action against every dead weight, working load and safe pull. It is that of
	// EN 12811-1 for scaffolds (1.5, from memory).
	DefaultSafetyFactor = 1.5
	// DefaultMaxBags is how many bags or blocks one stand takes before lines are asked for: what lies over the legs of a
	// stand without falling off, and what a hand carries to it in a few minutes.
	DefaultMaxBags = 6
	// CeilingMS is the highest gust that is ever named as a limit: a hurricane's.
	CeilingMS = 60
	// MachineGustMS is where lifting machines come down whatever hangs on them (12.5 m/s for platforms, EN 280, as two
	// pages of the trade quote it). The maker's own figure, where lower, goes before.
	MachineGustMS = 12.5

	// LowerShare of the gust at which a piece goes is when to lower it, and WatchShare of that when to put somebody on watch (the
	// actions at 80 % and 60 % of each structure's limit in the event guide of Cardiff council for Bute Park).
	LowerShare = 0.8
	WatchShare = 0.75

	// mastM is how wide a mast is, and mastDrag its coefficient (a tube, EN 1991-1-4, 7.9, from memory).
	mastM    = 0.05
	mastDrag = 1.2

	// UsableVolume is the share of a vehicle's load space that packed gear fills.
	UsableVolume = 0.75
)

const (
	// pushedUpM is the height over which both ends of what hangs on several stands go up at the same time, with a hand at each
	// (common practice, no source).
	pushedUpM = 3.0
	bothEnds  = 2
)

// maxCount is the most people or vehicles that are ever counted.
const maxCount = 1 << 20

// Lifting and holding by hand.
const (
	// liftFromM is the height at which a lift from the ground has become one by both hands upright: knuckle height of
	// the NIOSH equation (its vertical multiplier is 1 at 75 cm).
	liftFromM = 0.75
	// liftLeastM is how high a frame is lifted at least to be hung on stands.
	liftLeastM = 1.4
	// carriers is how many get their hands to one bag or block.
	carriers = 3
	// trolleyHands walk a trolley and tip a block off it over a leg.
	trolleyHands = 2
	// edgePerHandM is how much of a frame's edge, all round, one pair of hands walks up and keeps from bowing: one for a 4 × 4
	// ft, two for an 8 × 8, three for a 12 × 12, four for a 12 × 20, five for a 20 × 20, seven for a 20 × 30.
	edgePerHandM = 5.0
	// MaxLiftingLead is the largest crew, with no machine to give signals to, in which the one in charge lifts with the others.
	MaxLiftingLead = 4
	// ReaimBoards is how many boards one person aims anew as the sun moves, ReaimReachM how far any two of them are apart at most.
	ReaimBoards = 4
	ReaimReachM = 5.0
	// tagHands guide what a machine lifts, on two tag lines.
	tagHands = 2
	// mainsPerHand is how many lamps on the mains one lamp hand looks after.
	mainsPerHand = 4
	// HoldGustMS is the gust from which hands stay at guyed frames, by their area.
	HoldGustMS = 5.0
	// HandGustMS is the gust in which people let down whatever they hold, however small: in more they are pulled about, and hurt others
	// with it.
	HandGustMS = 5.0
	// HandMinutes is within how long they hold it, breaks included: arms over the head tire in a minute or two.
	HandMinutes = 10
	// HandSideM is the longest side, tubes included, of a frame that one at each side holds: 6 × 6 ft, or 2 × 2 m.
	HandSideM = 2.0
	// HandKg is what each of them holds up with arms raised: 7 kg close to the body at shoulder height (HSE's lifting filter, women, from
	// memory).
	HandKg = 7.0
	// HandLowM and HandHighM are the heights between which hands hold a side: at the hip, and with the arms up.
	HandLowM  = 0.9
	HandHighM = 2.2
	// HandArmM is how far from the side they stand, BodyM the radius of a person, and HeadM how high a head reaches.
	HandArmM = 0.4
	BodyM    = 0.25
	HeadM    = 1.9
	// holdPullN is what one hand holds steadily: 7 kgf (HSE, to keep a load moving, women's figure).
	holdPullN = 7 * GravityMS2
)

// holdHands is how many hands stay at a guyed frame of at least an area: none at what one person can carry off.
var holdHands = [...]struct {
	areaM2 float64
	hands  int
}{{60, 4}, {20, 2}, {5, 1}}

// Minutes of work by one pair of hands, in calm dry weather and on good ground.
const (
	minutesArrive    = 15.0 // look at the ground, unload, lay out
	minutesPiece     = 5.0  // any piece, aimed and secured
	minutesPerM2     = 1.0  // building a frame and lacing its cloth
	minutesMachine   = 20.0 // place a machine, level it, check it
	minutesSupport   = 3.0
	minutesBag       = 0.5
	minutesLine      = 4.0 // with its stake
	minutesWeight    = 5.0
	minutesMains     = 5.0 // cable to a lamp, tested
	minutesWalk      = 2.0 // a frame that is built, from one place to the next
	strikeShare      = 0.6 // striking against rigging
	minutesRoundedTo = 5.0
)
