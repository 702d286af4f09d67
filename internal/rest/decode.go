package rest

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"kitspan/internal/fault"
)

const (
	// MaxBody is the largest JSON body that is read, in bytes; common practice, no source. A shot with forty lamps is 6 kB.
	MaxBody = 1 << 20
	// maxFaults bounds the list of faults, as the contract says: a hundred say enough.
	maxFaults = 100
)

// DecodeJSON reads one JSON value into the struct that into points to: strictly, so that a typing error never turns
// into a default silently. Members go to the fields by the name in the json tag.
//
// The faults of form come back as one *[Refusal] of [ReasonMalformed] that lists all of them: not JSON, something after
// the end, a member twice, an unknown member, a value of the wrong JSON type, a null (but where the field is tagged
// null:"allowed"). A number too large for a float64, one that is not whole where a whole one is wanted, and an array of
// more elements than its max_items tag lets it have are of the right JSON type: they come back as a list, for the caller
// to report together with whatever else is out of range.
//
// What is refused is not kept, and no more is kept than the contract has room for: memory stays within a few times the
// body whatever is in it. Of faults the first hundred are listed.
func DecodeJSON(body []byte, into any) ([]Fault, error) {
	if len(body) > MaxBody {
		return nil, refuse(ReasonTooLarge, "The body is larger than %d bytes: send less.", MaxBody)
	}
	if i := firstInvalidUTF8(body); i >= 0 {
		return nil, malformed([]Fault{faultAt("", fault.NotText{Byte: i})})
	}
	d := &decoder{body: body, end: len(body)}
	broken := brokenAt(body)
	if broken != nil {
		d.end = broken.at
	}
	err := d.value(reflect.ValueOf(into).Elem(), field{})
	switch {
	case errors.Is(err, errBroken):
		_ = d.malformed(fault.NotJSON{Reason: broken.says}) // the walk is over
	case err == nil && broken != nil:
		_ = d.malformed(fault.NotJSON{Reason: "something follows the end of the JSON value: send one value alone"}) // likewise
	}
	if d.form != nil {
		return nil, malformed(d.form)
	}
	return d.excess, nil
}

// breach is the byte from which on a body is not JSON.
type breach struct {
	at   int
	says string
}

