package docs_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
)

// leftOut stands in a sample for what it leaves out: as a member's name for further members, as an element for further elements, as a value for
// any, and at the end of a text for more of it.
const leftOut = "…"

// fill returns a sample of an answer with the values that the answer has now, and what the sample shows that is not there, or leaves out
// without saying so.
func fill(sample string, answer any) (filled string, wrong []string, err error) {
	f := &filler{text: sample, dec: json.NewDecoder(strings.NewReader(sample))}
	f.dec.UseNumber()
	if err := f.value("", answer); err != nil {
		return "", nil, err
	}
	f.out.WriteString(sample[f.copied:])
	return f.out.String(), f.wrong, nil
}

type filler struct {
	text   string
	dec    *json.Decoder
	out    strings.Builder
	copied int // of text, to out
	wrong  []string
}

func (f *filler) fault(format string, args ...any) {
	f.wrong = append(f.wrong, fmt.Sprintf(format, args...))
}

// value reads the next value of the sample and holds it to what the answer has in its place.
func (f *filler) value(place string, got any) error {
	from := int(f.dec.InputOffset())
	token, err := f.dec.Token()
	if err != nil {
		return err
	}
	switch token {
	case json.Delim('{'):
		return f.object(place, got)
	case json.Delim('['):
		return f.array(place, got)
	}
	if text, ok := token.(string); ok && strings.HasSuffix(text, leftOut) {
		whole, isText := got.(string)
		if start := strings.TrimSuffix(text, leftOut); start == "" || isText && strings.HasPrefix(whole, start) {
			return nil
		}
	}
	if token == got {
		return nil
	}
	switch got.(type) {
	case map[string]any, []any:
		f.fault("%s is no single value", place)
		return nil
	}
	var now bytes.Buffer
	enc := json.NewEncoder(&now)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(got); err != nil {
		return err
	}
	to := int(f.dec.InputOffset())
	from += strings.IndexFunc(f.text[from:to], func(r rune) bool { return !strings.ContainsRune(" \t\r\n:,", r) })
	f.out.WriteString(f.text[f.copied:from] + strings.TrimSpace(now.String()))
	f.copied = to
	return nil
}

func (f *filler) object(place string, got any) error {
	members, ok := got.(map[string]any)
	if !ok {
		f.fault("%s is no object", place)
	}
	open, shown := false, []string{}
	for f.dec.More() {
		key, err := f.dec.Token()
		if err != nil {
			return err
		}
		name, _ := key.(string)
		member, there := members[name]
		if name == leftOut {
			open = true
			var left any
			if err := f.dec.Decode(&left); err != nil {
				return err
			}
			continue
		}
		if !there && ok {
			f.fault("there is no %s.%s", place, name)
		}
		shown = append(shown, name)
		if err := f.value(place+"."+name, member); err != nil {
			return err
		}
	}
	if !open {
		for name := range members {
			if !slices.Contains(shown, name) {
				f.fault("%s.%s is left out without a %s", place, name, leftOut)
			}
		}
	}
	_, err := f.dec.Token()
	return err
}

func (f *filler) array(place string, got any) error {
	elements, ok := got.([]any)
	if !ok {
		f.fault("%s is no array", place)
	}
	open, i := false, 0
	for ; f.dec.More(); i++ {
		at := int(f.dec.InputOffset())
		if left := strings.TrimLeft(f.text[at:], " \t\r\n,"); strings.HasPrefix(left, `"`+leftOut+`"`) {
			open = true
			if _, err := f.dec.Token(); err != nil {
				return err
			}
			i--
			continue
		}
		var element any
		if i < len(elements) {
			element = elements[i]
		} else if ok {
			f.fault("there is no %s[%d]", place, i)
		}
		if err := f.value(fmt.Sprintf("%s[%d]", place, i), element); err != nil {
			return err
		}
	}
	if !open && i < len(elements) {
		f.fault("%s has %d elements, of which %d are left out without a %s", place, len(elements), len(elements)-i, leftOut)
	}
	_, err := f.dec.Token()
	return err
}

func TestSamplesAreHeldToTheAnswer(t *testing.T) {
	answer := map[string]any{"n": json.Number("1.50"), "text": "a, b: c", "list": []any{json.Number("1"), json.Number("2")}, "none": nil, "o": map[string]any{"in": true}}
	for name, tc := range map[string]struct {
		sample, want string
		wrong        int
	}{
		"the whole":                   {`{"n": 1.50, "text": "a, b: c", "list": [1, 2], "none": null, "o": {"in": true}}`, "", 0},
		"a part that says so":         {`{"n": 1.50, "…": 0}`, "", 0},
		"a part that does not":        {`{"n": 1.50, "text": "a, b: c", "list": [1, 2], "none": null}`, "", 1},
		"the start of a list":         {`{"list": [1, "…"], "…": 0}`, "", 0},
		"the start in secret":         {`{"list": [1], "…": 0}`, "", 1},
		"more than there is":          {`{"list": [1, 2, 3], "…": 0}`, `{"list": [1, 2, null], "…": 0}`, 1},
		"what there is not":           {`{"m": 1, "…": 0}`, `{"m": null, "…": 0}`, 1},
		"any value":                   {`{"o": "…", "n": "…", "…": 0}`, "", 0},
		"the start of a text":         {`{"text": "a, …", "…": 0}`, "", 0},
		"another start of a text":     {`{"text": "b, …", "…": 0}`, `{"text": "a, b: c", "…": 0}`, 0},
		"old values":                  {"{\"n\" :\n 2,\t\"none\": 7, \"o\": {\"in\": false}, \"list\": [ \"a\" , 3], \"…\": 0}", "{\"n\" :\n 1.50,\t\"none\": null, \"o\": {\"in\": true}, \"list\": [ 1 , 2], \"…\": 0}", 0},
		"a number for an object":      {`{"o": 1, "…": 0}`, "", 1},
		"an object for a number":      {`{"n": {"…": 0}, "…": 0}`, "", 1},
		"a list for a number":         {`{"n": ["…"], "…": 0}`, "", 1},
		"a word for a number, quoted": {`{"n": "1.50", "…": 0}`, `{"n": 1.50, "…": 0}`, 0},
	} {
		t.Run(name, func(t *testing.T) {
			got, wrong, err := fill(tc.sample, answer)
			if err != nil {
				t.Fatal(err)
			}
			if want := tc.want; got != want && (want != "" || got != tc.sample) {
				t.Errorf("filled:\n%s\nwant:\n%s", got, want)
			}
			if len(wrong) != tc.wrong {
				t.Errorf("faults: %q, want %d", wrong, tc.wrong)
			}
		})
	}
}
