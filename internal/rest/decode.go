package rest

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"
)

const (
	// MaxBody is the largest JSON body that is read, in bytes; common practice, no source. A shot with forty lamps is 6 kB.
	MaxBody = 1 << 20
	// maxDepth bounds how deep a body nests: the deepest of the contract has six levels.
	maxDepth = 64
	// maxFaults bounds the list of faults: a hundred say enough, and an answer stays smaller than its request.
	maxFaults = 100
)

// DecodeJSON reads one JSON value into the struct that into points to: strictly, so that a typing error never turns
// into a default silently. Members go to the fields by the name in the json tag.
//
// The faults of form come back as one *[Refusal] of [ReasonMalformed] that lists all of them: not JSON, something after
// the end, a member twice, an unknown member, a value of the wrong JSON type, a null (but where the field is tagged
// null:"allowed"). A number too large for a float64, and one that is not whole where a whole one is wanted, are of the
// right JSON type: they come back as a list, for the caller to report together with whatever else is out of range.
func DecodeJSON(body []byte, into any) ([]Fault, error) {
	if len(body) > MaxBody {
		return nil, refuse(ReasonTooLarge, "The body is larger than %d bytes: send less.", MaxBody)
	}
	d := &decoder{tokens: json.NewDecoder(bytes.NewReader(body)), body: body}
	d.tokens.UseNumber()
	if i := firstInvalidUTF8(body); i >= 0 {
		d.malformed("", "byte %d is not UTF-8 text: send UTF-8", i)
		return nil, malformed(d.form)
	}
	if err := d.value("", 0, reflect.ValueOf(into).Elem(), false); err != nil {
		d.syntax(err)
	} else if _, err := d.tokens.Token(); !errors.Is(err, io.EOF) {
		d.malformed("", "something follows the end of the JSON value: send one value alone")
	}
	if d.form != nil {
		return nil, malformed(d.form)
	}
	return d.excess, nil
}

func firstInvalidUTF8(b []byte) int {
	if utf8.Valid(b) {
		return -1
	}
	for i := 0; i < len(b); {
		r, n := utf8.DecodeRune(b[i:])
		if r == utf8.RuneError && n == 1 {
			return i
		}
		i += n
	}
	return -1
}

// decoder walks the tokens of one body. Errors that its methods return end the walk: the text is not JSON from there on.
type decoder struct {
	tokens *json.Decoder
	body   []byte
	at     string // pointer of the value being read, for a syntax error
	form   []Fault
	excess []Fault
}

func (d *decoder) malformed(pointer, format string, args ...any) {
	if len(d.form) < maxFaults {
		d.form = append(d.form, Fault{Pointer: pointer, Detail: fmt.Sprintf(format, args...)})
	}
}

func (d *decoder) outOfRange(pointer, format string, args ...any) {
	if len(d.excess) < maxFaults {
		d.excess = append(d.excess, Fault{Pointer: pointer, Detail: fmt.Sprintf(format, args...)})
	}
}

var errTooDeep = errors.New("the value nests too deeply")

func (d *decoder) syntax(err error) {
	var syntax *json.SyntaxError
	switch {
	case len(bytes.TrimSpace(d.body)) == 0:
		d.malformed("", "the body is empty: send a JSON object")
	case errors.Is(err, errTooDeep):
		d.malformed(d.at, "nests more than %d levels deep", maxDepth)
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		d.malformed(d.at, "the JSON ends too early: close every string, array and object")
	case errors.As(err, &syntax):
		d.malformed(d.at, "not JSON at byte %d: %s", syntax.Offset, strings.TrimPrefix(syntax.Error(), "json: "))
	default:
		d.malformed(d.at, "not JSON: %v", err)
	}
}

// value reads the next value into v; an invalid v (the member is unknown, or the type was wrong) is read over.
func (d *decoder) value(pointer string, depth int, v reflect.Value, nullable bool) error {
	d.at = pointer
	if depth > maxDepth {
		return errTooDeep
	}
	tok, err := d.tokens.Token()
	if err != nil {
		return err
	}
	if tok == nil {
		if v.IsValid() && !nullable {
			d.malformed(pointer, "is null: give %s or leave it out", wanted(v.Type()))
		}
		return nil
	}
	for v.IsValid() && v.Kind() == reflect.Pointer {
		v.Set(reflect.New(v.Type().Elem()))
		v = v.Elem()
	}
	switch tok := tok.(type) {
	case json.Delim:
		if tok == '{' {
			return d.object(pointer, depth, d.expect(pointer, v, "an object", reflect.Struct))
		}
		return d.array(pointer, depth, d.expect(pointer, v, "an array", reflect.Slice))
	case string:
		if v = d.expect(pointer, v, "text", reflect.String); v.IsValid() {
			v.SetString(tok)
		}
	case bool:
		if v = d.expect(pointer, v, "true or false", reflect.Bool); v.IsValid() {
			v.SetBool(tok)
		}
	case json.Number:
		d.number(pointer, tok, d.expect(pointer, v, "a number", reflect.Float64, reflect.Int))
	}
	return nil
}

