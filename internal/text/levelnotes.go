package text

import (
	"fmt"
	"math"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
)

// The light on the subject against what is asked.

func aboutLevels(u Reader, note finding.Note) string {
	switch n := note.(type) {
	case finding.BackgroundApart:
		taken, other, takenEV, otherEV, over := "sides turned to the lens", "the ground", n.UprightEV100, n.LevelEV100, n.ApartStops
		if n.Faces == shot.FacesLevel {
			taken, other, takenEV, otherEV, over = other, taken, otherEV, takenEV, -over
		}
		more := "more"
		if over < 0 {
			more = "less"
		}
		return fmt.Sprintf("The background is taken as %s, EV %.1f; for %s it would be EV %.1f, %.1f stops %s. Read what is behind the people from the lens "+
			"and give it (background.ev100): key and neutral density hang on it.", taken, toTenth(takenEV), other, toTenth(otherEV), math.Abs(over), more)
	case finding.DarkBackground:
		return "There is no light on the background to set the camera by: give background.ev100 as it will be, and ask again. No light is planned."
	case finding.KeyUnlifted:
		return fmt.Sprintf("The key face needs no lift: it has %+.1f stops as it is.", toTenth(n.KeyStops))
	case finding.KeyTooBright:
		return fmt.Sprintf("The key face has %+.1f stops without any lift, %.1f more than the asked %+.1f: turn the subject from the light, or ask for more.",
			n.KeyStops, n.KeyStops-n.AskedStops, n.AskedStops)
	case finding.KeyTooDark:
		return fmt.Sprintf("The key face has %+.1f stops, %.1f less than the asked %+.1f, and no %s of the house that could stand here lifts it.",
			toTenth(n.KeyStops), -(n.KeyStops - n.AskedStops), n.AskedStops, n.By)
	case finding.KeyPlaced:
		return keyPlaced(u, &n)
	case finding.KeyMissed:
		return fmt.Sprintf("The key comes to %+.1f stops, %s than the asked %+.1f: no %s of the house that could stand here comes nearer.",
			toTenth(n.KeyStops), offBy(n.KeyStops-n.AskedStops), n.AskedStops, n.By)
	case finding.ContrastMissed:
		return fmt.Sprintf("Contrast comes to %.1f stops, %s than the asked %.1f.", toTenth(n.ContrastStops), offBy(n.ContrastStops-n.AskedStops), n.AskedStops)
	case finding.FillLeft:
		return fmt.Sprintf("The %s side is left as it is: contrast %.1f stops.", n.Side, toTenth(n.ContrastStops))
	case finding.FillPlaced:
		does := "lifts"
		if n.Darkens {
			does = "darkens"
		}
		return fmt.Sprintf("%s %s off on the %s %s the other side: contrast %.1f stops.",
			array(&n.By, true), u.length(n.DistanceM, 1), n.Side, does, toTenth(n.ContrastStops))
	case finding.KeyBare:
		return fmt.Sprintf("The face is lit by bare %s: in a picture so tight nothing softer of the house brings the level.", n.Face)
	case finding.KeyHard:
		return fmt.Sprintf("What lights the key looks %.0f° across, where a picture so tight wants %.0f°: nothing softer of the house brings the level.",
			n.KeySoftnessDeg, n.AskedDeg)
	case finding.ColourMissed:
		is := fmt.Sprintf("%.0f mired warmer than the sun", n.KeyShiftMired)
		if n.KeyShiftMired <= 0 {
			is = "no warmer than the sun"
		}
		why := "nothing of the house that warms brings its level"
		if n.Unlifted {
			why = "it has its level with nothing put up that could warm it"
		}
		return fmt.Sprintf("The key is %s, where a warm one is warmer by %.0f mired: %s.", is, math.Ceil(n.AskedMired), why)
	case finding.BackMissed:
		return fmt.Sprintf("Hair and shoulders get %+.1f stops against the asked %+.1f.", toTenth(n.BackStops), n.AskedStops)
	case finding.ZoneMissed:
		return fmt.Sprintf("%s gets %+.1f stops against the asked %+.1f: nothing of the house that could stand there comes nearer.",
			upper(n.Zone), n.KeyStops, n.AskedStops)
	default:
		return ""
	}
}

// offBy is by how much more or less something is than what is asked.
func offBy(stops float64) string {
	if stops > 0 {
		return fmt.Sprintf("%.1f more", stops)
	}
	return fmt.Sprintf("%.1f less", math.Abs(stops))
}

func keyPlaced(u Reader, n *finding.KeyPlaced) string {
	s := fmt.Sprintf("%s %s from the subject on the %s", array(&n.By, true), u.length(n.DistanceM, 1), n.Side)
	if n.LosesStopsPerM > 0 {
		further, stops := "0.5 m", n.LosesStopsPerM/2
		if u.feet {
			further, stops = "2 ft", n.LosesStopsPerM*2*footM
		}
		s += fmt.Sprintf("; each %s further back loses %.1f stop", further, stops)
	}
	if n.FlatMirror {
		s += "; a flat mirror loses nothing by distance"
	}
	return s + "."
}

// array is what lights a face, in a sentence: "2 × Silver board 1.1 x 1.1 m, silver side". Where the sentence goes on, the
// side is between commas.
func array(a *finding.Array, goesOn bool) string {
	s := a.Name
	switch {
	case a.Cloth != nil:
		s += " with " + a.Cloth.Name
	case a.Face != "":
		s += ", " + a.Face + " side"
		if goesOn || a.Behind != nil {
			s += ","
		}
	}
	if a.Quantity > 1 {
		s = fmt.Sprintf("%d × %s", a.Quantity, s)
	}
	if a.Behind != nil {
		s += fmt.Sprintf(" behind %s with %s", a.Behind.Frame.Name, a.Behind.Cloth.Name)
	}
	return s
}
