package sizing

import (
	"math"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
)

// Ranges of margins, wind and limits, common practice, no source: nothing is hung out in the wind of a hurricane.
var (
	allowanceBound = bound{lo: 0, hi: 5, unit: "m"}
	headBound      = bound{lo: 0, hi: 60, unit: "m above the ground"}
	gustBound      = bound{lo: 0, hi: 60, unit: "m/s"}
	meanWindBound  = bound{lo: 0, hi: 39, unit: "m/s (a gust of 59 m/s)"}
	crewBound      = bound{lo: 1, hi: 1000, unit: "people"}
)

const (
	defaultCoverM       = 0.15
	defaultViewM        = 0.10
	defaultGustMS       = 8.0
	defaultSafetyFactor = 1.5

	// Head room (common practice, no source): people stand in a zone whose top is at least standingTopM, and anyone
	// walks under standingHeadRoomM; over a lower zone the frame clears it by lowHeadRoomM.
	standingTopM      = 1.5
	standingHeadRoomM = 2.1
	lowHeadRoomM      = 0.3
)

func (r *resolver) allowance(d DraftAllowance, view resolvedView) Allowance {
	head := standingHeadRoomM
	if view.zone.TopM < standingTopM {
		head = view.zone.TopM + lowHeadRoomM
	}
	var a Allowance
	a.CoverM, _ = r.number("/shot/allowance/cover_m", d.CoverM, defaultCoverM, allowanceBound)
	a.ViewM, _ = r.number("/shot/allowance/view_m", d.ViewM, defaultViewM, allowanceBound)
	a.HeadM, _ = r.number("/shot/allowance/head_m", d.HeadM, head, headBound)
	return a
}

// gustPerMean is the 3-second gust over the 10-minute mean at 10 m above open country: √(1 + 7·I_v) with the
// turbulence I_v = 1/ln(z/z0), z0 0.05 m (EN 1991-1-4 terrain category II, peak factor 3.5), 1.5235 at z = 10 m.
//
// It stays at 10 m, where forecasts give their mean, because the pieces are not chosen yet. Lower down the mean falls
// faster than the ratio rises (at 4 m the gust is 1.33 times the mean at 10 m), so that the figure errs on the safe
// side for pieces up to 10 m; above, it falls short by 2.5 % at 12 m and 5.5 % at 15 m.
var gustPerMean = math.Sqrt(1 + 7/math.Log(10/0.05))

// gust reads the gust at the piece, or turns a forecast's mean into one.
func (r *resolver) gust(gust, mean *float64) float64 {
	if mean == nil || gust != nil {
		value, _ := r.number("/shot/gust_ms", gust, defaultGustMS, gustBound)
		if mean != nil {
			r.fault("/shot/mean_wind_ms", "mean_wind_ms is given beside gust_ms; give one of them, the gust where it is known")
		}
		return value
	}
	value, _ := r.check("/shot/mean_wind_ms", *mean, meanWindBound)
	return value * gustPerMean
}

// limits reads what an option may take. Whether a price is in the house's currency is the catalogue's to say.
func (r *resolver) limits(d DraftLimits) Limits {
	var l Limits
	if d.Crew != nil {
		if _, ok := r.check("/limits/crew", float64(*d.Crew), crewBound); ok {
			crew := *d.Crew
			l.Crew = &crew
		}
	}
	if d.PricePerDay != nil {
		price := *d.PricePerDay
		r.price("/limits/price_per_day", price)
		l.PricePerDay = &price
	}
	return l
}

// price refuses an amount that is no price: an unknown currency, or what the catalogue would not take as a rate.
func (r *resolver) price(pointer string, a currency.Amount) {
	if _, known := currency.GetDigits(a.CurrencyCode()); !known {
		r.fault(pointer+"/currency", "currency is %s; give a code of ISO 4217 such as EUR", quoted(a.CurrencyCode()))
		return
	}
	if _, err := catalog.ParseMoney(a.Number(), a.CurrencyCode()); err != nil {
		r.fault(pointer+"/amount", "amount is no price: %v", err)
	}
}
