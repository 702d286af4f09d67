package text

import "math"

// How figures are rounded, wherever they are written: on a page, a sheet, a drawing or in the plan as text. What loads a piece is rounded
// up, what it holds down, all else to the nearest.

// exactEnough keeps arithmetic's last bits from rounding a whole number up or down by one.
const exactEnough = 1e-9

// DownToTenth rounds a limit down to a tenth, so that no more is stated than holds.
func DownToTenth(v float64) float64 { return math.Floor(v*10+exactEnough) / 10 }

// UpToWhole rounds a load up to a whole number, so that no less is stated than there is.
func UpToWhole(v float64) float64 { return math.Ceil(v-exactEnough) + 0 } // -0 becomes 0

// ToNearest rounds to so many decimals, half away from nothing, without leaving a minus before nothing.
func ToNearest(v float64, decimals int) float64 {
	p := math.Pow10(decimals)
	return math.Round(v*p)/p + 0
}
