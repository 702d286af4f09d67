package rest

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"kitspan/internal/catalog"
)

// slowly pauses before its text.
type slowly struct {
	pause time.Duration
	text  io.Reader
}

func (s *slowly) Read(p []byte) (int, error) {
	time.Sleep(s.pause)
	s.pause = 0
	return s.text.Read(p)
}

// A file may take longer to come in than an ordinary body, which the server's own time for reading ends.
func TestAnImportMayTakeItsTime(t *testing.T) {
	t.Parallel()
	server := httptest.NewUnstartedServer(newFace(t, newMemory()).handler)
	server.Config.ReadTimeout = 100 * time.Millisecond
	server.Start()
	defer server.Close()
	send := func(path, kind, body string) (int, error) {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, server.URL+path, &slowly{500 * time.Millisecond, strings.NewReader(body)})
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", kind)
		req.Header.Set("Authorization", "Bearer "+testToken)
		res, err := server.Client().Do(req)
		if err != nil {
			return 0, err
		}
		res.Body.Close()
		return res.StatusCode, nil
	}
	heading := strings.Join(catalog.CSVColumns(catalog.KindBallast), ",") + "\n"
	if status, err := send("/v1/houses/quayside/items/import?kind=ballast", "text/csv", heading); err != nil || status != http.StatusOK {
		t.Errorf("a slow file: status %d, %v", status, err)
	}
	if status, err := send("/v1/sizings", "application/json", "{}"); err != nil || status != http.StatusRequestTimeout {
		t.Errorf("a slow sizing: status %d, %v, want 408", status, err)
	}
}
