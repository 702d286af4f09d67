package web

import (
	"strconv"

	"github.com/bojanz/currency"

	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// priceBar is a day's price as one bar of what it is made of; the bars of the options of an answer are to one scale.
type priceBar struct {
	Shares []priceShare
	// Whole is the width of all of them.
	Whole string
}

// priceShare is one of the shares: its offset and width on the bar, of 100 for the dearest option.
type priceShare struct {
	Class  string // hire, labour or transport
	Amount currency.Amount
	X, W   string
}

// setBars gives each option its bar.
func setBars(list []optionView) {
	most := 0.0
	for i := range list {
		most = max(most, valueOf(list[i].TotalPerDay))
	}
	if most <= 0 {
		return
	}
	for i := range list {
		o := &list[i]
		o.Bar = barOf(o.Kit.PerDay, o.Labour.PerDay, o.Transport.PerDay, most)
	}
}

// barOf is the bar of three shares, of which most is 100 wide.
func barOf(hire, labour, transport currency.Amount, most float64) (bar priceBar) {
	at := 0.0
	for _, share := range []priceShare{{Class: "hire", Amount: hire}, {Class: "labour", Amount: labour}, {Class: "transport", Amount: transport}} {
		width := 100 * valueOf(share.Amount) / most
		share.X, share.W = strconvFixed(at, 2), strconvFixed(width, 2)
		at += width
		bar.Shares = append(bar.Shares, share)
	}
	bar.Whole = strconvFixed(at, 2)
	return bar
}

// valueOf is an amount to draw with.
func valueOf(a currency.Amount) float64 {
	v, err := strconv.ParseFloat(a.Number(), 64)
	if err != nil {
		return 0 // an amount is a decimal number
	}
	return v
}

// largestFrame names the largest frame overhead or at the side of an option; empty where there is none.
func largestFrame(o *sizing.Option) string {
	name, most := "", 0.0
	names := namesOf(o)
	for i := range o.Pieces {
		p := &o.Pieces[i]
		if (p.Role == finding.RoleOverhead || p.Role == finding.RoleSide) && p.OuterAreaM2 > most && len(p.Items) > 0 {
			name, most = names[p.Items[0].SKU], p.OuterAreaM2
		}
	}
	return name
}
