package text

import (
	"math"
	"strconv"

	"kitspan/internal/finding"
	"kitspan/internal/phrase"
	"kitspan/internal/shot"
)

// The light on the subject against what is asked.

func aboutLevels(to Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.BackgroundApart:
		return backgroundApart(to, &n)
	case finding.DarkBackground:
		return to.say("There is no light on the background to set the camera by: give background.ev100 as it will be, and ask again. No light is planned.")
	case finding.KeyUnlifted:
		return to.say("The key face needs no lift: it has %+.1f stops as it is.", toTenth(n.KeyStops))
	case finding.KeyTooBright:
		return to.say("The key face has %+.1f stops without any lift, %.1f more than the asked %+.1f: turn the subject from the light, or ask for more.",
			n.KeyStops, n.KeyStops-n.AskedStops, n.AskedStops)
	case finding.KeyTooDark:
		return to.means(n.By, "The key face has %+.1f stops, %.1f less than the asked %+.1f, and no reflector of the house that could stand here lifts it.",
			"The key face has %+.1f stops, %.1f less than the asked %+.1f, and no lamp of the house that could stand here lifts it.",
			toTenth(n.KeyStops), -(n.KeyStops - n.AskedStops), n.AskedStops)
	case finding.KeyPlaced:
		return keyPlaced(to, &n)
	case finding.KeyMissed:
		if by := n.KeyStops - n.AskedStops; by > 0 {
			return to.means(n.By, "The key comes to %+.1f stops, %.1f more than the asked %+.1f: no reflector of the house that could stand here comes nearer.",
				"The key comes to %+.1f stops, %.1f more than the asked %+.1f: no lamp of the house that could stand here comes nearer.",
				toTenth(n.KeyStops), by, n.AskedStops)
		}
		return to.means(n.By, "The key comes to %+.1f stops, %.1f less than the asked %+.1f: no reflector of the house that could stand here comes nearer.",
			"The key comes to %+.1f stops, %.1f less than the asked %+.1f: no lamp of the house that could stand here comes nearer.",
			toTenth(n.KeyStops), math.Abs(n.KeyStops-n.AskedStops), n.AskedStops)
	case finding.ContrastMissed:
		if by := n.ContrastStops - n.AskedStops; by > 0 {
			return to.say("Contrast comes to %.1f stops, %.1f more than the asked %.1f.", toTenth(n.ContrastStops), by, n.AskedStops)
		}
		return to.say("Contrast comes to %.1f stops, %.1f less than the asked %.1f.", toTenth(n.ContrastStops), math.Abs(n.ContrastStops-n.AskedStops), n.AskedStops)
	case finding.FillLeft:
		return to.side(n.Side, "The left side is left as it is: contrast %.1f stops.", "The right side is left as it is: contrast %.1f stops.", toTenth(n.ContrastStops))
	case finding.FillPlaced:
		by, off, contrast := array(to, &n.By, true), to.length(n.DistanceM, 1), toTenth(n.ContrastStops)
		if n.Darkens {
			return to.side(n.Side, "%s %s off on the left darkens the other side: contrast %.1f stops.", "%s %s off on the right darkens the other side: contrast %.1f stops.", by, off, contrast)
		}
		return to.side(n.Side, "%s %s off on the left lifts the other side: contrast %.1f stops.", "%s %s off on the right lifts the other side: contrast %.1f stops.", by, off, contrast)
	case finding.KeyBare:
		return to.say("The face is lit by bare %s: in a picture so tight nothing softer of the house brings the level.", faceAlone(to, n.Face))
	case finding.KeyHard:
		return to.say("What lights the key looks %.0f° across, where a picture so tight wants %.0f°: nothing softer of the house brings the level.",
			n.KeySoftnessDeg, n.AskedDeg)
	case finding.ColourMissed:
		return colourMissed(to, &n)
	case finding.BackMissed:
		return to.say("Hair and shoulders get %+.1f stops against the asked %+.1f.", toTenth(n.BackStops), n.AskedStops)
	case finding.ZoneMissed:
		return to.say("%s gets %+.1f stops against the asked %+.1f: nothing of the house that could stand there comes nearer.",
			upper(n.Zone), n.KeyStops, n.AskedStops)
	default:
		return ""
	}
}

