package api_test

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"kitspan/api"
)

func document(t *testing.T) *openapi3.T {
	t.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	if err := doc.Validate(context.Background()); err != nil {
		t.Fatal(err)
	}
	return doc
}

// walk visits a schema and all that it is made of, each with its place in the document. It does not follow references: what they lead to is
// visited where it stands.
func walk(place string, ref *openapi3.SchemaRef, visit func(place string, ref *openapi3.SchemaRef)) {
	if ref == nil {
		return
	}
	visit(place, ref)
	if ref.Ref != "" {
		return
	}
	s := ref.Value
	for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
		walk(place+"."+name, s.Properties[name], visit)
	}
	walk(place+"[]", s.Items, visit)
	walk(place+"{}", s.AdditionalProperties.Schema, visit)
	for _, parts := range []openapi3.SchemaRefs{s.AllOf, s.AnyOf, s.OneOf} {
		for _, part := range parts {
			walk(place, part, visit)
		}
	}
}

func TestEverySchemaAndPropertyIsDescribed(t *testing.T) {
	doc, seen := document(t), 0
	for _, name := range slices.Sorted(maps.Keys(doc.Components.Schemas)) {
		walk(name, doc.Components.Schemas[name], func(place string, ref *openapi3.SchemaRef) {
			if strings.HasSuffix(place, "[]") || strings.HasSuffix(place, "{}") {
				return // the list says what its elements are
			}
			seen++
			if said(ref.Value) == "" {
				t.Errorf("%s has no description", place)
			}
		})
	}
	if seen < 500 {
		t.Errorf("%d schemas and properties looked at", seen)
	}
}

// said is a schema's description, or that of what it is made of.
func said(s *openapi3.Schema) string {
	says := strings.TrimSpace(s.Description)
	for _, part := range s.AllOf {
		says = cmp.Or(says, said(part.Value))
	}
	return says
}

// operations visits every operation of the document.
func operations(doc *openapi3.T, visit func(name string, op *openapi3.Operation, parameters openapi3.Parameters)) {
	for _, path := range doc.Paths.InMatchingOrder() {
		item := doc.Paths.Value(path)
		for _, method := range slices.Sorted(maps.Keys(item.Operations())) {
			op := item.Operations()[method]
			visit(method+" "+path, op, slices.Concat(item.Parameters, op.Parameters))
		}
	}
}

func TestEveryOperationIsDescribed(t *testing.T) {
	operations(document(t), func(name string, op *openapi3.Operation, parameters openapi3.Parameters) {
		if op.Summary == "" {
			t.Errorf("%s has no summary", name)
		}
		for _, p := range parameters {
			if p.Value.Description == "" {
				t.Errorf("%s: parameter %s has no description", name, p.Value.Name)
			}
		}
		for status, response := range op.Responses.Map() {
			if response.Value.Description == nil || *response.Value.Description == "" {
				t.Errorf("%s: %s has no description", name, status)
			}
			for header, h := range response.Value.Headers {
				if h.Value.Description == "" {
					t.Errorf("%s: header %s of %s has no description", name, header, status)
				}
			}
		}
	})
}

// Every body has an example that keeps its schema.
func TestEveryRequestAndResponseHasASoundExample(t *testing.T) {
	sound := 0
	check := func(place string, content openapi3.Content) {
		for media, body := range content {
			examples := map[string]any{}
			if body.Example != nil {
				examples["example"] = body.Example
			}
			for name, e := range body.Examples {
				examples[name] = e.Value.Value
				if e.Value.ExternalValue != "" {
					t.Errorf("%s, %s: the example %s is somewhere else", place, media, name)
				}
			}
			if body.Schema.Value.Format == "binary" {
				continue // no text to show
			}
			if len(examples) == 0 {
				t.Errorf("%s, %s has no example", place, media)
			}
			for name, value := range examples {
				if err := body.Schema.Value.VisitJSON(value, openapi3.MultiErrors()); err != nil {
					t.Errorf("%s, %s, %s: %v", place, media, name, err)
				}
				sound++
			}
		}
	}
	operations(document(t), func(name string, op *openapi3.Operation, _ openapi3.Parameters) {
		if op.RequestBody != nil {
			check(name, op.RequestBody.Value.Content)
		}
		for status, response := range op.Responses.Map() {
			check(fmt.Sprintf("%s, %s", name, status), response.Value.Content)
		}
	})
	if sound < 50 {
		t.Errorf("%d examples looked at", sound)
	}
}

// Every example of a problem is of the status that it stands at.
func TestProblemsShowTheirStatus(t *testing.T) {
	operations(document(t), func(name string, op *openapi3.Operation, _ openapi3.Parameters) {
		for status, response := range op.Responses.Map() {
			body := response.Value.Content["application/problem+json"]
			if body == nil || status == "default" {
				continue
			}
			shown, _ := body.Example.(map[string]any)
			if got := fmt.Sprint(shown["status"]); got != status {
				t.Errorf("%s: the example of %s has status %s", name, status, got)
			}
		}
	})
}
