package finding

import (
	"slices"

	"github.com/bojanz/currency"
)

// Work is a step of the order of work: what putting up one piece takes, or each of several alike.
type Work struct {
	Role   Role
	Lights Lit // of a lamp and the diffuser before it
	Pieces int // alike, 1 at least
	// Machines are placed first, then Ballast lies on the bases, Weights lie at the feet of ropes, or Stakes are driven for them, and Points
	// is how many of the fixed points of the site are used and looked at before.
	Machines, Stakes, Points int
	Ballast, Weights         Goods
	// Trolley means that a team may not carry a bag or block of the ballast by hand.
	Trolley bool
	// Carriers take one bag or block of the ballast, 0 where there is none.
	Carriers int
	// Hands raise it and stay at its stands while Lines, its ropes, are made fast. Stay remain while it is up.
	Hands, Lines, Stay int
	// Teams is in how many those lift it who are more than work well as one; 0 for one team.
	Teams int
	// Aims is how many boards whoever stays aims anew as the sun moves, this the last of them to go up; 0 where nobody aims.
	Aims int
	// Held: those who stay hold it, for each take.
	Held bool
}

// Summary is an option in what a person acts on.
type Summary struct {
	// Overheads are the frames that soften; none where the slice is empty.
	Overheads []Overhead
	// Key and Fill are what shape the light; nil for none. A fill that Darkens is a black panel.
	Key, Fill *Array
	Darkens   bool
	// Other is the window, where it is not the one asked for.
	Other *Hours
	// Moves is how often all of it is moved in the course of the window.
	Moves int
	// Dark means that no light is planned: there is none on the background to set the camera by.
	Dark          bool
	KeyStops      float64
	ContrastStops float64
	PerDay        currency.Amount // the hire
}

// Overhead is a frame that softens, the supports that it is on, and how high its middle is.
type Overhead struct {
	Framed
	On      []Goods
	Hands   int // that hold it, where it is on nothing
	MiddleM float64
}

// Caution is what the numbers of an answer are not, by its code.
type Caution string

// The cautions, in the order in which they are given but for those that come first.
const (
	CautionEstimate  Caution = "estimate"
	CautionQualified Caution = "qualified_people"
	CautionWind      Caution = "wind"
	CautionBallast   Caution = "ballast"
	CautionRopes     Caution = "ropes"
	CautionHands     Caution = "hands"
	CautionOverhead  Caution = "overhead"
	CautionGround    Caution = "ground"
	CautionSun       Caution = "sun_in_mirror"
	CautionMains     Caution = "mains"
	CautionLevels    Caution = "levels"

	// CautionForecast comes last, and only where a forecast was given.
	CautionForecast Caution = "forecast"
)

// FirstCautions is how many of an answer's cautions stand beside its numbers: those that come first.
const FirstCautions = 2

// Cautions returns what every answer says, with those in front that it needs most.
func Cautions(most ...Caution) []Caution {
	all := []Caution{
		CautionEstimate, CautionQualified, CautionWind, CautionBallast, CautionRopes, CautionHands, CautionOverhead, CautionGround,
		CautionSun, CautionMains, CautionLevels,
	}
	return append(slices.Clone(most), slices.DeleteFunc(all, func(c Caution) bool { return slices.Contains(most, c) })...)
}
