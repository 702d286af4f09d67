package rest

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
)

// itemJSON is one item as the contract's Item: the names of the kind's attributes are those of
// [catalog.Spec.Fields]. Lists are written item by item from here, without a tree of generated types in between.
func itemJSON(item *catalog.Item, on catalog.Date) ([]byte, error) {
	var w jsonWriter
	w.raw(`{"sku":`)
	w.text(item.SKU)
	w.raw(`,"kind":`)
	w.text(string(item.Kind()))
	w.raw(`,"name":`)
	w.text(item.Name)
	w.raw(`,"mass_kg":`)
	w.number(item.MassKg)
	w.raw(`,"packed_m3":`)
	w.number(item.PackedM3)
	w.raw(`,"owned":`)
	w.b = strconv.AppendInt(w.b, int64(item.Owned), 10)
	w.raw(`,"replacement":`)
	w.money(item.Replacement)
	w.raw(`,"account_code":`)
	w.text(item.Account)
	w.raw(`,"rates":[`)
	for i, r := range item.Rates {
		if i > 0 {
			w.raw(",")
		}
		w.raw(`{"valid_from":`)
		w.text(r.From.String())
		w.raw(`,"per_day":`)
		w.money(r.PerDay)
		w.raw("}")
	}
	w.raw(`],"day_rate":`)
	if rate, ok := item.RateOn(on); ok {
		w.money(rate)
	} else {
		w.raw("null")
	}
	w.raw(",")
	w.text(string(item.Kind()))
	w.raw(":{")
	for i, f := range item.Spec.Fields() {
		if i > 0 {
			w.raw(",")
		}
		w.text(f.Name)
		w.raw(":")
		switch v := f.Value.(type) {
		case *float64:
			w.number(*v)
		case *int:
			w.b = strconv.AppendInt(w.b, int64(*v), 10)
		case *string:
			w.text(*v)
		}
	}
	w.raw("}}")
	if w.err != nil {
		return nil, fmt.Errorf("write item %s as JSON: %w", item.SKU, w.err)
	}
	return w.b, nil
}

// jsonWriter appends JSON and keeps the first thing that JSON cannot say.
type jsonWriter struct {
	b   []byte
	err error
}

func (w *jsonWriter) raw(s string) { w.b = append(w.b, s...) }

func (w *jsonWriter) text(s string) {
	quoted, err := json.Marshal(s)
	if err != nil && w.err == nil {
		w.err = err
	}
	w.b = append(w.b, quoted...)
}

func (w *jsonWriter) number(v float64) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		if w.err == nil {
			w.err = fmt.Errorf("%v is not a finite number", v)
		}
		return
	}
	w.b = strconv.AppendFloat(w.b, v, 'f', -1, 64)
}

func (w *jsonWriter) money(a currency.Amount) {
	w.raw(`{"amount":`)
	w.text(a.Number())
	w.raw(`,"currency":`)
	w.text(a.CurrencyCode())
	w.raw("}")
}

// appendPage writes the page of a list: the rendered entries, then where to go on.
func appendPage(b []byte, entries [][]byte, nextCursor string) []byte {
	w := jsonWriter{b: b}
	w.raw(`{"items":`)
	w.b = appendList(w.b, entries)
	w.raw(`,"next_cursor":`)
	if nextCursor == "" {
		w.raw("null")
	} else {
		w.text(nextCursor)
	}
	w.raw("}\n")
	return w.b
}

// appendList writes rendered entries as a JSON list.
func appendList(b []byte, entries [][]byte) []byte {
	b = append(b, '[')
	for i, e := range entries {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, e...)
	}
	return append(b, ']')
}

// itemsJSON is the list of all items of one kind, or of every kind where kind is empty, with the rates of a date.
func itemsJSON(stock *catalog.Snapshot, kind catalog.Kind, on catalog.Date) ([]byte, error) {
	var entries [][]byte
	items := stock.Items()
	for i := range items {
		if kind != "" && items[i].Kind() != kind {
			continue
		}
		entry, err := itemJSON(&items[i], on)
		if err != nil {
			return nil, err
		}
		entries = append(entries, entry)
	}
	return append(appendList(nil, entries), '\n'), nil
}
