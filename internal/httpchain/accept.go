package httpchain

import (
	"mime"
	"strconv"
	"strings"
)

// Accepted returns which of the media types on offer a client would rather have by the values of its Accept header (RFC 9110, 12.5.1), the
// first of those that it likes best; empty where it takes none. Without the header, or with an empty one, everything is welcome.
//
// Of the ranges that an offer falls in, the narrowest counts. Parameters other than the weight are not looked at, a range that cannot be
// read is passed over, and a lone * stands for */*, as some clients write it.
func Accepted(header []string, offers ...string) string {
	list := strings.Join(header, ",")
	if strings.Trim(list, " \t,") == "" {
		return offers[0]
	}
	best, bestWeight := "", 0.0
	weights := weightsOf(list)
	for _, offer := range offers {
		kind, _, _ := strings.Cut(offer, "/")
		for _, by := range []string{offer, kind + "/*", "*/*"} {
			if w, ok := weights[by]; ok {
				if w > bestWeight {
					best, bestWeight = offer, w
				}
				break
			}
		}
	}
	return best
}

// weightsOf are the ranges of an Accept header, each with the weight that it is given first.
func weightsOf(list string) map[string]float64 {
	weights := map[string]float64{}
	for each := range strings.SplitSeq(list, ",") {
		wanted, params, err := mime.ParseMediaType(each)
		if err != nil {
			continue
		}
		if wanted == "*" {
			wanted = "*/*"
		}
		weight := 1.0
		if q, ok := params["q"]; ok {
			if weight, err = strconv.ParseFloat(q, 64); err != nil || !(weight >= 0 && weight <= 1) {
				continue
			}
		}
		if _, again := weights[wanted]; !again {
			weights[wanted] = weight
		}
	}
	return weights
}
