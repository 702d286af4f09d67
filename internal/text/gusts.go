package text

import (
	"fmt"
	"strings"

	"kitspan/internal/finding"
)

// Gust returns what another gust asks to be done, in one or more sentences.
func Gust(w *finding.GustWork) string {
	if w.NothingUp {
		return "Nothing is up."
	}
	var says []string
	if len(w.Add) > 0 {
		parts := make([]string, len(w.Add))
		for i := range w.Add {
			parts[i] = goods(&w.Add[i])
		}
		says = append(says, "Add "+strings.Join(parts, ", ")+".")
	}
	if len(w.Lower) > 0 {
		names := make([]string, len(w.Lower))
		for i, r := range w.Lower {
			names[i] = roleWords[r].the
		}
		says = append(says, "Lower "+strings.Join(names, ", ")+".")
	}
	for _, m := range w.Move {
		says = append(says, fmt.Sprintf("Move the lines of %s to %.0f° with the ground.", roleWords[m.Role].the, m.AngleDeg))
	}
	if len(says) == 0 {
		return "Holds as it is."
	}
	return strings.Join(says, " ")
}

func goods(g *finding.Goods) string { return fmt.Sprintf("%d × %s", g.Quantity, g.Name) }
