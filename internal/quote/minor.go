package quote

import "kitspan/internal/catalog"

// Minor implements [sizing.Pricer]: what counts cost per day in minor units, for comparing rigs. ok is false where an
// item is unknown, has no rate on the desk's date, or does not fit in 64 bits.
func (d *Desk) Minor(counts []catalog.Count) (minor int64, ok bool) {
	for _, c := range counts {
		item := d.stock.Item(c.SKU)
		if item == nil {
			return 0, false
		}
		rate, priced := item.RateOn(d.on)
		if !priced {
			return 0, false
		}
		unit, err := rate.Int64()
		if err != nil {
			return 0, false
		}
		minor += unit * int64(c.Quantity)
	}
	return minor, true
}
