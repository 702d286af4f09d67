package rest

import (
	"net/http"
	"net/http/httptest"
	"reflect"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"kitspan/api"
)

// filled is a body of nearly the greatest size: head, then as many of each as fit, then tail.
func filled(head, each, tail string) string {
	return head + strings.Repeat(each, (MaxBody-len(head)-len(tail))/len(each)) + tail
}

// numbered is filled with members of different names.
func numbered(head, value, tail string) string {
	var b strings.Builder
	b.WriteString(head)
	for i := 0; b.Len() < MaxBody-len(tail)-len(value)-20; i++ {
		b.WriteString(`"` + strconv.FormatInt(int64(i), 36) + `":` + value + `,`)
	}
	b.WriteString(`"end":0` + tail)
	return b.String()
}

// However a body of the greatest size is filled, answering it allocates no more than some times its size in all: reading
// takes up to three times, since the buffer grows, and the race detector adds a little. An empty lamp that was built would take thirty times its three bytes,
// and its faults a hundred and fifty times.
func TestHostileBodiesCostLittleMemory(t *testing.T) {
	const timesTheBody = 12
	long := strings.Repeat(`{"`+strings.Repeat("n", 400)+`":`, 60)
	for name, tc := range map[string]struct{ path, body string }{
		"empty lamps":                     {"/v1/sizings", filled(`{"shot":{"lamps":[{}`, `,{}`, `]}}`)},
		"empty zones":                     {"/v1/sweeps", filled(`{"shot":{"other_zones":[{}`, `,{}`, `]}}`)},
		"lamps of numbers":                {"/v1/sizings", filled(`{"shot":{"lamps":[1`, `,1`, `]}}`)},
		"a point of very many dimensions": {"/v1/sizings", filled(`{"shot":{"lamps":[{"position_m":[1`, `,1`, `]}]}}`)},
		"a zone's point likewise":         {"/v1/sizings", filled(`{"shot":{"other_zones":[{"center_m":[1`, `,1`, `]}]}}`)},
		"empty fixed points":              {"/v1/sizings", filled(`{"shot":{"site":{"anchors":[{}`, `,{}`, `]}}}`)},
		"a fixed point far off":           {"/v1/sizings", filled(`{"shot":{"site":{"anchors":[{"position_m":[1`, `,1`, `]}]}}}`)},
		"empty rows of a forecast":        {"/v1/sizings", filled(`{"shot":{"forecast":[{}`, `,{}`, `]}}`)},
		"a forecast of texts":             {"/v1/sweeps", filled(`{"shot":{"forecast":[{"at":"x","gust_ms":1e999,"cloud":1e999}`, `,{"at":"x","gust_ms":1e999,"cloud":1e999}`, `]}}`)},
		"a long time":                     {"/v1/sizings", filled(`{"shot":{"forecast":[{"at":"2`, `0`, `"}]}}`)},
		"frames":                          {"/v1/reaches", filled(`{"frames":[""`, `,""`, `]}`)},
		"rates":                           {"/v1/houses/quayside/items", filled(`{"rates":[{}`, `,{}`, `]}`)},
		"lists in an unknown list":        {"/v1/sizings", filled(`{"x":[[]`, `,[]`, `]}`)},
		"objects in an unknown list":      {"/v1/sizings", filled(`{"x":[{"a":1}`, `,{"a":1}`, `]}`)},
		"an unknown object's members":     {"/v1/sizings", numbered(`{"x":{`, `0`, `}}`)},
		"unknown members":                 {"/v1/sizings", numbered(`{`, `0`, `}`)},
		"a member very often":             {"/v1/sizings", filled(`{"house":1`, `,"house":1`, `}`)},
		"lists in lists":                  {"/v1/sizings", filled(`{"x":`, `[`, ``)},
		"objects in objects":              {"/v1/sizings", filled(``, `{"a":`, ``)},
		"many under long names":           {"/v1/sizings", filled(long+`[0`, `,0`, `]`+strings.Repeat(`}`, 60))},
		"a long number":                   {"/v1/sizings", filled(`{"shot":{"gust_ms":1`, `0`, `}}`)},
		"a long name":                     {"/v1/sizings", filled(`{"shot":{"name":"`, `n`, `"}}`)},
		"long labels": {"/v1/sizings", `{"shot":{"lamps":[` + strings.Repeat(`{"label":"`+strings.Repeat("l", MaxBody/12-30)+`"},`, 11) +
			`{"label":""}]}}`},
	} {
		t.Run(name, func(t *testing.T) {
			if len(tc.body) < MaxBody*8/10 || len(tc.body) > MaxBody {
				t.Fatalf("the body is %d bytes: want nearly %d", len(tc.body), MaxBody)
			}
			handler := newFace(t, newMemory()).handler
			send := func(body string) (int, []byte) {
				req := httptest.NewRequestWithContext(t.Context(), http.MethodPost, tc.path, strings.NewReader(body))
				req.Header.Set("Content-Type", "application/json")
				req.Header.Set("Authorization", "Bearer "+testToken)
				req.Header.Set("Idempotency-Key", "k")
				rec := httptest.NewRecorder()
				handler.ServeHTTP(rec, req)
				return rec.Code, rec.Body.Bytes()
			}
			send(`{}`) // what is made once
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			status, answer := send(tc.body)
			runtime.ReadMemStats(&after)
			if status != http.StatusBadRequest && status != http.StatusUnprocessableEntity {
				t.Errorf("status %d, want 400 or 422: %.300s", status, answer)
			}
			if most := 64 << 10; len(answer) > most {
				t.Errorf("the answer has %d bytes, want at most %d", len(answer), most)
			}
			got := int(after.TotalAlloc - before.TotalAlloc)
			if got > timesTheBody*MaxBody {
				t.Errorf("%d bytes were allocated, %d times the body: want at most %d times", got, got/MaxBody, timesTheBody)
			}
		})
	}
}

