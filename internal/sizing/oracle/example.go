package oracle

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"

	"github.com/bojanz/currency"

	"kitspan/internal/shot"
)

// member is a name of the contract. Without underscores those are the draft's but for case, which encoding/json does not heed.
var member = regexp.MustCompile(`"[a-z_0-9]+"\s*:`)

// Example reads a documented request, as it lies under docs/examples; what it does not know is an error that names the
// file.
func Example(path string) (house string, s Shoot, err error) {
	body, err := os.ReadFile(path)
	if err != nil {
		return "", s, fmt.Errorf("read an example: %w", err)
	}
	body = member.ReplaceAllFunc(body, func(name []byte) []byte { return bytes.ReplaceAll(name, []byte("_"), nil) })
	var request struct {
		House  string
		Shot   shot.Draft
		Limits struct {
			Crew        *int
			PricePerDay *struct{ Amount, Currency string }
		}
		Prefer *string
	}
	dec := json.NewDecoder(bytes.NewReader(body))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&request); err != nil {
		return "", s, fmt.Errorf("%s: %w", path, err)
	}
	d := request.Shot
	d.Prefer, d.Limits.Crew = request.Prefer, request.Limits.Crew
	if limit := request.Limits.PricePerDay; limit != nil {
		a, err := currency.NewAmount(limit.Amount, limit.Currency)
		if err != nil {
			return "", s, fmt.Errorf("%s: %w", path, err)
		}
		d.Limits.PricePerDay = &a
	}
	return request.House, Shoot{Kind: filepath.Base(path), Draft: d}, nil
}