// brokenAt finds where a body stops being JSON; nil where it is JSON to its end.
func brokenAt(body []byte) *breach {
	if json.Valid(body) {
		return nil
	}
	if len(bytes.TrimSpace(body)) == 0 {
		return &breach{len(body), "the body is empty: send a JSON object"}
	}
	var syntax *json.SyntaxError
	if err := json.Unmarshal(body, new(any)); !errors.As(err, &syntax) {
		return &breach{0, fmt.Sprintf("not JSON: %v", err)}
	}
	if strings.HasPrefix(syntax.Error(), "unexpected end") {
		return &breach{len(body), "the JSON ends too early: close every string, array and object"}
	}
	return &breach{int(syntax.Offset) - 1, fmt.Sprintf("not JSON at byte %d: %s", syntax.Offset, syntax)}
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

// decoder walks over one body, which is JSON up to end: it looks for the places of things and leaves the grammar to
// encoding/json. Errors that its methods return end the walk.
type decoder struct {
	body    []byte
	at, end int
	path    []segment // of the value being read
	form    []Fault
	excess  []Fault
}

var (
	errBroken   = errors.New("the body is not JSON from here on")
	errTooWrong = errors.New("no more faults are listed")
)

// segment is a step of a JSON pointer: a member's name, or an element's place where name is nil.
type segment struct {
	name  *string
	index int
}

// pointer is the place of the value being read. It is put together for a fault alone: a body may hold a million values.
func (d *decoder) pointer() string {
	var b strings.Builder
	for _, s := range d.path {
		b.WriteByte('/')
		if s.name == nil {
			b.WriteString(strconv.Itoa(s.index))
		} else {
			b.WriteString(escape(*s.name))
		}
	}
	return b.String()
}

func (d *decoder) enter(s segment) { d.path = append(d.path, s) }
func (d *decoder) leave()          { d.path = d.path[:len(d.path)-1] }

// malformed notes a fault of form at the value being read. Past the last that is listed it ends the walk.
func (d *decoder) malformed(k fault.Kind) error {
	d.form = append(d.form, faultAt(d.pointer(), k))
	if len(d.form) == maxFaults {
		return errTooWrong
	}
	return nil
}

func (d *decoder) outOfRange(k fault.Kind) {
	if len(d.excess) < maxFaults {
		d.excess = append(d.excess, faultAt(d.pointer(), k))
	}
}

// value reads the next value into v, which the field describes.
func (d *decoder) value(v reflect.Value, f field) error {
	first, err := d.next()
	if err != nil {
		return err
	}
	if first == 'n' && f.nullable {
		none := math.NaN() // which no number of JSON is: null was said, which is not the same as nothing
		v.Set(reflect.ValueOf(&none))
		return d.skip()
	}
	for v.Kind() == reflect.Pointer {
		v.Set(reflect.New(v.Type().Elem()))
		v = v.Elem()
	}
	got, sound := fault.WantNumber, v.Kind() == reflect.Float64 || v.Kind() == reflect.Int
	read := func() error { return d.number(v) }
	switch first {
	case '{':
		got, sound = fault.WantObject, v.Kind() == reflect.Struct || v.Kind() == reflect.Map
		read = func() error { return d.object(v) }
		if v.Kind() == reflect.Map {
			read = func() error { return d.named(v, f.maxItems) }
		}
	case '[':
		got, sound = fault.WantArray, v.Kind() == reflect.Slice
		read = func() error { return d.array(v, f.maxItems) }
	case '"':
		got, sound = fault.WantText, v.Kind() == reflect.String
		read = func() error {
			s, err := d.text()
			v.SetString(s)
			return err
		}
	case 't', 'f':
		got, sound = fault.WantBool, v.Kind() == reflect.Bool
		read = func() error {
			v.SetBool(first == 't')
			return d.skip()
		}
	case 'n':
		return d.refuse(fault.IsNull{Want: wanted(v.Type())})
	}
	if !sound {
		return d.refuse(fault.WrongType{Got: got, Want: wanted(v.Type())})
	}
	return read()
}

// next is the byte that comes next, white space left out.
func (d *decoder) next() (byte, error) {
	for ; d.at < d.end; d.at++ {
		switch c := d.body[d.at]; c {
		case ' ', '\t', '\r', '\n':
		default:
			return c, nil
		}
	}
	return 0, errBroken
}

// refuse notes a fault of the next value and skips it: what else is wrong inside it is not looked for.
func (d *decoder) refuse(k fault.Kind) error {
	if err := d.malformed(k); err != nil {
		return err
	}
	return d.skip()
}

// skip reads over the next value without building it.
func (d *decoder) skip() error {
	for depth := 0; ; {
		c, err := d.next()
		if err != nil {
			return err
		}
		switch c {
		case '{', '[':
			depth++
			d.at++
		case '}', ']':
			depth--
			d.at++
		case ',', ':':
			d.at++
			continue
		case '"':
			if _, err := d.quoted(); err != nil {
				return err
			}
		default:
			if _, err := d.bare(); err != nil {
				return err
			}
		}
		if depth == 0 {
			return nil
		}
	}
}

// quoted is the next value, which is text, with its quotes.
func (d *decoder) quoted() ([]byte, error) {
	for i := d.at + 1; i < d.end; i++ {
		switch d.body[i] {
		case '\\':
			i++
		case '"':
			text := d.body[d.at : i+1]
			d.at = i + 1
			return text, nil
		}
	}
	return nil, errBroken
}

// bare is the next value, which is a number or a word. One that breaks off is no value.
func (d *decoder) bare() ([]byte, error) {
	i := d.at
	for i < d.end && strings.IndexByte(" \t\r\n,:]}", d.body[i]) < 0 {
		i++
	}
	text := d.body[d.at:i]
	if i == d.end && !json.Valid(text) {
		return nil, errBroken
	}
	d.at = i
	return text, nil
}

func (d *decoder) text() (string, error) {
	quoted, err := d.quoted()
	if err != nil {
		return "", err
	}
	if bytes.IndexByte(quoted, '\\') < 0 {
		return string(quoted[1 : len(quoted)-1]), nil
	}
	var s string
	err = json.Unmarshal(quoted, &s)
	return s, err
}

func wanted(t reflect.Type) fault.Want {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t.Kind() {
	case reflect.Struct, reflect.Map:
		return fault.WantObject
	case reflect.Slice:
		return fault.WantArray
	case reflect.String:
		return fault.WantText
	case reflect.Bool:
		return fault.WantBool
	case reflect.Int:
		return fault.WantInteger
	default:
		return fault.WantNumber
	}
}

func (d *decoder) number(v reflect.Value) error {
	text, err := d.bare()
	if err != nil {
		return err
	}
	n := string(text)
	f, err := strconv.ParseFloat(n, 64)
	if err != nil { // of the grammar of JSON already, so it can only be out of range
		d.outOfRange(fault.FarOutOfRange{Got: cut(n)})
		f = math.Copysign(math.MaxFloat64, f) // out of every range, so that nothing is concluded from the field
		if v.Kind() == reflect.Float64 {
			v.SetFloat(f)
		} else {
			v.SetInt(int64(math.Copysign(math.MaxInt32, f)))
		}
		return nil
	}
	if v.Kind() == reflect.Float64 {
		v.SetFloat(f + 0) // -0 becomes 0
		return nil
	}
	// Whole numbers count things: 2³¹ of anything is a mistake, and below it a float64 holds every one exactly.
	if f != math.Trunc(f) || math.Abs(f) >= 1<<31 {
		d.outOfRange(fault.NotWhole{Got: cut(n)})
		if len(d.excess) > 0 { // the field is left at 0, of which nothing need be said
			d.excess[len(d.excess)-1].first = true
		}
		return nil
	}
	v.SetInt(int64(f))
	return nil
}

// array reads at most maxItems elements: what follows them is counted and not kept, so that no list costs more memory
// than the contract lets it have.
func (d *decoder) array(v reflect.Value, maxItems int) error {
	v.Set(reflect.MakeSlice(v.Type(), 0, min(maxItems, 4))) // given and empty is not the same as left out
	d.at++
	for n := 0; ; n++ {
		c, err := d.next()
		if err != nil {
			return err
		}
		if c == ']' {
			d.at++
			if n > maxItems {
				d.outOfRange(fault.TooManyElements{Count: n, Most: maxItems})
			}
			return nil
		}
		if c == ',' {
			d.at++
		}
		d.enter(segment{index: n})
		if n < maxItems {
			element := reflect.New(v.Type().Elem()).Elem()
			err = d.value(element, field{})
			v.Set(reflect.Append(v, element))
		} else {
			err = d.skip()
		}
		if err != nil {
			return err
		}
		d.leave()
	}
}

func (d *decoder) object(v reflect.Value) error {
	fields := fieldsOf(v.Type())
	seen := make(map[string]bool, len(fields))
	return d.members(func(name string) error {
		f, known := fields[name]
		defer func() { seen[name] = true }()
		switch {
		case known && !seen[name]:
			return d.value(v.Field(f.index), f)
		case seen[name]:
			return d.refuse(fault.Twice{})
		default:
			return d.refuse(unknownMember(name, fields))
		}
	})
}

// named reads an object whose names are the sender's, at most maxItems members of it, like [decoder.array].
func (d *decoder) named(v reflect.Value, maxItems int) error {
	v.Set(reflect.MakeMap(v.Type()))
	n := 0
	err := d.members(func(name string) error {
		n++
		key := reflect.ValueOf(name)
		switch {
		case v.MapIndex(key).IsValid():
			return d.refuse(fault.Twice{})
		case v.Len() >= maxItems:
			return d.skip()
		}
		element := reflect.New(v.Type().Elem()).Elem()
		err := d.value(element, field{})
		v.SetMapIndex(key, element)
		return err
	})
	if n > maxItems {
		d.outOfRange(fault.TooManyElements{Count: n, Most: maxItems})
	}
	return err
}

// members reads the members of an object, each by its name.
func (d *decoder) members(read func(name string) error) error {
	d.at++
	for {
		c, err := d.next()
		if err != nil {
			return err
		}
		d.at++
		switch c {
		case '}':
			return nil
		case ',':
			continue
		}
		d.at-- // the quote of a name
		name, err := d.text()
		if err != nil {
			return err
		}
		if _, err := d.next(); err != nil {
			return err
		}
		d.at++ // the colon
		d.enter(segment{name: &name})
		if err := read(name); err != nil {
			return err
		}
		d.leave()
	}
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

// field is a place in a struct for a member of an object, with what the contract says of the member.
type field struct {
	index    int
	nullable bool
	maxItems int // of an array
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
		maxItems, _ := strconv.Atoi(f.Tag.Get("max_items")) // 0 where there is no tag: such an array takes nothing
		fields[name] = field{index: i, nullable: f.Tag.Get("null") == "allowed", maxItems: maxItems}
	}
	knownFields.Store(t, fields)
	return fields
}
