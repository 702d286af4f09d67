package rest

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"kitspan/api"
)

// HEAD answers what GET does, without the body, at every address of the contract.
func TestHeadAnswersWhereGetDoes(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(newFace(t, newMemory()).handler)
	defer server.Close()
	ask := func(method, path string) (status int, header http.Header, size int) {
		req, err := http.NewRequestWithContext(t.Context(), method, server.URL+path, nil)
		if err != nil {
			t.Fatal(err)
		}
		res, err := server.Client().Do(req)
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		body, err := io.ReadAll(res.Body)
		if err != nil {
			t.Fatal(err)
		}
		return res.StatusCode, res.Header, len(body)
	}
	fill := strings.NewReplacer("{house}", "quayside", "{sku}", "QG-STAND-LOW")
	paths := []string{"/v1/houses/quayside/items.csv?kind=frame", "/v1/houses/nowhere"}
	for path, item := range doc.Paths.Map() {
		if item.Get != nil {
			paths = append(paths, fill.Replace(path))
		}
	}
	for _, path := range paths {
		want, wantHeader, _ := ask(http.MethodGet, path)
		got, gotHeader, size := ask(http.MethodHead, path)
		if got != want || size != 0 {
			t.Errorf("HEAD %s: status %d with %d bytes, GET answers %d", path, got, size, want)
		}
		for _, header := range []string{"Content-Type", "ETag", "Content-Disposition"} {
			if gotHeader.Get(header) != wantHeader.Get(header) {
				t.Errorf("HEAD %s: %s %q, GET answers %q", path, header, gotHeader.Get(header), wantHeader.Get(header))
			}
		}
	}
	if len(paths) < 9 {
		t.Errorf("%d addresses, want every one of the contract", len(paths))
	}
}
