package shot

import (
	"encoding/json"
	"fmt"

	"github.com/bojanz/currency"
)

// This file writes the two parts of a [Draft] that its tags do not: a level of the back that does not matter is null, and money is an
// object of amount and currency.

// plainLook is a DraftLook without its methods.
type plainLook DraftLook

// MarshalJSON writes back_stops as null where the back's level does not matter.
func (d DraftLook) MarshalJSON() ([]byte, error) {
	if !d.AnyBack {
		return json.Marshal(plainLook(d))
	}
	return json.Marshal(struct {
		plainLook
		BackStops *float64 `json:"back_stops"`
	}{plainLook: plainLook(d)})
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (d *DraftLook) UnmarshalJSON(b []byte) error {
	var in struct {
		plainLook
		BackStops json.RawMessage `json:"back_stops"`
	}
	if err := json.Unmarshal(b, &in); err != nil {
		return err
	}
	*d = DraftLook(in.plainLook)
	if d.AnyBack = string(in.BackStops) == "null"; d.AnyBack || in.BackStops == nil {
		return nil
	}
	return json.Unmarshal(in.BackStops, &d.BackStops)
}

// draftMoney is an amount as the contract writes it.
type draftMoney struct {
	Amount   string `json:"amount"`
	Currency string `json:"currency"`
}

// plainLimits is DraftLimits without its methods.
type plainLimits DraftLimits

// limitsJSON is DraftLimits with its money as the contract writes it.
type limitsJSON struct {
	plainLimits
	PricePerDay *draftMoney `json:"price_per_day,omitzero"`
	TotalPerDay *draftMoney `json:"total_per_day,omitzero"`
}

// MarshalJSON writes money as an object of amount and currency.
func (d DraftLimits) MarshalJSON() ([]byte, error) {
	out := limitsJSON{plainLimits: plainLimits(d)}
	for _, m := range []struct {
		from *currency.Amount
		to   **draftMoney
	}{{d.PricePerDay, &out.PricePerDay}, {d.TotalPerDay, &out.TotalPerDay}} {
		if m.from != nil {
			*m.to = &draftMoney{m.from.Number(), m.from.CurrencyCode()}
		}
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (d *DraftLimits) UnmarshalJSON(b []byte) error {
	var in limitsJSON
	if err := json.Unmarshal(b, &in); err != nil {
		return err
	}
	*d = DraftLimits(in.plainLimits)
	for _, m := range []struct {
		name string
		from *draftMoney
		to   **currency.Amount
	}{{"price_per_day", in.PricePerDay, &d.PricePerDay}, {"total_per_day", in.TotalPerDay, &d.TotalPerDay}} {
		if m.from == nil {
			continue
		}
		amount, err := currency.NewAmount(m.from.Amount, m.from.Currency)
		if err != nil {
			return fmt.Errorf("%s: %w", m.name, err)
		}
		*m.to = &amount
	}
	return nil
}
