package terms

import (
	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
)

// Draft is terms as they were given, by the names of the contract: what is nil or empty was not said.
type Draft struct {
	ValidFrom      *string         `json:"valid_from,omitzero"`
	ChargedDays    []int           `json:"charged_days,omitzero"`
	PrepareDays    *int            `json:"prepare_days,omitzero"`
	ReturnDays     *int            `json:"return_days,omitzero"`
	LongHire       []DraftLongHire `json:"long_hire,omitzero"`
	Packages       []DraftPackage  `json:"packages,omitzero"`
	MinimumHire    *DraftMoney     `json:"minimum_hire,omitzero"`
	WaiverPercent  *string         `json:"waiver_percent,omitzero"`
	DepositPercent *string         `json:"deposit_percent,omitzero"`
	KmRate         *DraftMoney     `json:"km_rate,omitzero"`
	Overtime       []DraftOvertime `json:"overtime,omitzero"`
	Taxes          []DraftTax      `json:"taxes,omitzero"`
	Accounts       Accounts        `json:"accounts,omitzero"`
	ValidDays      *int            `json:"valid_days,omitzero"`
	Prefix         *string         `json:"prefix,omitzero"`
	Conditions     *string         `json:"conditions,omitzero"`
}

// DraftMoney is an amount as it was given.
type DraftMoney struct {
	Amount   *string `json:"amount,omitzero"`
	Currency *string `json:"currency,omitzero"`
}

// DraftLongHire is a step of long hire as it was given.
type DraftLongHire struct {
	FromChargedDays *int    `json:"from_charged_days,omitzero"`
	Percent         *string `json:"percent,omitzero"`
}

// DraftPackage is a package as it was given.
type DraftPackage struct {
	Label   *string      `json:"label,omitzero"`
	Items   []DraftCount `json:"items,omitzero"`
	Percent *string      `json:"percent,omitzero"`
}

// DraftCount is so many of an item as it was given.
type DraftCount struct {
	SKU      *string `json:"sku,omitzero"`
	Quantity *int    `json:"quantity,omitzero"`
}

// DraftOvertime is a step of overtime as it was given.
type DraftOvertime struct {
	AfterHours *int    `json:"after_hours,omitzero"`
	Times      *string `json:"times,omitzero"`
}

// DraftTax is a tax as it was given.
type DraftTax struct {
	Code    *string  `json:"code,omitzero"`
	Percent *string  `json:"percent,omitzero"`
	On      []string `json:"on,omitzero"`
}

// Draft returns terms as they can be written down and resolved again, every default filled in.
func (t *Terms) Draft() Draft {
	d := Draft{
		ValidFrom: new(t.ValidFrom.String()), ChargedDays: t.ChargedDays, PrepareDays: &t.PrepareDays, ReturnDays: &t.ReturnDays,
		MinimumHire: draftMoney(t.MinimumHire), WaiverPercent: new(t.WaiverPercent.String()), DepositPercent: new(t.DepositPercent.String()),
		KmRate: draftMoney(t.KmRate), Accounts: t.Accounts, ValidDays: &t.ValidDays, Prefix: &t.Prefix, Conditions: &t.Conditions,
	}
	for _, l := range t.LongHire {
		d.LongHire = append(d.LongHire, DraftLongHire{&l.FromChargedDays, new(l.Percent.String())})
	}
	for _, p := range t.Packages {
		out := DraftPackage{Label: &p.Label, Percent: new(p.Percent.String())}
		for _, n := range p.Items {
			out.Items = append(out.Items, DraftCount{&n.SKU, &n.Quantity})
		}
		d.Packages = append(d.Packages, out)
	}
	for _, o := range t.Overtime {
		d.Overtime = append(d.Overtime, DraftOvertime{&o.AfterHours, new(o.Times.String())})
	}
	for _, tax := range t.Taxes {
		out := DraftTax{Code: &tax.Code, Percent: new(tax.Percent.String())}
		for _, on := range tax.On {
			out.On = append(out.On, string(on))
		}
		d.Taxes = append(d.Taxes, out)
	}
	return d
}

func draftMoney(a currency.Amount) *DraftMoney {
	return &DraftMoney{new(a.Number()), new(a.CurrencyCode())}
}

// packable reports whether an item is hired by the day, as the parts of a package are.
func packable(item *catalog.Item) bool {
	switch item.Kind() {
	case catalog.KindLabour, catalog.KindVehicle, catalog.KindExpendable:
		return false
	default:
		return true
	}
}
