package rest

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/google/go-cmp/cmp"

	"kitspan/api"
	"kitspan/internal/catalog"
)

const stand = `{"sku": "T-STAND-1", "kind": "support", "name": "Test stand", "mass_kg": 9.5, "packed_m3": 0.04, "owned": 6,
	"replacement": {"amount": "310.00", "currency": "EUR"}, "account_code": "3100",
	"rates": [{"valid_from": "2026-01-01", "per_day": {"amount": "9.50", "currency": "EUR"}}, {"valid_from": "2027-01-01", "per_day": {"amount": "10.00", "currency": "EUR"}}],
	"support": {"class": "stand", "lowest_m": 1.2, "highest_m": 3.9, "safe_load_kg": 25, "footprint_m": 0.6, "legs": 3, "arm_reach_m": 0, "operator_sku": ""}}`

const standPath = "/v1/houses/quayside/items/T-STAND-1"

// edit sets members of the stand's top level; a nil value takes one out.
func edit(t *testing.T, members map[string]any) string {
	t.Helper()
	var item map[string]any
	if err := json.Unmarshal([]byte(stand), &item); err != nil {
		t.Fatal(err)
	}
	for k, v := range members {
		if v == nil {
			delete(item, k)
		} else {
			item[k] = v
		}
	}
	body, err := json.Marshal(item)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}

