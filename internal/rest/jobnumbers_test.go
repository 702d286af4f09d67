//go:build !race

package rest

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"kitspan/api"
)

// everyJobNumber is a job that says every number that a job can; its shot says those of a sizing.
func everyJobNumber(t *testing.T) map[string]any {
	t.Helper()
	var sizing, out map[string]any
	if err := json.Unmarshal([]byte(everyNumber), &sizing); err != nil {
		t.Fatal(err)
	}
	shot := sizing["shot"].(map[string]any)
	place := shot["site"].(map[string]any)
	place["forecast"] = shot["forecast"]
	delete(shot, "site")
	shot["number"], shot["place"], shot["limits"] = "1", "jetty", sizing["limits"]
	movable := map[string]any{"number": "2", "place": "jetty", "when": map[string]any{"date": "2027-06-18", "earliest": "10:00", "latest": "12:00", "duration_min": 30},
		"camera": map[string]any{"bearing_deg": 258}, "framing": map[string]any{"distance_m": 5.5, "focal_length_mm": 50, "sensor_width_mm": 35}}
	text, err := json.Marshal(map[string]any{
		"name": "Estuary", "places": map[string]any{"jetty": place, "slip": place}, "shots": []any{shot, movable},
		"moves": []any{map[string]any{"between": []string{"jetty", "slip"}, "minutes": 20}},
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// Whatever a number of a job is, the job is kept by the database and reads back as it was said, or there is a fault at a field: never 500.
func TestNoNumberBreaksAJob(t *testing.T) {
	t.Parallel()
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	f := withJobs(t)
	said := everyJobNumber(t)
	post := func() answer {
		body, err := json.Marshal(said)
		if err != nil {
			t.Fatal(err)
		}
		return f.staff(http.MethodPost, "/v1/jobs", string(body))
	}
	post().want(201)
	numbers, kept := 0, 0
	try := func(schema *openapi3.Schema, pointer string, set func(any)) {
		numbers++
		if schema.Min == nil || schema.Max == nil {
			t.Errorf("%s has no range in the contract", pointer)
		}
		for _, v := range extremes(schema) {
			set(json.RawMessage(strconv.FormatFloat(v, 'g', -1, 64)))
			switch got := post(); got.status {
			case http.StatusCreated:
				kept++
				body, err := json.Marshal(said)
				if err != nil {
					t.Fatal(err)
				}
				f.do(http.MethodGet, got.header.Get("Location"), "").want(200).sameJSON(string(body))
			case http.StatusUnprocessableEntity:
				if len(got.places()) == 0 {
					t.Errorf("%s is %g: no fault is placed: %s", pointer, v, got.body)
				}
			default:
				t.Errorf("%s is %g: status %d: %.300s", pointer, v, got.status, got.body)
			}
		}
	}
	var walk func(schema *openapi3.Schema, in any, pointer string, set func(any))
	walk = func(schema *openapi3.Schema, in any, pointer string, set func(any)) {
		switch named := schema.AdditionalProperties.Schema; {
		case schema.Type.Is("string") || schema.Type.Is("boolean") || strings.HasSuffix(pointer, "_per_day"):
		case named != nil:
			members := in.(map[string]any)
			walk(named.Value, members["jetty"], pointer+"/jetty", func(v any) { members["jetty"] = v })
		case schema.Type.Is("array"):
			list, _ := in.([]any)
			for i := range list {
				walk(schema.Items.Value, list[i], pointer+"/"+strconv.Itoa(i), func(v any) { list[i] = v })
			}
		case schema.Type.Is("object") || len(schema.AllOf) > 0:
			members, ok := in.(map[string]any)
			if !ok {
				return
			}
			for name, ref := range schema.Properties {
				if was, there := members[name]; there {
					walk(ref.Value, was, pointer+"/"+name, func(v any) { members[name] = v })
					members[name] = was
				}
			}
		default:
			was := in
			try(schema, pointer, set)
			set(was)
		}
	}
	walk(doc.Components.Schemas["JobDraft"].Value, said, "", func(any) {})
	if numbers < 70 || kept < 50 {
		t.Errorf("%d numbers were tried and %d jobs kept, want every one", numbers, kept)
	}
}
