package text

import (
	"math"

	"kitspan/internal/fault"
)

// ofTheSet words faults of the view, the zones and the lamps.
func ofTheSet(to Reader, kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.ViewTooWide:
		return faultWords{
			wrong: to.say("is %s, which shows %.1f m at the subject, wider than %s m", to.decimal(k.FocalMM), k.WidthM, to.decimal(k.MostM)),
			give:  to.say("give at least %.1f mm, or a shorter distance_m", k.LeastFocalMM),
		}
	case fault.TopNotAboveBase:
		return topNotAboveBase(to, k)
	case fault.NobodyInView:
		bottom, top := math.Inf(-1), math.Inf(1)
		if k.BottomM != nil {
			bottom = *k.BottomM
		}
		if k.TopM != nil {
			top = *k.TopM
		}
		return sentence(to.say("the view above the origin, from %.2f to %.2f m, shows nothing between the ground and a standing "+
			"head of %.2f m; give base_m and top_m of what is to be lit, or another aim_height_m", bottom, top, k.HeadM))
	case fault.Overlaps:
		at := "[" + to.decimal(k.CenterM[0]) + ", " + to.decimal(k.CenterM[1]) + "]"
		w := faultWords{wrong: to.say("is %s, where this zone overlaps the main zone", at), give: to.say("move it away or make it smaller")}
		if k.Other != mainZone {
			w.wrong = to.say("is %s, where this zone overlaps %s", at, fieldName(k.Other))
		}
		return w
	case fault.InsideZone:
		p := k.PositionM
		at := "[" + to.decimal(p[0]) + ", " + to.decimal(p[1]) + ", " + to.decimal(p[2]) + "]"
		w := faultWords{wrong: to.say("is %s, inside the main zone", at), give: to.say("give the lamp a place outside every zone")}
		if k.Zone != mainZone {
			w.wrong = to.say("is %s, inside %s", at, fieldName(k.Zone))
		}
		return w
	default:
		return faultWords{} // of another function
	}
}

// mainZone is the pointer of the shot's own zone.
const mainZone = "/shot/zone"

func topNotAboveBase(to Reader, k fault.TopNotAboveBase) faultWords {
	over := to.say("give a top over that base and at most %s m", to.decimal(k.MostM))
	switch k.Defaulted {
	case "base_m":
		return faultWords{
			wrong: to.say("is %s, not above the base, which by default is the bottom of the view, %.2f m", to.decimal(k.TopM), k.BaseM),
			give:  to.say("give a top over that, or a base_m from 0 to under the top"),
		}
	case "top_m":
		return faultWords{
			wrong: to.say("is missing and would be %.2f m, the lower of a standing head and the top of the view, which is not above base_m %s",
				k.TopM, to.decimal(k.BaseM)),
			give: over,
		}
	}
	return faultWords{wrong: to.say("is %s, not above base_m %s", to.decimal(k.TopM), to.decimal(k.BaseM)), give: over}
}
