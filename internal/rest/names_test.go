package rest

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// unnameable are segments of an address that no house and no item is called.
var unnameable = []string{"%00", "A%00", "%01", "%1b%5b31m", "%7f", "%ff", "%c0%80", "%ed%a0%80", "%e2%80%ae", "%20", "%2e%2e", "%2e%2e%2f", "%2f", "a%0ab",
	strings.Repeat("A", 5000)}

// The storage is not asked for a name that cannot be: that of these tests answers some of them with an error, as
// PostgreSQL does.
func TestNamesThatCannotBeAreNotFound(t *testing.T) {
	f := newFace(t, newMemory())
	for _, name := range unnameable {
		for _, path := range []string{
			"/v1/houses/" + name, "/v1/houses/" + name + "/items", "/v1/houses/" + name + "/items.csv?kind=frame",
			"/v1/houses/" + name + "/items/QG-STAND-LOW", "/v1/houses/quayside/items/" + name,
		} {
			if rec := serve(f.handler, http.MethodGet, path); rec.Code != http.StatusNotFound {
				t.Errorf("GET %.80s: status %d, want 404: %s", path, rec.Code, rec.Body)
			}
		}
		req := httptest.NewRequestWithContext(t.Context(), http.MethodDelete, "/v1/houses/quayside/items/"+name, nil)
		req.Header.Set("Authorization", "Bearer "+testToken)
		req.Header.Set("If-Match", `"1"`)
		rec := httptest.NewRecorder()
		f.handler.ServeHTTP(rec, req)
		if rec.Code != http.StatusNotFound {
			t.Errorf("DELETE of item %.80s: status %d, want 404: %s", name, rec.Code, rec.Body)
		}
	}
	// The same of a house that a body names.
	for _, house := range []string{`\u0000`, `a\u0001`, `\ud800`, "QUAYSIDE"} {
		got := f.do(http.MethodPost, "/v1/sizings", changed(t, "/house", `"`+house+`"`)).want(http.StatusUnprocessableEntity).places()
		if len(got) != 1 || got[0] != "/house" {
			t.Errorf("house %s: faults at %v, want /house", house, got)
		}
	}
}
