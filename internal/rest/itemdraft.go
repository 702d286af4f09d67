package rest

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
)

// itemOf is the item that a client describes, validated for a house; every fault is listed at once.
func itemOf(d *ItemDraft, house catalog.House) (catalog.Item, []Fault) {
	faults := missingMembers(d)
	item := catalog.Item{
		SKU: deref(d.Sku), Name: deref(d.Name), MassKg: deref(d.MassKg), PackedM3: deref(d.PackedM3),
		Owned: deref(d.Owned), Account: deref(d.AccountCode),
	}
	// Nothing in the house's currency stands in for what cannot be read, so that the rates are not measured against it.
	item.Replacement, _ = currency.NewAmount("0", house.Currency)
	if d.Replacement != nil {
		amount, wrong := moneyOf(*d.Replacement, "/replacement")
		if wrong == nil {
			item.Replacement = amount
		}
		faults = append(faults, wrong...)
	}
	rates, wrong := ratesOf(deref(d.Rates))
	item.Rates = rates
	faults = append(faults, wrong...)
	spec, wrong := specOf(d)
	item.Spec = spec
	faults = append(faults, wrong...)

	for _, p := range item.ValidateIn(house) {
		f := faultAt(pointerOfField(p.Field, catalog.Kind(deref(d.Kind))), fault.Other{Says: p.Detail})
		if !covered(faults, f.Pointer) {
			faults = append(faults, f)
		}
	}
	return item, faults
}

// covered reports whether a fault stands already at a pointer, below or above it: what is missing is not also wrong.
func covered(faults []Fault, pointer string) bool {
	return slices.ContainsFunc(faults, func(f Fault) bool {
		return f.Pointer == pointer || strings.HasPrefix(f.Pointer, pointer+"/") || strings.HasPrefix(pointer, f.Pointer+"/")
	})
}

// pointerOfField places a problem of [catalog.Item.Validate], which knows fields by the names of CSV columns.
func pointerOfField(field string, kind catalog.Kind) string {
	switch field {
	case "account":
		return "/account_code"
	case "sku", "kind", "name", "mass_kg", "packed_m3", "owned", "replacement":
		return "/" + field
	}
	if strings.HasPrefix(field, "rates/") {
		return "/" + field
	}
	return "/" + string(kind) + "/" + field
}

// missingMembers names the members that every item has and this one lacks.
func missingMembers(d *ItemDraft) []Fault {
	var faults []Fault
	for _, m := range []struct {
		name  string
		given bool
	}{
		{"sku", d.Sku != nil}, {"kind", d.Kind != nil}, {"name", d.Name != nil}, {"mass_kg", d.MassKg != nil},
		{"packed_m3", d.PackedM3 != nil}, {"owned", d.Owned != nil}, {"replacement", d.Replacement != nil},
		{"account_code", d.AccountCode != nil}, {"rates", d.Rates != nil},
	} {
		if !m.given {
			faults = append(faults, faultAt("/"+m.name, fault.MissingAttribute{Give: "it"}))
		}
	}
	return faults
}

func ratesOf(drafts []Rate) ([]catalog.Rate, []Fault) {
	var rates []catalog.Rate
	var faults []Fault
	for i, d := range drafts {
		at := fmt.Sprintf("/rates/%d", i)
		var rate catalog.Rate
		if d.ValidFrom == nil {
			faults = append(faults, faultAt(at+"/valid_from", fault.MissingAttribute{Give: "a date as YYYY-MM-DD"}))
		} else if from, err := catalog.ParseDate(*d.ValidFrom); err != nil {
			faults = append(faults, faultAt(at+"/valid_from", fault.Other{Says: fmt.Sprintf("%q is not a date: give one as YYYY-MM-DD", cut(*d.ValidFrom))}))
		} else {
			rate.From = from
		}
		if d.PerDay == nil {
			faults = append(faults, faultAt(at+"/per_day", fault.MissingAttribute{Give: "an amount with its currency"}))
		} else {
			amount, wrong := moneyOf(*d.PerDay, at+"/per_day")
			rate.PerDay = amount
			faults = append(faults, wrong...)
		}
		rates = append(rates, rate)
	}
	return rates, faults
}

// specOf reads the attributes from the member that kind names; any other kind's member is a contradiction. The spec is
// nil where the kind is missing or unknown.
func specOf(d *ItemDraft) (catalog.Spec, []Fault) {
	var faults []Fault
	kind := deref(d.Kind)
	spec := catalog.NewSpec(catalog.Kind(kind))
	if d.Kind != nil && spec == nil {
		faults = append(faults, faultAt("/kind", fault.UnknownKind{Got: cut(string(kind)), Words: kindWords()}))
	}
	draft := reflect.ValueOf(d).Elem()
	for _, k := range catalog.Kinds() {
		member := draft.Field(fieldsOf(draft.Type())[string(k)].index)
		switch {
		case string(k) == string(kind) && member.IsNil():
			faults = append(faults, faultAt("/"+string(k), fault.MissingAttribute{Give: "the attributes of a " + string(k)}))
		case string(k) == string(kind):
			faults = append(faults, fillSpec(spec, member.Elem(), "/"+string(k))...)
		case !member.IsNil() && spec != nil:
			faults = append(faults, faultAt("/"+string(k), fault.OtherKind{Kind: string(kind), Leave: string(k)}))
		}
	}
	return spec, faults
}

// fillSpec copies the attributes by name from a generated struct of pointers.
func fillSpec(spec catalog.Spec, attributes reflect.Value, pointer string) []Fault {
	var faults []Fault
	fields := fieldsOf(attributes.Type())
	for _, f := range spec.Fields() {
		given := attributes.Field(fields[f.Name].index)
		if given.IsNil() {
			faults = append(faults, faultAt(pointer+"/"+f.Name, fault.MissingAttribute{Give: f.Means}))
			continue
		}
		reflect.ValueOf(f.Value).Elem().Set(given.Elem())
	}
	return faults
}

func kindWords() []string {
	words := make([]string, 0, len(catalog.Kinds()))
	for _, k := range catalog.Kinds() {
		words = append(words, string(k))
	}
	return words
}