// each storage runs the same tests of the catalogue's handlers.
func testItems(t *testing.T, open func(t *testing.T) storage) {
	t.Run("an item is created, read, changed and deleted", func(t *testing.T) {
		f := newFace(t, open(t))
		made := f.staff("POST", "/v1/houses/quayside/items", stand, "Idempotency-Key", "k1").want(201)
		if got := made.header.Get("Location"); got != standPath {
			t.Errorf("Location %q", got)
		}
		var item Item
		made.into(&item)
		if item.DayRate == nil || item.DayRate.Amount != "9.50" {
			t.Errorf("day_rate on %s: %+v, want the rate of 2026", testDay.Format("2006-01-02"), item.DayRate)
		}
		read := f.do("GET", standPath, "").want(200)
		if diff := cmp.Diff(string(made.body), string(read.body)); diff != "" {
			t.Errorf("read back (-created +read):\n%s", diff)
		}
		tag := read.header.Get("ETag")
		if tag == "" || tag != made.header.Get("ETag") {
			t.Errorf("ETag %q after creating, %q after reading", made.header.Get("ETag"), tag)
		}
		changed := f.staff("PUT", standPath, edit(t, map[string]any{"owned": 7}), "If-Match", tag).want(200)
		changed.into(&item)
		if item.Owned != 7 || changed.header.Get("ETag") == tag {
			t.Errorf("owned %d, ETag %q", item.Owned, changed.header.Get("ETag"))
		}
		f.staff("PUT", standPath, stand, "If-Match", tag).want(412)
		f.staff("DELETE", standPath, "", "If-Match", tag).want(412)
		f.staff("DELETE", standPath, "", "If-Match", changed.header.Get("ETag")).want(204)
		f.do("GET", standPath, "").want(404)
		f.staff("DELETE", standPath, "", "If-Match", changed.header.Get("ETag")).want(404)
		f.staff("PUT", standPath, stand, "If-Match", tag).want(404)
	})

	t.Run("a change needs If-Match", func(t *testing.T) {
		f := newFace(t, open(t))
		tag := f.staff("POST", "/v1/houses/quayside/items", stand, "Idempotency-Key", "k1").want(201).header.Get("ETag")
		f.staff("PUT", standPath, stand).want(428)
		f.staff("DELETE", standPath, "").want(428)
		bare := strings.Trim(tag, `"`)
		for _, other := range []string{
			`"x"`, `x`, `"999999"`, `"0` + bare + `"`, `"+` + bare + `"`, bare, `"` + bare, `W/` + tag, `W/` + tag + `, W/"2"`, `"999998", "999999"`,
			`"` + bare + `,2"`, `"999999", W/` + tag, `"*"`, `"999999", *`, `,`,
		} {
			f.staff("PUT", standPath, stand, "If-Match", other).want(412)
			f.staff("DELETE", standPath, "", "If-Match", other).want(412)
		}
		f.staff("PUT", standPath, stand, "If-Match", `"999999", `+tag).want(200)
		f.staff("PUT", standPath, stand, "If-Match", `*`).want(200)
		f.staff("DELETE", standPath, "", "If-Match", `*`).want(204)
		f.staff("DELETE", standPath, "", "If-Match", `*`).want(404)
		f.staff("PUT", standPath, stand, "If-Match", `*`).want(404)
		f.staff("PUT", standPath, stand, "If-Match", `"1", "2"`).want(404)
	})

	t.Run("any state will do in a race", func(t *testing.T) {
		f := newFace(t, open(t))
		f.staff("POST", "/v1/houses/quayside/items", stand, "Idempotency-Key", "k1").want(201)
		statuses := make(chan int)
		for i := range 4 {
			go func() {
				statuses <- f.staff("PUT", standPath, edit(t, map[string]any{"owned": 10 + i}), "If-Match", "*").status
			}()
		}
		for range 4 {
			if got := <-statuses; got != 200 {
				t.Errorf("status %d, want 200", got)
			}
		}
	})

	t.Run("a repeated creation is answered again and changes nothing", func(t *testing.T) {
		f := newFace(t, open(t))
		first := f.staff("POST", "/v1/houses/quayside/items", stand, "Idempotency-Key", "k1").want(201)
		again := f.staff("POST", "/v1/houses/quayside/items", strings.ReplaceAll(stand, "\n", "  \n"), "Idempotency-Key", "k1").want(201)
		if string(first.body) != string(again.body) || first.header.Get("ETag") != again.header.Get("ETag") {
			t.Errorf("the repeat answers %s %s", again.header.Get("ETag"), again.body)
		}
		f.staff("POST", "/v1/houses/quayside/items", edit(t, map[string]any{"sku": "T-STAND-2"}), "Idempotency-Key", "k1").want(409)
		f.staff("POST", "/v1/houses/quayside/items", stand, "Idempotency-Key", "k2").want(409)
		f.staff("POST", "/v1/houses/quayside/items", stand).want(400)
		f.staff("POST", "/v1/houses/quayside/items", stand, "Idempotency-Key", strings.Repeat("k", 201)).want(422)
	})

	t.Run("a change shows in the next list and its tag", func(t *testing.T) {
		f := newFace(t, open(t))
		before := f.do("GET", "/v1/houses/quayside/items?kind=support", "").want(200)
		f.do("GET", "/v1/houses/quayside/items?kind=support", "", "If-None-Match", before.header.Get("ETag")).want(304)
		f.staff("POST", "/v1/houses/quayside/items", stand, "Idempotency-Key", "k1").want(201)
		after := f.do("GET", "/v1/houses/quayside/items?kind=support", "", "If-None-Match", before.header.Get("ETag")).want(200)
		if !strings.Contains(string(after.body), "T-STAND-1") || strings.Contains(string(before.body), "T-STAND-1") {
			t.Error("the new item is not in the list")
		}
	})

	t.Run("pages hold every item once, in order", func(t *testing.T) {
		f := newFace(t, open(t))
		stock, _ := catalog.DemoSnapshot("quayside")
		for _, kind := range []string{"", "frame"} {
			var want, got []string
			for _, i := range stock.Items() {
				if kind == "" || string(i.Kind()) == kind {
					want = append(want, i.SKU)
				}
			}
			path := "/v1/houses/quayside/items?limit=7"
			if kind != "" {
				path += "&kind=" + kind
			}
			for next, pages := "", 0; pages <= len(want); pages++ {
				var page ItemPage
				f.do("GET", path+next, "").want(200).into(&page)
				for _, i := range page.Items {
					got = append(got, i.Sku)
				}
				if page.NextCursor == nil {
					break
				}
				next = "&cursor=" + *page.NextCursor
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("kind %q (-catalogue +pages):\n%s", kind, diff)
			}
		}
	})

	t.Run("what is exported can be imported again, all kinds", func(t *testing.T) {
		f := newFace(t, open(t))
		for _, kind := range catalog.Kinds() {
			path := "/v1/houses/quayside/items?kind=" + string(kind) + "&limit=500"
			before := f.do("GET", path, "").want(200)
			file := f.do("GET", "/v1/houses/quayside/items.csv?kind="+string(kind), "").want(200)
			f.staff("POST", "/v1/houses/quayside/items/import?kind="+string(kind), string(file.body), "Content-Type", "text/csv").want(200)
			after := f.do("GET", path, "").want(200)
			if diff := cmp.Diff(string(before.body), string(after.body)); diff != "" {
				t.Errorf("%s (-before +after):\n%s", kind, diff)
			}
		}
	})

	t.Run("one bad cell refuses the whole file and every bad cell is named", func(t *testing.T) {
		f := newFace(t, open(t))
		file := string(f.do("GET", "/v1/houses/quayside/items.csv?kind=ballast", "").want(200).body)
		lines := strings.Split(strings.TrimSpace(file), "\n")
		fresh := strings.Replace(lines[1], lines[1][:strings.Index(lines[1][9:], ",")+9], "quayside,T-NEW", 1)
		bad := strings.NewReplacer("bag", "sack", "block", "sack").Replace(lines[1])
		body := strings.Join([]string{lines[0], fresh, bad}, "\n") + "\n"
		refused := f.staff("POST", "/v1/houses/quayside/items/import?kind=ballast", body, "Content-Type", "text/csv").want(422)
		var p Problem
		refused.into(&p)
		if len(deref(p.Errors)) != 1 || deref((*p.Errors)[0].Line) != 3 || deref((*p.Errors)[0].Column) != "form" {
			t.Errorf("errors: %s", refused.body)
		}
		f.do("GET", "/v1/houses/quayside/items/T-NEW", "").want(404)
		for sent, want := range map[string]string{
			body: "1 cell of the file is wrong; nothing was stored.",
			strings.Join([]string{lines[0], fresh, bad, bad}, "\n"):    "3 cells of the file are wrong; nothing was stored.", // the second SKU occurs twice
			strings.Join([]string{lines[0], "quayside,T-2"}, "\n"):     "1 place of the file is wrong; nothing was stored.",
			"house,sku\nquayside,T-NEW\n":                              "The heading of the file is wrong: 9 columns are missing; nothing was stored.",
			strings.Replace(strings.Join(lines, "\n"), ",form", "", 1): "The heading of the file is wrong: 1 column is missing; nothing was stored.",
		} {
			var p Problem
			f.staff("POST", "/v1/houses/quayside/items/import?kind=ballast", sent, "Content-Type", "text/csv").want(422).into(&p)
			if p.Detail != want {
				t.Errorf("detail %q, want %q", p.Detail, want)
			}
		}
	})

	t.Run("houses", func(t *testing.T) {
		f := newFace(t, open(t))
		var page HousePage
		f.do("GET", "/v1/houses?limit=1", "").want(200).into(&page)
		if len(page.Items) != 1 || page.Items[0].House != "northpier" || page.NextCursor == nil {
			t.Fatalf("first page: %+v", page)
		}
		f.do("GET", "/v1/houses?cursor="+*page.NextCursor, "").want(200).into(&page)
		if len(page.Items) != 1 || page.Items[0].House != "quayside" || page.NextCursor != nil {
			t.Fatalf("second page: %+v", page)
		}
		var house House
		f.do("GET", "/v1/houses/quayside", "").want(200).into(&house)
		if house != page.Items[0] {
			t.Errorf("the house is %+v, in the list %+v", house, page.Items[0])
		}
	})

	t.Run("addresses where nothing stands", func(t *testing.T) {
		f := newFace(t, open(t))
		for _, path := range []string{"/", "/v1", "/v1/house", "/v1/houses/riverside", "/v1/houses/riverside/items",
			"/v1/houses/riverside/items.csv?kind=frame", "/v1/houses/quayside/items/NO-SUCH", "/v1/houses/quayside/items/import",
			"/v1/houses/riverside/items/X", "/v1/houses/quay%00side", "/v1/houses/quayside/items/A%00B", "/v1/houses/quayside/items/%ff"} {
			f.do("GET", path, "").want(404)
		}
		f.staff("POST", "/v1/houses/riverside/items", stand, "Idempotency-Key", "k").want(404)
		f.staff("POST", "/v1/houses/riverside/items/import?kind=frame", "x", "Content-Type", "text/csv").want(404)
		f.staff("DELETE", "/v1/houses/quayside/items/NO-SUCH", "", "If-Match", `"1"`).want(404)
	})

	t.Run("two changes of the same state: one wins", func(t *testing.T) {
		f := newFace(t, open(t))
		tag := f.staff("POST", "/v1/houses/quayside/items", stand, "Idempotency-Key", "k1").want(201).header.Get("ETag")
		statuses := make(chan int, 8)
		for i := range cap(statuses) {
			go func() {
				statuses <- f.staff("PUT", standPath, edit(t, map[string]any{"owned": 10 + i}), "If-Match", tag).status
			}()
		}
		var won int
		for range cap(statuses) {
			switch s := <-statuses; s {
			case 200:
				won++
			case 412:
			default:
				t.Errorf("status %d", s)
			}
		}
		if won != 1 {
			t.Errorf("%d changes of one state were taken, want 1", won)
		}
	})
}

