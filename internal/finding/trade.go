package finding

import "github.com/bojanz/currency"

// Measure is something in which one plan is better than another, in the words of the contract.
type Measure string

// The measures, each better the smaller.
const (
	MeasureFrame  Measure = "frame"  // opening area of overheads and sides
	MeasureTotal  Measure = "total"  // of the day: hire, labour and transport
	MeasurePeople Measure = "people" // in all
	MeasureMass   Measure = "mass"   // of the whole kit
	MeasureTime   Measure = "time"   // to rig and to strike
)

// Trade is what a plan takes more than the first of its answer, less where under 0.
type Trade struct {
	FrameM2 float64 // opening area of overheads and sides
	// Sizes is how many sizes of frame of the house its largest frame is up from that of the first.
	Sizes   int
	Total   currency.Amount // of the day
	People  int
	MassKg  float64
	Minutes int // to rig and to strike
}