// The decoder knows of every list in a request how many elements the contract lets it have.
func TestDecoderKnowsTheContractsMaxItems(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	var walk func(schema *openapi3.Schema, in reflect.Type, at string)
	walk = func(schema *openapi3.Schema, in reflect.Type, at string) {
		for in.Kind() == reflect.Pointer || in.Kind() == reflect.Slice {
			in = in.Elem()
		}
		if in.Kind() != reflect.Struct {
			return
		}
		known := fieldsOf(in)
		for name, ref := range schema.Properties {
			f, member := known[name], ref.Value
			if named := member.AdditionalProperties.Schema; named != nil { // an object whose names are the sender's
				if checked++; member.MaxProps == nil || int(*member.MaxProps) != f.maxItems {
					t.Errorf("%s/%s: the contract's maxProperties is %v, the decoder takes %d", at, name, member.MaxProps, f.maxItems)
				}
				walk(named.Value, in.Field(f.index).Type.Elem(), at+"/"+name)
				continue
			}
			if member.Type.Is("array") {
				if checked++; member.MaxItems == nil || int(*member.MaxItems) != f.maxItems {
					t.Errorf("%s/%s: the contract's maxItems is %v, the decoder takes %d", at, name, member.MaxItems, f.maxItems)
				}
				member = member.Items.Value
			}
			walk(member, in.Field(f.index).Type, at+"/"+name)
		}
	}
	for name, body := range map[string]any{
		"SizingRequest": SizingRequest{}, "SweepRequest": SweepRequest{}, "ReachRequest": ReachRequest{}, "ItemDraft": ItemDraft{},
		"PlanRequest": PlanRequest{}, "JobDraft": JobDraft{}, "JobShotDraft": JobShotDraft{}, "ShotsDraft": ShotsDraft{}, "ShotOrder": ShotOrder{},
	} {
		walk(doc.Components.Schemas[name].Value, reflect.TypeOf(body), name)
	}
	if checked < 40 {
		t.Errorf("%d lists were checked, want every one of a request", checked)
	}
}