// expect gives v back where it is of one of the kinds, else records the fault and gives the invalid value.
func (d *decoder) expect(pointer string, v reflect.Value, got string, kinds ...reflect.Kind) reflect.Value {
	if !v.IsValid() {
		return v
	}
	for _, k := range kinds {
		if v.Kind() == k {
			return v
		}
	}
	d.malformed(pointer, "is %s: must be %s", got, wanted(v.Type()))
	return reflect.Value{}
}

func wanted(t reflect.Type) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t.Kind() {
	case reflect.Struct:
		return "an object"
	case reflect.Slice:
		return "an array"
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	case reflect.Int:
		return "a whole number"
	default:
		return "a number"
	}
}

func (d *decoder) number(pointer string, n json.Number, v reflect.Value) {
	if !v.IsValid() {
		return
	}
	f, err := strconv.ParseFloat(n.String(), 64)
	if err != nil { // of the grammar of JSON already, so it can only be out of range
		d.outOfRange(pointer, "%s is far out of range: give a number of reasonable size", cut(n.String()))
		f = math.Copysign(math.MaxFloat64, f) // out of every range, so that what follows from the field stays unsaid
		if v.Kind() == reflect.Float64 {
			v.SetFloat(f)
		} else {
			v.SetInt(int64(math.Copysign(math.MaxInt32, f)))
		}
		return
	}
	if v.Kind() == reflect.Float64 {
		v.SetFloat(f + 0) // -0 becomes 0
		return
	}
	// Whole numbers count things: 2³¹ of anything is a mistake, and below it a float64 holds every one exactly.
	if f != math.Trunc(f) || math.Abs(f) >= 1<<31 {
		d.outOfRange(pointer, "%s must be a whole number of reasonable size", cut(n.String()))
		if len(d.excess) > 0 { // the field is left at 0, of which nothing need be said
			d.excess[len(d.excess)-1].first = true
		}
		return
	}
	v.SetInt(int64(f))
}

func (d *decoder) array(pointer string, depth int, v reflect.Value) error {
	if v.IsValid() {
		v.Set(reflect.MakeSlice(v.Type(), 0, 4)) // given and empty is not the same as left out
	}
	for i := 0; d.tokens.More(); i++ {
		var element reflect.Value
		if v.IsValid() {
			element = reflect.New(v.Type().Elem()).Elem()
		}
		if err := d.value(pointer+"/"+strconv.Itoa(i), depth+1, element, false); err != nil {
			return err
		}
		if v.IsValid() {
			v.Set(reflect.Append(v, element))
		}
	}
	_, err := d.tokens.Token()
	return err
}

func (d *decoder) object(pointer string, depth int, v reflect.Value) error {
	var fields map[string]field
	if v.IsValid() {
		fields = fieldsOf(v.Type())
	}
	seen := map[string]bool{}
	for d.tokens.More() {
		d.at = pointer
		tok, err := d.tokens.Token()
		if err != nil {
			return err
		}
		name, ok := tok.(string)
		if !ok {
			return fmt.Errorf("member name %v is not a string", tok)
		}
		place := pointer + "/" + escape(name)
		var member reflect.Value
		var nullable bool
		if seen[name] {
			d.malformed(place, "stands twice: give it once")
		} else if f, ok := fields[name]; ok {
			member, nullable = v.Field(f.index), f.nullable
		} else if v.IsValid() {
			d.malformed(place, "%s", unknownMember(name, fields))
		}
		seen[name] = true
		if err := d.value(place, depth+1, member, nullable); err != nil {
			return err
		}
	}
	d.at = pointer
	_, err := d.tokens.Token()
	return err
}

// escape writes a member's name as a segment of a JSON pointer.
func escape(name string) string { return pointerEscapes.Replace(cut(name)) }

var pointerEscapes = strings.NewReplacer("~", "~0", "/", "~1")

// cut shortens what is echoed to the client.
func cut(s string) string {
	const most = 60
	if len(s) <= most {
		return s
	}
	return strings.ToValidUTF8(s[:most], "") + "…"
}

// field is a place in a struct for a member of an object.
type field struct {
	index    int
	nullable bool
}

var knownFields sync.Map // reflect.Type → map[string]field

func fieldsOf(t reflect.Type) map[string]field {
	if known, ok := knownFields.Load(t); ok {
		return known.(map[string]field)
	}
	fields := make(map[string]field, t.NumField())
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		fields[name] = field{index: i, nullable: f.Tag.Get("null") == "allowed"}
	}
	knownFields.Store(t, fields)
	return fields
}
