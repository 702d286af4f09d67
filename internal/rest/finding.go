package rest

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/finding"
	"kitspan/internal/text"
)

// perFinding is what the quantities of a finding are rounded to, whatever their unit.
const perFinding = 1e4

// notes are findings with their code, their text and their quantities.
func (p *printer) notes(list []finding.Note) []Note {
	out := make([]Note, len(list))
	for i, n := range list {
		out[i] = p.coded(n.Code(), text.Note(p.to, n), n)
	}
	return out
}

func (p *printer) obstacle(o finding.Obstacle) Obstacle { return p.coded(o.Code(), "", o) }

func cautionsOf(to text.Reader, list []finding.Caution) []Caution {
	out := make([]Caution, len(list))
	for i, c := range list {
		out[i] = Caution{Code: CautionCode(c), Text: text.Caution(to, c), First: i < finding.FirstCautions}
	}
	return out
}

// coded is an object of a code, a text where there is one, and the fields of a finding.
func (p *printer) coded(code, says string, finding any) json.RawMessage {
	w := objectWriter{p: p}
	w.b.WriteByte('{')
	w.member("code", code)
	if says != "" {
		w.member("text", says)
	}
	w.fields(reflect.ValueOf(finding))
	w.b.WriteByte('}')
	return w.b.Bytes()
}

// objectWriter writes the fields of findings as members, in their order, by their json tags.
type objectWriter struct {
	p    *printer
	b    bytes.Buffer
	more bool // a member stands before
}

func (w *objectWriter) member(name string, v any) {
	if w.more {
		w.b.WriteByte(',')
	}
	w.more = true
	w.marshal(name)
	w.b.WriteByte(':')
	w.value(reflect.ValueOf(v))
}

// fields are the members of a struct, those of embedded structs among them. What is empty and may be left out is, and so is a
// quantity without an end, which JSON cannot say.
func (w *objectWriter) fields(v reflect.Value) {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if f.Anonymous {
			w.fields(v.Field(i))
			continue
		}
		name, option, _ := strings.Cut(f.Tag.Get("json"), ",")
		if option == "omitempty" && v.Field(i).IsZero() {
			continue
		}
		if v.Field(i).Kind() == reflect.Float64 && math.IsInf(v.Field(i).Float(), 0) {
			continue // such as the width of a view that reaches past the vertical
		}
		w.member(name, v.Field(i).Interface())
	}
}

func (w *objectWriter) value(v reflect.Value) {
	switch one := v.Interface().(type) {
	case float64:
		w.marshal(w.p.number(one, perFinding))
		return
	case time.Time:
		w.marshal(one)
		return
	case currency.Amount:
		w.marshal(money(one))
		return
	case finding.RuledOut:
		w.marshal(w.p.ruledOut(&one))
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			w.b.WriteString("null")
			return
		}
		w.value(v.Elem())
	case reflect.Struct:
		w.b.WriteByte('{')
		w.more = false
		w.fields(v)
		w.b.WriteByte('}')
		w.more = true
	case reflect.Slice:
		w.b.WriteByte('[')
		for i := range v.Len() {
			if i > 0 {
				w.b.WriteByte(',')
			}
			w.value(v.Index(i))
		}
		w.b.WriteByte(']')
	default:
		w.marshal(v.Interface())
	}
}

// marshal writes what is made of texts and numbers alone, which is no error.
func (w *objectWriter) marshal(v any) {
	b, err := json.Marshal(v)
	if err != nil {
		w.p.broken++
		return
	}
	w.b.Write(b)
}
