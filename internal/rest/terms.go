package rest

import "kitspan/internal/terms"

// termsJSON writes terms; nil for none.
func termsJSON(t *terms.Terms) *Terms {
	if t == nil {
		return nil
	}
	out := &Terms{
		ValidFrom: t.ValidFrom.String(), ChargedDays: t.ChargedDays, PrepareDays: t.PrepareDays, ReturnDays: t.ReturnDays, LongHire: make([]LongHire, len(t.LongHire)),
		Packages: make([]Package, len(t.Packages)), MinimumHire: money(t.MinimumHire), WaiverPercent: t.WaiverPercent.String(),
		DepositPercent: t.DepositPercent.String(), KmRate: money(t.KmRate), Overtime: make([]OvertimeStep, len(t.Overtime)), Taxes: make([]TaxRate, len(t.Taxes)),
		Accounts:  TermsAccounts{Waiver: t.Accounts.Waiver, Delivery: t.Accounts.Delivery, Minimum: t.Accounts.Minimum},
		ValidDays: t.ValidDays, Prefix: t.Prefix, Conditions: t.Conditions,
	}
	for i, l := range t.LongHire {
		out.LongHire[i] = LongHire{FromChargedDays: l.FromChargedDays, Percent: l.Percent.String()}
	}
	for i, p := range t.Packages {
		out.Packages[i] = Package{Label: p.Label, Items: countsOf(p.Items), Percent: p.Percent.String()}
	}
	for i, o := range t.Overtime {
		out.Overtime[i] = OvertimeStep{AfterHours: o.AfterHours, Times: o.Times.String()}
	}
	for i, x := range t.Taxes {
		out.Taxes[i] = TaxRate{Code: x.Code, Percent: x.Percent.String(), On: make([]string, len(x.On))}
		for k, on := range x.On {
			out.Taxes[i].On[k] = string(on)
		}
	}
	return out
}