func TestItemsInMemory(t *testing.T) {
	testItems(t, func(*testing.T) storage { return newMemory() })
}

func TestBadItemsNameTheFieldByPointer(t *testing.T) {
	f := newFace(t, newMemory())
	support := func(change map[string]any) map[string]any {
		s := map[string]any{"class": "stand", "lowest_m": 1.2, "highest_m": 3.9, "safe_load_kg": 25, "footprint_m": 0.6,
			"legs": 3, "arm_reach_m": 0, "operator_sku": ""}
		for k, v := range change {
			if v == nil {
				delete(s, k)
			} else {
				s[k] = v
			}
		}
		return s
	}
	money := func(amount, code string) map[string]any { return map[string]any{"amount": amount, "currency": code} }
	for name, tc := range map[string]struct {
		change map[string]any
		status int
		places []string
	}{
		"a small-letter SKU":      {map[string]any{"sku": "stand"}, 422, []string{"/sku"}},
		"no name":                 {map[string]any{"name": nil}, 422, []string{"/name"}},
		"an empty name":           {map[string]any{"name": ""}, 422, []string{"/name"}},
		"negative mass":           {map[string]any{"mass_kg": -1}, 422, []string{"/mass_kg"}},
		"half owned":              {map[string]any{"owned": 1.5}, 422, []string{"/owned"}},
		"unknown kind":            {map[string]any{"kind": "tripod"}, 422, []string{"/kind"}},
		"no kind":                 {map[string]any{"kind": nil}, 422, []string{"/kind"}},
		"attributes missing":      {map[string]any{"support": nil}, 422, []string{"/support"}},
		"one attribute missing":   {map[string]any{"support": support(map[string]any{"legs": nil})}, 422, []string{"/support/legs"}},
		"attributes of another":   {map[string]any{"lamp": map[string]any{}}, 422, []string{"/lamp"}},
		"two legs":                {map[string]any{"support": support(map[string]any{"legs": 2})}, 422, []string{"/support/legs"}},
		"lower than lowest":       {map[string]any{"support": support(map[string]any{"highest_m": 1})}, 422, []string{"/support/lowest_m"}},
		"a machine by nobody":     {map[string]any{"support": support(map[string]any{"class": "machine"})}, 422, []string{"/support/operator_sku"}},
		"another currency":        {map[string]any{"replacement": money("310.00", "USD"), "rates": []any{}}, 422, []string{"/replacement"}},
		"a rate in another":       {map[string]any{"rates": []any{map[string]any{"valid_from": "2026-01-01", "per_day": money("9.50", "USD")}}}, 422, []string{"/rates/0"}},
		"too many decimals":       {map[string]any{"replacement": money("310.001", "EUR")}, 422, []string{"/replacement/amount"}},
		"no such date":            {map[string]any{"rates": []any{map[string]any{"valid_from": "2026-02-30", "per_day": money("9.50", "EUR")}}}, 422, []string{"/rates/0/valid_from"}},
		"two rates from one date": {map[string]any{"rates": []any{map[string]any{"valid_from": "2026-01-01", "per_day": money("9.50", "EUR")}, map[string]any{"valid_from": "2026-01-01", "per_day": money("9.60", "EUR")}}}, 422, []string{"/rates/1"}},
		"an unknown attribute":    {map[string]any{"support": support(map[string]any{"colour": "red"})}, 400, []string{"/support/colour"}},
		"text for a mass":         {map[string]any{"mass_kg": "9"}, 400, []string{"/mass_kg"}},
		"everything at once": {map[string]any{"sku": "stand", "name": nil, "mass_kg": -1, "rates": []any{map[string]any{}}, "support": support(map[string]any{"legs": 2, "class": "tree"})}, 422,
			[]string{"/mass_kg", "/name", "/rates/0/per_day", "/rates/0/valid_from", "/sku", "/support/class", "/support/legs"}},
	} {
		t.Run(name, func(t *testing.T) {
			f := *f
			f.t = t
			got := f.staff("POST", "/v1/houses/quayside/items", edit(t, tc.change), "Idempotency-Key", "k").want(tc.status).places()
			if diff := cmp.Diff(tc.places, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
	t.Run("the address names another SKU", func(t *testing.T) {
		f := *f
		f.t = t
		got := f.staff("PUT", standPath, edit(t, map[string]any{"sku": "T-OTHER"}), "If-Match", `"1"`).want(422).places()
		if !slices.Equal(got, []string{"/sku"}) {
			t.Errorf("faults at %v", got)
		}
	})
}

func TestParametersAreStrict(t *testing.T) {
	f := newFace(t, newMemory())
	for path, place := range map[string]string{
		"/v1/houses/quayside/items?knd=frame":             "knd",
		"/v1/houses/quayside/items?kind=frames":           "kind",
		"/v1/houses/quayside/items?kind=":                 "kind",
		"/v1/houses/quayside/items?limit=0":               "limit",
		"/v1/houses/quayside/items?limit=501":             "limit",
		"/v1/houses/quayside/items?limit=ten":             "limit",
		"/v1/houses/quayside/items?limit=1&limit=2":       "limit",
		"/v1/houses/quayside/items?cursor=zzz":            "cursor",
		"/v1/houses/quayside?x=1":                         "x",
		"/v1/houses/quayside/items.csv":                   "kind",
		"/v1/houses/quayside/items.csv?kind=frame&sort=x": "sort",
	} {
		if got := f.do("GET", path, "").want(400).places(); !slices.Equal(got, []string{place}) {
			t.Errorf("%s: faults at %v, want %s", path, got, place)
		}
	}
}

func TestWritingNeedsTheStaffToken(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	fill := strings.NewReplacer("{house}", "quayside", "{sku}", "NO-SUCH", "{job}", "nosuchjob000", "{shot}", "1")
	guarded := 0
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			wants := op.Security != nil
			// A run of a plan is cancelled by whoever has its address, which nobody guesses.
			open := []string{"/v1/sizings", "/v1/sweeps", "/v1/reaches", "/v1/plans", "/v1/plans/{plan}"}
			if reads := method == "GET" && path != "/metrics" || slices.Contains(open, path); reads == wants {
				t.Errorf("%s %s: the contract asks for a token: %v", method, path, wants)
			}
			f := newFace(t, newMemory()) // who guesses wrong at one operation would have to wait at the next
			for _, header := range []string{"", "Bearer", "Bearer wrong", "Basic " + testToken, testToken, "Bearer " + testToken + "x"} {
				got := f.do(method, fill.Replace(path), "", "Authorization", header)
				if (got.status == http.StatusUnauthorized) != wants {
					t.Errorf("%s %s with %q: status %d", method, path, header, got.status)
				}
				if wants && got.header.Get("WWW-Authenticate") != "Bearer" {
					t.Errorf("%s %s: WWW-Authenticate %q", method, path, got.header.Get("WWW-Authenticate"))
				}
			}
			if wants {
				guarded++
				if got := f.staff(method, fill.Replace(path), ""); got.status == http.StatusUnauthorized {
					t.Errorf("%s %s refuses the right token", method, path)
				}
				got := answer{status: http.StatusUnauthorized}
				for i := 0; got.status == http.StatusUnauthorized && i < 20; i++ {
					got = f.do(method, fill.Replace(path), "", "Authorization", "Bearer wrong")
				}
				if got.status != http.StatusTooManyRequests || got.header.Get("Retry-After") == "" {
					t.Errorf("%s %s after many wrong tokens: status %d, Retry-After %q", method, path, got.status, got.header.Get("Retry-After"))
				}
			}
		}
	}
	if guarded != 14 {
		t.Errorf("%d operations want the token, want 14", guarded)
	}
}

func TestMethodsThatAnAddressDoesNotTake(t *testing.T) {
	f := newFace(t, newMemory())
	for path, allow := range map[string]string{
		"/v1/sizings": "OPTIONS, POST", "/v1/houses": "GET, HEAD, OPTIONS", "/v1/houses/quayside/items": "GET, HEAD, OPTIONS, POST",
		"/v1/houses/quayside/items/X": "DELETE, GET, HEAD, OPTIONS, PUT", "/openapi.json": "GET, HEAD, OPTIONS",
	} {
		if got := serve(f.handler, http.MethodOptions, path); got.Code != http.StatusNoContent || got.Header().Get("Allow") == "" || got.Body.Len() > 0 {
			t.Errorf("OPTIONS %s: status %d, Allow %q", path, got.Code, got.Header().Get("Allow"))
		}
		got := f.do("PATCH", path, "").want(405)
		methods := strings.Split(got.header.Get("Allow"), ", ")
		slices.Sort(methods)
		if have := strings.Join(methods, ", "); have != allow {
			t.Errorf("%s: Allow %q, want %q", path, have, allow)
		}
	}
}

// The contract names the attributes of each kind as the catalogue does.
func TestContractNamesTheCataloguesAttributes(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	draft := doc.Components.Schemas["ItemDraft"].Value
	for _, kind := range catalog.Kinds() {
		schema := draft.Properties[string(kind)].Value
		var want, got []string
		for _, f := range catalog.NewSpec(kind).Fields() {
			want = append(want, f.Name)
			wantType := map[string]string{"*float64": "number", "*int": "integer", "*string": "string"}[fmt.Sprintf("%T", f.Value)]
			if p := schema.Properties[f.Name]; p == nil || !p.Value.Type.Is(wantType) {
				t.Errorf("%s %s is not a %s in the contract", kind, f.Name, wantType)
			}
		}
		for name := range schema.Properties {
			got = append(got, name)
		}
		slices.Sort(want)
		slices.Sort(got)
		slices.Sort(schema.Required)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-catalogue +contract):\n%s", kind, diff)
		}
		if diff := cmp.Diff(want, schema.Required); diff != "" {
			t.Errorf("%s required (-catalogue +contract):\n%s", kind, diff)
		}
	}
}

