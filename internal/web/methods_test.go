package web

import (
	"compress/gzip"
	"io"
	"net/http"
	"strings"
	"testing"
)

// What was coded for one reader is no answer for another: Vary names what it depends on, whether it was coded or not.
func TestNothingCompressedForThoseWhoDidNotAsk(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	plain := &http.Transport{DisableCompression: true}
	defer plain.CloseIdleConnections()
	for _, path := range []string{"/", "/live.js", "/cautions", "/plan?" + with(), "/nothing"} {
		for header, coded := range map[string]bool{"": false, "gzip": true, "gzip;q=0": false, "*": true, "br": false, "gzip, identity;q=0": true} {
			req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.URL+path, nil)
			if err != nil {
				t.Fatal(err)
			}
			if header != "" {
				req.Header.Set("Accept-Encoding", header)
			}
			res, err := plain.RoundTrip(req)
			if err != nil {
				t.Fatal(err)
			}
			var body io.Reader = res.Body
			got := res.Header.Get("Content-Encoding") == "gzip"
			if got != coded {
				t.Errorf("%s with %q: compressed %v, want %v", path, header, got, coded)
			}
			if got {
				if body, err = gzip.NewReader(res.Body); err != nil {
					t.Fatal(err)
				}
			}
			text, err := io.ReadAll(body)
			res.Body.Close()
			if err != nil || len(text) < 500 {
				t.Errorf("%s with %q: %d bytes, %v", path, header, len(text), err)
			}
			vary := strings.Join(res.Header.Values("Vary"), ", ")
			for _, on := range []string{"Accept-Encoding", "Accept-Language", "Cookie"} {
				if strings.Count(vary, on) != 1 {
					t.Errorf("%s with %q: Vary is %q, want %s in it once", path, header, vary, on)
				}
			}
		}
	}
}

// HEAD answers wherever GET does, OPTIONS names the methods, and so does the refusal of any other.
func TestMethodsOfPages(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for path, allow := range map[string]string{
		"/": "OPTIONS, GET, HEAD", "/plan?" + night(): "OPTIONS, GET, HEAD", "/plan.txt?" + night(): "OPTIONS, GET, HEAD", "/live.js": "OPTIONS, GET, HEAD",
		"/cautions": "OPTIONS, GET, HEAD", "/catalogue/quayside": "OPTIONS, GET, HEAD", "/staff": "OPTIONS, GET, HEAD, POST", "/places": "OPTIONS, POST",
	} {
		ask := func(method string) (status int, header http.Header, size int) {
			req, err := http.NewRequestWithContext(t.Context(), method, s.URL+path, nil)
			if err != nil {
				t.Fatal(err)
			}
			res, err := s.client.Do(req)
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
		if strings.Contains(allow, "GET") {
			want, wantHeader, _ := ask(http.MethodGet)
			got, gotHeader, size := ask(http.MethodHead)
			if got != want || size != 0 || gotHeader.Get("Content-Type") != wantHeader.Get("Content-Type") {
				t.Errorf("HEAD %s: status %d of %q, GET %d of %q", path, got, gotHeader.Get("Content-Type"), want, wantHeader.Get("Content-Type"))
			}
		}
		for method, want := range map[string]int{http.MethodOptions: http.StatusNoContent, http.MethodPatch: http.StatusMethodNotAllowed} {
			if got, header, _ := ask(method); got != want || header.Get("Allow") != allow {
				t.Errorf("%s %s: status %d, Allow %q, want %d and %q", method, path, got, header.Get("Allow"), want, allow)
			}
		}
	}
}