// means is a sentence about reflectors, or the same about lamps.
func (to Reader) means(by finding.Means, reflector, lamp phrase.Key, args ...any) string {
	if by == finding.ByLamp {
		return to.say(lamp, args...)
	}
	return to.say(reflector, args...)
}

// side is a sentence about the left, or the same about the right.
func (to Reader) side(s finding.Side, left, right phrase.Key, args ...any) string {
	if s == finding.Left {
		return to.say(left, args...)
	}
	return to.say(right, args...)
}

func backgroundApart(to Reader, n *finding.BackgroundApart) string {
	taken, otherEV, over := n.UprightEV100, n.LevelEV100, n.ApartStops
	levelTaken := n.Faces == shot.FacesLevel
	if levelTaken {
		taken, otherEV, over = otherEV, taken, -over
	}
	args := []any{toTenth(taken), toTenth(otherEV), math.Abs(over)}
	var s string
	switch less := over < 0; {
	case levelTaken && less:
		s = to.say("The background is taken as the ground, EV %.1f; for sides turned to the lens it would be EV %.1f, %.1f stops less.", args...)
	case levelTaken:
		s = to.say("The background is taken as the ground, EV %.1f; for sides turned to the lens it would be EV %.1f, %.1f stops more.", args...)
	case less:
		s = to.say("The background is taken as sides turned to the lens, EV %.1f; for the ground it would be EV %.1f, %.1f stops less.", args...)
	default:
		s = to.say("The background is taken as sides turned to the lens, EV %.1f; for the ground it would be EV %.1f, %.1f stops more.", args...)
	}
	return s + " " + to.say("Read what is behind the people from the lens and give it (background.ev100): key and neutral density hang on it.")
}

func colourMissed(to Reader, n *finding.ColourMissed) string {
	asked := math.Ceil(n.AskedMired)
	switch warmer := n.KeyShiftMired > 0; {
	case warmer && n.Unlifted:
		return to.say("The key is %.0f mired warmer than the sun, where a warm one is warmer by %.0f mired: it has its level with nothing put up that could warm it.", n.KeyShiftMired, asked)
	case warmer:
		return to.say("The key is %.0f mired warmer than the sun, where a warm one is warmer by %.0f mired: nothing of the house that warms brings its level.", n.KeyShiftMired, asked)
	case n.Unlifted:
		return to.say("The key is no warmer than the sun, where a warm one is warmer by %.0f mired: it has its level with nothing put up that could warm it.", asked)
	}
	return to.say("The key is no warmer than the sun, where a warm one is warmer by %.0f mired: nothing of the house that warms brings its level.", asked)
}

func keyPlaced(to Reader, n *finding.KeyPlaced) string {
	s := to.side(n.Side, "%s %s from the subject on the left", "%s %s from the subject on the right", array(to, &n.By, true), to.length(n.DistanceM, 1))
	if n.LosesStopsPerM > 0 {
		further, stops := to.fixed(0.5, 1)+" m", n.LosesStopsPerM/2
		if to.feet {
			further, stops = "2 ft", n.LosesStopsPerM*2*footM
		}
		s += "; " + to.say("each %s further back loses %.1f stop", further, stops)
	}
	if n.FlatMirror {
		s += "; " + to.say("a flat mirror loses nothing by distance")
	}
	return s + "."
}

// bareFaces are the sides of boards as what lights a face.
var bareFaces = map[string]phrase.Key{"silver": "surface|silver", "mirror": "surface|mirror", "gold": "surface|gold", "soft silver": "surface|soft silver", "white": "surface|white"}

func faceAlone(to Reader, face string) string {
	if k := bareFaces[face]; k != "" {
		return to.say(k)
	}
	return face
}

// array is what lights a face, in a sentence: "2 × Silver board 1.1 x 1.1 m, silver side". Where the sentence goes on, the
// side is between commas.
func array(to Reader, a *finding.Array, goesOn bool) string {
	s := a.Name
	switch {
	case a.Cloth != nil:
		s = to.say("%s with %s", s, a.Cloth.Name)
	case a.Face != "":
		s += ", " + Face(to, a.Face)
		if goesOn || a.Behind != nil {
			s += ","
		}
	}
	if a.Quantity > 1 {
		s = strconv.Itoa(a.Quantity) + " × " + s
	}
	if a.Behind != nil {
		s = to.say("%s behind %s with %s", s, a.Behind.Frame.Name, a.Behind.Cloth.Name)
	}
	return s
}
