package oracle

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"kitspan/internal/shot"
)

// Example reads a documented request, as it lies under docs/examples; what it does not know is an error that names the
// file.
func Example(path string) (house string, s Shoot, err error) {
	body, err := os.ReadFile(path)
	if err != nil {
		return "", s, fmt.Errorf("read an example: %w", err)
	}
	var request struct {
		House  string           `json:"house"`
		Shot   shot.Draft       `json:"shot"`
		Limits shot.DraftLimits `json:"limits"`
		Prefer *string          `json:"prefer"`
	}
	dec := json.NewDecoder(bytes.NewReader(body))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&request); err != nil {
		return "", s, fmt.Errorf("%s: %w", path, err)
	}
	d := request.Shot
	d.Prefer, d.Limits = request.Prefer, request.Limits
	return request.House, Shoot{Kind: filepath.Base(path), Draft: d}, nil
}
