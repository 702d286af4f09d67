package shot

import (
	"fmt"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
)

// maxReachFrames bounds the frames of one request; common practice, no source.
const maxReachFrames = 50

// FrameFaults names what is wrong with the SKUs that [Reach] is asked about, each by its place under /frames. Without a
// stock, as where the house is unknown, their number and repetition are checked alone.
func FrameFaults(skus []string, stock *catalog.Snapshot) []fault.Fault {
	var r resolver
	switch n := len(skus); {
	case n == 0:
		r.fault("/frames", fault.Missing{Want: fault.WantFrames, Range: &fault.Range{Least: 1, Most: maxReachFrames}})
	case n > maxReachFrames:
		r.fault("/frames", fault.TooMany{Count: n, Most: maxReachFrames})
		return r.faults
	}
	first := map[string]int{}
	for i, sku := range skus {
		at := fmt.Sprintf("/frames/%d", i)
		before, twice := first[sku]
		if twice {
			r.fault(at, fault.Repeated{Got: cut(sku), First: fmt.Sprintf("/frames/%d", before)})
			continue
		}
		first[sku] = i
		if stock == nil {
			continue
		}
		r.item(at, sku, catalog.KindFrame, stock)
	}
	return r.faults
}

// VehicleFaults names what is wrong with the SKU of the vehicle that a plan is limited to.
func VehicleFaults(sku string, stock *catalog.Snapshot) []fault.Fault {
	var r resolver
	r.item("/limits/vehicle_sku", sku, catalog.KindVehicle, stock)
	return r.faults
}

// item refuses a SKU that is of no item of a kind in the house.
func (r *resolver) item(at, sku string, want catalog.Kind, stock *catalog.Snapshot) {
	switch item := stock.Item(sku); {
	case item == nil:
		r.fault(at, fault.UnknownItem{Got: cut(sku), House: stock.House.Slug})
	case item.Kind() != want:
		r.fault(at, fault.WrongKind{Got: cut(sku), Kind: string(item.Kind()), WantKind: string(want)})
	}
}
