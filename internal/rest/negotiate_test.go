package rest

import (
	"encoding/csv"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"kitspan/api"
)

func TestAcceptIsHonoured(t *testing.T) {
	f := newFace(t, newMemory())
	const (
		list  = "/v1/houses/quayside/items?limit=3"
		kind  = list + "&kind=frame"
		file  = "/v1/houses/quayside/items.csv?kind=frame"
		house = "/v1/houses/quayside"
	)
	for name, tc := range map[string]struct {
		path, accept string
		want         string // media type; empty is 406
	}{
		"no header":                        {kind, "", jsonType},
		"anything":                         {kind, "*/*", jsonType},
		"CSV of a list":                    {kind, "text/csv", csvType},
		"CSV rather than JSON":             {kind, "application/json;q=0.5, text/*", csvType},
		"JSON rather than CSV":             {kind, "application/*, text/csv;q=0.5", jsonType},
		"a list of all kinds is no CSV":    {list, "text/csv", ""},
		"a list of all kinds, CSV at best": {list, "text/csv, */*;q=0.1", jsonType},
		"a page of the Web":                {kind, "text/html", ""},
		"JSON refused":                     {house, "application/json;q=0, text/html", ""},
		"all but JSON":                     {house, "*/*, application/json;q=0", ""},
		"a problem is no answer":           {house, "application/problem+json", ""},
		"a browser":                        {house, "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", jsonType},
		"a file":                           {file, "text/csv", csvType},
		"a file as anything":               {file, "*/*", csvType},
		"a file as JSON":                   {file, "application/json", ""},
		"the contract":                     {"/openapi.json", "application/*", jsonType},
		"probes are always answered":       {"/healthz", "text/html", jsonType},
	} {
		t.Run(name, func(t *testing.T) {
			f := *f
			f.t = t
			var headers []string
			if tc.accept != "" {
				headers = []string{"Accept", tc.accept}
			}
			if tc.want == "" {
				f.do("GET", tc.path, "", headers...).want(406)
				return
			}
			got := f.do("GET", tc.path, "", headers...).want(200)
			if media, _, _ := strings.Cut(got.header.Get("Content-Type"), ";"); media != tc.want {
				t.Errorf("sent as %s, want %s", media, tc.want)
			}
			if vary := got.header.Values("Vary"); tc.path != "/healthz" && !slices.Contains(vary, "Accept") {
				t.Errorf("Vary %q", vary)
			}
		})
	}
}

func TestRefusalOfAcceptNamesWhatThereIs(t *testing.T) {
	f := newFace(t, newMemory())
	for path, names := range map[string][]string{
		"/v1/houses":                           {"application/json"},
		"/v1/houses/quayside/items?kind=frame": {"application/json", "text/csv"},
		"/v1/houses/quayside/items":            {"application/json", "text/csv", "kind"},
		"/v1/houses/quayside/items.csv":        {"text/csv"},
	} {
		var p Problem
		f.do("GET", path, "", "Accept", "image/png").want(406).into(&p)
		for _, name := range names {
			if !strings.Contains(p.Detail, name) {
				t.Errorf("%s: %q does not name %s", path, p.Detail, name)
			}
		}
	}
}

// What the client could not read the answer of is not done.
func TestNothingIsDoneForWhoCannotTakeTheAnswer(t *testing.T) {
	f := newFace(t, newMemory())
	const items = "/v1/houses/quayside/items"
	f.staff("POST", items, stand, "Idempotency-Key", "k", "Accept", "text/csv").want(406)
	f.do("GET", standPath, "").want(404)
	tag := f.staff("POST", items, stand, "Idempotency-Key", "k", "Accept", "application/*").want(201).header.Get("ETag")
	f.staff("PUT", standPath, stand, "If-Match", tag, "Accept", "text/html").want(406)
	f.staff("POST", items+"/import?kind=frame", "x", "Content-Type", "text/csv", "Accept", "text/csv").want(406)
	f.do("POST", "/v1/sizings", "{}", "Accept", "text/html").want(406)
	f.staff("DELETE", standPath, "", "If-Match", tag, "Accept", "text/html").want(204)
}

func TestErrorsAreProblemsWhateverIsAsked(t *testing.T) {
	f := newFace(t, newMemory()) // every answer of 400 and more is held to be a problem document
	f.do("GET", "/v1/houses/nowhere", "", "Accept", "application/json").want(404)
	f.do("GET", "/v1/nowhere", "", "Accept", "text/html").want(404)
	f.do("PATCH", "/v1/houses", "", "Accept", "text/html").want(405)
	f.do("POST", "/v1/houses/quayside/items", stand, "Accept", "text/html").want(401)
	f.do("GET", "/v1/houses/quayside/items?limit=x&kind=frame", "", "Accept", "text/csv").want(400)
	if got := serve(f.handler, http.MethodOptions, "/v1/houses"); got.Code != http.StatusNoContent {
		t.Errorf("OPTIONS: status %d", got.Code)
	}
}

// A page of CSV holds the items of the same page of JSON, and leads to the next one as that does.
func TestPagesOfCSVAreThoseOfJSON(t *testing.T) {
	f := newFace(t, newMemory())
	const first = "/v1/houses/quayside/items?kind=frame&limit=2&q=12"
	pages := 0
	for path := first; path != ""; pages++ {
		var page ItemPage
		asJSON := f.do("GET", path, "").want(200)
		asJSON.into(&page)
		asCSV := f.do("GET", path, "", "Accept", "text/csv").want(200)
		rows, err := csv.NewReader(strings.NewReader(string(asCSV.body))).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		var got, want []string
		for _, row := range rows[1:] {
			got = append(got, row[slices.Index(rows[0], "sku")])
		}
		for _, item := range page.Items {
			want = append(want, item.Sku)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: CSV has %v, JSON %v", path, got, want)
		}
		link := asJSON.header.Get("Link")
		if other := asCSV.header.Get("Link"); other != link || (link == "") != (page.NextCursor == nil) {
			t.Errorf("%s: Link %q as CSV, %q as JSON", path, other, link)
		}
		if asJSON.header.Get("ETag") == asCSV.header.Get("ETag") {
			t.Errorf("%s: both forms have the tag %s", path, asCSV.header.Get("ETag"))
		}
		f.do("GET", path, "", "Accept", "text/csv", "If-None-Match", asCSV.header.Get("ETag")).want(304)
		f.do("GET", path, "", "Accept", "text/csv", "If-None-Match", asJSON.header.Get("ETag")).want(200)
		path = strings.TrimSuffix(strings.TrimPrefix(link, "<"), `>; rel="next"`)
	}
	if pages < 2 {
		t.Errorf("%d pages", pages)
	}
}

// What a route offers is what the contract says that it answers with.
func TestContractNamesTheMediaTypesOffered(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	route := strings.NewReplacer("{", ":", "}", "")
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			want := offered(method, route.Replace(path))
			refuses := op.Responses.Value("406") != nil
			if refuses != (want != nil) {
				t.Errorf("%s %s offers %v, and the contract has a 406: %v", method, path, want, refuses)
			}
			for status, response := range op.Responses.Map() {
				if !strings.HasPrefix(status, "2") || want == nil {
					continue
				}
				if len(response.Value.Content) != len(want) {
					t.Errorf("%s %s: %d media types in the contract, %v are offered", method, path, len(response.Value.Content), want)
				}
				for _, media := range want {
					if response.Value.Content[media] == nil {
						t.Errorf("%s %s: the contract lacks %s", method, path, media)
					}
				}
			}
		}
	}
}
