package docs_test

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
)

// situation is what the table of situations takes of an answer.
type situation struct {
	Options []struct {
		Label, State string
		GivesUp      []struct {
			What    string
			ByStops *float64 `json:"by_stops"`
		} `json:"gives_up"`
		Pieces []struct {
			Role  string
			Items []struct {
				SKU      string
				Quantity int
			}
			HeldBy []json.RawMessage `json:"held_by"`
		}
		Moves []json.RawMessage
		Kit   []struct {
			SKU, Name string
			Quantity  int
		}
		Crew  struct{ Total int }
		Total struct{ Amount, Currency string } `json:"total_per_day"`
		Price struct{ Amount, Currency string } `json:"price_per_day"`
	}
}

// firstOption says in a line what the first option of an answer brings.
func firstOption(t *testing.T, answer string) string {
	t.Helper()
	var s situation
	if err := json.Unmarshal([]byte(answer), &s); err != nil || len(s.Options) == 0 {
		t.Fatalf("no option in %.200s: %v", answer, err)
	}
	o := s.Options[0]
	names := map[string]string{}
	for _, k := range o.Kit {
		names[k.SKU] = k.Name
	}
	var parts []string
	many := map[string]int{} // pieces alike
	at := map[string]int{}
	for _, p := range o.Pieces {
		if p.Role == "camera_shade" {
			continue
		}
		var of []string
		for _, item := range p.Items {
			of = append(of, names[item.SKU])
		}
		what := strings.ReplaceAll(p.Role, "_", " ") + ": " + strings.Join(of, " with ")
		if len(p.HeldBy) > 0 {
			what += ", held by hand"
		}
		if many[what]++; many[what] == 1 {
			at[what] = len(parts)
			parts = append(parts, what)
		}
	}
	for what, n := range many {
		if role, of, _ := strings.Cut(what, ": "); n > 1 {
			parts[at[what]] = fmt.Sprintf("%s: %d × %s", role, n, of)
		}
	}
	if len(o.Moves) > 0 {
		parts = append(parts, fmt.Sprintf("set again %d times", len(o.Moves)))
	}
	for _, g := range o.GivesUp {
		parts = append(parts, "gives up "+g.What)
	}
	return fmt.Sprintf("%s; %d people; hire %s, all %s %s a day", strings.Join(parts, "; "), o.Crew.Total, o.Price.Amount, o.Total.Amount, o.Total.Currency)
}

// TestSituationsPrintTheFirstOption sizes the request of each row of the table and compares the column of what Kitspan says.
func TestSituationsPrintTheFirstOption(t *testing.T) {
	const path = "situations.md"
	lines := strings.Split(read(t, path), "\n")
	rows, changed := 0, false
	for i, line := range lines {
		cells := strings.Split(line, " | ")
		if !strings.HasPrefix(line, "| [") || len(cells) != 4 {
			continue
		}
		rows++
		_, link, _ := strings.Cut(cells[0], "](")
		file, _, _ := strings.Cut(link, ")")
		if want := firstOption(t, api(t, "", "size", "docs/"+file)); cells[2] != want {
			if !*update {
				t.Errorf("%s says of %s\n  %s\nprinted now (if the change is meant: go test ./docs -update)\n  %s", path, file, cells[2], want)
			}
			cells[2], changed = want, true
			lines[i] = strings.Join(cells, " | ")
		}
	}
	if rows < 10 {
		t.Errorf("%s has %d rows, wanted ten situations", path, rows)
	}
	if changed && *update {
		if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