func TestOperation(t *testing.T) {
	storage := newMemory()
	f := newFace(t, storage)
	f.do("GET", "/healthz", "").want(200)
	f.do("GET", "/readyz", "").want(200)
	f.do("GET", "/v1/houses/quayside/items", "").want(200)
	f.do("GET", "/v1/houses/nowhere/items", "").want(404)
	f.do("GET", "/metrics", "").want(401)
	metrics := string(f.staff("GET", "/metrics", "").want(200).body)
	for _, line := range []string{
		`kitspan_http_request_seconds_count{method="GET",route="/v1/houses/:house/items",status="200"} 1`,
		`kitspan_http_request_seconds_count{method="GET",route="/v1/houses/:house/items",status="404"} 1`,
	} {
		if !strings.Contains(metrics, line) {
			t.Errorf("metrics lack %s", line)
		}
	}
	var document struct {
		OpenAPI string `json:"openapi"`
		Paths   map[string]any
	}
	f.do("GET", "/openapi.json", "").want(200).into(&document)
	if document.OpenAPI == "" || document.Paths["/v1/sizings"] == nil {
		t.Error("/openapi.json is not the contract")
	}
	if strings.Contains(f.log.String(), "level=ERROR") {
		t.Errorf("expected refusals stand in the log as errors:\n%s", f.log)
	}

	storage.down = fmt.Errorf("dial: %w", catalog.ErrUnavailable)
	f.do("GET", "/healthz", "").want(200)
	f.do("GET", "/readyz", "").want(503)
	f.do("GET", "/v1/houses/quayside/items", "").want(503)
	f.do("POST", "/v1/sizings", examples(t)[anglers]).want(503)
}

func TestUnknownErrorsAreAGenericSentenceAndAChainInTheLog(t *testing.T) {
	storage := newMemory()
	storage.down = errors.New("secret detail of the driver")
	err := ProblemOf(storage.down)
	if err.Status != 500 || strings.Contains(err.Detail, "secret") {
		t.Errorf("problem: %+v", err)
	}
	var log strings.Builder
	f := newFace(t, storage)
	f.server.log = newTestLog(&log)
	rec := serve(f.handler, "GET", "/v1/houses/quayside/items")
	if rec.Code != 500 || strings.Contains(rec.Body.String(), "secret") {
		t.Errorf("answer %d %s", rec.Code, rec.Body)
	}
	if !strings.Contains(log.String(), "level=ERROR") || !strings.Contains(log.String(), "secret detail of the driver") {
		t.Errorf("log: %s", &log)
	}
}
