package docs_test

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/getkin/kin-openapi/openapi3"
)

// node is a value of a JSON text in the order in which it is written.
type node struct {
	opens string // { or [; empty for a single value
	text  string // of a single value
	keys  []string
	parts []*node
}

func readNode(t *testing.T, text []byte) *node {
	t.Helper()
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	n, err := nextNode(dec)
	if err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	return n
}

func nextNode(dec *json.Decoder) (*node, error) {
	token, err := dec.Token()
	if err != nil {
		return nil, err
	}
	delim, isDelim := token.(json.Delim)
	if !isDelim {
		text, err := plainJSON(token)
		return &node{text: text}, err
	}
	n := &node{opens: delim.String()}
	for dec.More() {
		if n.opens == "{" {
			key, err := dec.Token()
			if err != nil {
				return nil, err
			}
			n.keys = append(n.keys, key.(string))
		}
		part, err := nextNode(dec)
		if err != nil {
			return nil, err
		}
		n.parts = append(n.parts, part)
	}
	_, err = dec.Token()
	return n, err
}

// plainJSON is a value as JSON, with < and & as they are.
func plainJSON(v any) (string, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return strings.TrimSpace(b.String()), err
}

// shorten leaves of each list of objects or texts as many elements as its schema asks for, one at least, and four decimals of numbers: further
// ones may differ from machine to machine.
func (n *node) shorten(schema *openapi3.Schema) {
	if n.opens == "" && schema.Type.Is("number") {
		if v, err := strconv.ParseFloat(n.text, 64); err == nil {
			n.text = strconv.FormatFloat(math.Round(v*1e4)/1e4, 'f', -1, 64)
		}
	}
	for _, part := range schema.AllOf {
		n.shorten(part.Value)
	}
	for i, part := range n.parts {
		switch {
		case n.opens == "{" && schema.Properties[n.keys[i]] != nil:
			part.shorten(schema.Properties[n.keys[i]].Value)
		case n.opens == "[" && schema.Items != nil:
			part.shorten(schema.Items.Value)
		}
	}
	if n.opens == "[" && schema.Items != nil && !schema.Items.Value.Type.Is("number") {
		n.parts = n.parts[:min(len(n.parts), max(1, int(schema.MinItems)))]
	}
}

// line is the node on one line.
func (n *node) line() string {
	if n.opens == "" {
		return n.text
	}
	parts := make([]string, len(n.parts))
	for i, part := range n.parts {
		if parts[i] = part.line(); n.opens == "{" {
			parts[i] = `"` + n.keys[i] + `": ` + parts[i]
		}
	}
	return n.opens + strings.Join(parts, ", ") + n.closes()
}

func (n *node) closes() string {
	if n.opens == "{" {
		return "}"
	}
	return "]"
}

// lines is the node on lines of at most so many characters where it can be broken, each after a margin.
func (n *node) lines(margin string, width int) string {
	if one := n.line(); n.opens == "" || utf8.RuneCountInString(margin+one) <= width {
		return one
	}
	inner := margin + "  "
	var b strings.Builder
	b.WriteString(n.opens)
	column := width // of the line that is being filled: the first element begins one
	for i, part := range n.parts {
		key := ""
		if n.opens == "{" {
			key = `"` + n.keys[i] + `": `
		}
		if i > 0 {
			b.WriteString(",")
		}
		one := key + part.line()
		switch size := utf8.RuneCountInString(one) + 2; { // with a comma and a space
		case column+size <= width:
			b.WriteString(" " + one)
			column += size
		case len(inner)+size <= width:
			b.WriteString("\n" + inner + one)
			column = len(inner) + size
		default:
			b.WriteString("\n" + inner + key + part.lines(inner, width))
			column = width
		}
	}
	b.WriteString("\n" + margin + n.closes())
	return b.String()
}
