package text

import (
	"fmt"
	"math"

	"kitspan/internal/fault"
)

// ofTheSet words faults of the view, the zones and the lamps.
func ofTheSet(kind fault.Kind) faultWords {
	switch k := kind.(type) {
	case fault.ViewTooWide:
		return faultWords{
			wrong: fmt.Sprintf("is %s, which shows %.1f m at the subject, wider than %s m", decimal(k.FocalMM), k.WidthM, decimal(k.MostM)),
			give:  fmt.Sprintf("give at least %.1f mm, or a shorter distance_m", k.LeastFocalMM),
		}
	case fault.TopNotAboveBase:
		return topNotAboveBase(k)
	case fault.NobodyInView:
		bottom, top := math.Inf(-1), math.Inf(1)
		if k.BottomM != nil {
			bottom = *k.BottomM
		}
		if k.TopM != nil {
			top = *k.TopM
		}
		return sentence(fmt.Sprintf("the view above the origin, from %.2f to %.2f m, shows nothing between the ground and a standing "+
			"head of %.2f m; give base_m and top_m of what is to be lit, or another aim_height_m", bottom, top, k.HeadM))
	case fault.Overlaps:
		return faultWords{
			wrong: fmt.Sprintf("is [%s, %s], where this zone overlaps %s", decimal(k.CenterM[0]), decimal(k.CenterM[1]), zoneName(k.Other)),
			give:  "move it away or make it smaller",
		}
	case fault.InsideZone:
		p := k.PositionM
		return faultWords{
			wrong: fmt.Sprintf("is [%s, %s, %s], inside %s", decimal(p[0]), decimal(p[1]), decimal(p[2]), zoneName(k.Zone)),
			give:  "give the lamp a place outside every zone",
		}
	default:
		return faultWords{} // of another function
	}
}

func topNotAboveBase(k fault.TopNotAboveBase) faultWords {
	over := "give a top over that base and at most " + decimal(k.MostM) + " m"
	switch k.Defaulted {
	case "base_m":
		return faultWords{
			wrong: fmt.Sprintf("is %s, not above the base, which by default is the bottom of the view, %.2f m", decimal(k.TopM), k.BaseM),
			give:  "give a top over that, or a base_m from 0 to under the top",
		}
	case "top_m":
		return faultWords{
			wrong: fmt.Sprintf("is missing and would be %.2f m, the lower of a standing head and the top of the view, which is not above base_m %s",
				k.TopM, decimal(k.BaseM)),
			give: over,
		}
	}
	return faultWords{wrong: fmt.Sprintf("is %s, not above base_m %s", decimal(k.TopM), decimal(k.BaseM)), give: over}
}

// zoneName is a zone by its pointer.
func zoneName(pointer string) string {
	if pointer == "/shot/zone" {
		return "the main zone"
	}
	return fieldName(pointer)
}
