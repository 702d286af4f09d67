package rest

import (
	"encoding/json"
	"strings"
	"testing"
)

// A surface gives back no more light than arrives: what does is refused as an item and in a CSV file, by field and line.
func TestSurfacesBrighterThanTheirLightAreRefused(t *testing.T) {
	f := newFace(t, newMemory())
	for sku, tc := range map[string]struct {
		kind   string
		change map[string]float64
		field  string
		detail string
	}{
		"QG-BOARD-SILVER-060":  {"reflector", map[string]float64{"diffuse_b": 0.6, "specular_b": 0.5}, "diffuse_b", "more than 1"},
		"QG-FABRIC-FULL-12X12": {"fabric", map[string]float64{"transmittance": 0.7, "reflectance": 0.4}, "transmittance", "more than 1"},
		"QG-BOARD-SILVER-110":  {"reflector", map[string]float64{"diffuse_a": 1.01, "specular_a": 0}, "diffuse_a", "1.01"},
	} {
		t.Run(sku, func(t *testing.T) {
			f := *f
			f.t = t
			path := "/v1/houses/quayside/items/" + sku
			kept := f.do("GET", path, "").want(200)
			var item map[string]any
			kept.into(&item)
			delete(item, "day_rate")
			for name, v := range tc.change {
				item[tc.kind].(map[string]any)[name] = v
			}
			body, err := json.Marshal(item)
			if err != nil {
				t.Fatal(err)
			}
			f.staff("PUT", path, string(body), "If-Match", kept.header.Get("ETag")).want(422).
				says(map[string]string{"/" + tc.kind + "/" + tc.field: tc.detail})

			lines := strings.Split(strings.TrimSpace(string(f.do("GET", "/v1/houses/quayside/items.csv?kind="+tc.kind, "").want(200).body)), "\n")
			columns := strings.Split(lines[0], ",")
			var cells []string
			for _, line := range lines[1:] {
				if strings.HasPrefix(line, "quayside,"+sku+",") {
					cells = cellsOf(line)
				}
			}
			if len(cells) != len(columns) {
				t.Fatalf("%d cells in %d columns", len(cells), len(columns))
			}
			for i, column := range columns {
				if v, ok := tc.change[column]; ok {
					number, err := json.Marshal(v)
					if err != nil {
						t.Fatal(err)
					}
					cells[i] = string(number)
				}
			}
			file := lines[0] + "\n" + strings.Join(cells, ",") + "\n"
			refused := f.staff("POST", "/v1/houses/quayside/items/import?kind="+tc.kind, file, "Content-Type", "text/csv").want(422)
			var p Problem
			refused.into(&p)
			if e := deref(p.Errors); len(e) != 1 || deref(e[0].Line) != 2 || deref(e[0].Column) != tc.field || !strings.Contains(e[0].Detail, tc.detail) {
				t.Errorf("%s", refused.body)
			}
			if f.do("GET", path, "").want(200).header.Get("ETag") != kept.header.Get("ETag") {
				t.Error("the item has changed")
			}
		})
	}
}

// cellsOf splits a line of CSV, quoted cells left as they are.
func cellsOf(line string) []string {
	var out []string
	quoted, from := false, 0
	for i, c := range line {
		switch {
		case c == '"':
			quoted = !quoted
		case c == ',' && !quoted:
			out = append(out, line[from:i])
			from = i + 1
		}
	}
	return append(out, line[from:])
}
