package shot

import (
	"fmt"

	"kitspan/internal/catalog"
)

// maxReachFrames bounds the frames of one request; common practice, no source.
const maxReachFrames = 50

// FrameFaults names what is wrong with the SKUs that [Reach] is asked about, each by its place under /frames. Without a
// stock, as where the house is unknown, their number and repetition are checked alone.
func FrameFaults(skus []string, stock *catalog.Snapshot) []Fault {
	var r resolver
	switch n := len(skus); {
	case n == 0:
		r.fault("/frames", "frames is missing or empty; give the SKUs of 1 to %d frames of the house", maxReachFrames)
	case n > maxReachFrames:
		r.fault("/frames", "frames has %d; give at most %d", n, maxReachFrames)
		return r.faults
	}
	first := map[string]int{}
	for i, sku := range skus {
		at := fmt.Sprintf("/frames/%d", i)
		before, twice := first[sku]
		if twice {
			r.fault(at, "frames[%d] is %s, as frames[%d] is; give each frame once", i, quoted(sku), before)
			continue
		}
		first[sku] = i
		if stock == nil {
			continue
		}
		switch item := stock.Item(sku); {
		case item == nil:
			r.fault(at, "frames[%d] is %s, which house %s does not have; give the SKUs of its frames", i, quoted(sku), stock.House.Slug)
		case item.Kind() != catalog.KindFrame:
			r.fault(at, "frames[%d] is %s, an item of kind %s; give the SKU of a frame", i, quoted(sku), item.Kind())
		}
	}
	return r.faults
}
