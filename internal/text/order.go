package text

import (
	"fmt"
	"strings"

	"kitspan/internal/finding"
)

// Order returns the order of work, a sentence a step; empty where nothing is put up.
func Order(list []finding.Work) []string {
	if len(list) == 0 {
		return []string{}
	}
	out := []string{"Look at the ground and overhead, mark bases and anchors, keep everybody else off."}
	for i := range list {
		w := &list[i]
		what := upper(roleWords[w.Role].the)
		if w.Pieces > 1 {
			what = fmt.Sprintf("%d %s, each", w.Pieces, Role(w.Role, true))
		}
		out = append(out, what+": "+work(w)+".")
	}
	return append(out, "Strike in the reverse order: the sheet comes down before ropes and ballast come off.")
}

// work is what putting up one piece takes.
func work(w *finding.Work) string {
	var parts []string
	add := func(format string, args ...any) { parts = append(parts, fmt.Sprintf(format, args...)) }
	if w.Machines > 0 {
		add("place and level %d machine%s", w.Machines, plural(w.Machines))
	}
	if b := &w.Ballast; b.Quantity > 0 {
		how := ""
		switch {
		case w.Trolley:
			how = ", by trolley or machine and not by hand,"
		case w.Carriers > 1:
			how = fmt.Sprintf(", %d to carry each,", w.Carriers)
		}
		add("%d × %s%s onto the bases first", b.Quantity, b.Name, how)
	}
	if b := &w.Weights; b.Quantity > 0 {
		add("%d × %s to the feet of its ropes", b.Quantity, b.Name)
	}
	if w.Stakes > 0 {
		add("%d stake%s driven", w.Stakes, plural(w.Stakes))
	}
	if w.Points > 0 {
		add("%d fixed point%s checked", w.Points, plural(w.Points))
	}
	hands, stands := "1 hand raises it", "stays"
	if w.Hands > 1 {
		hands, stands = fmt.Sprintf("%d hands raise it", w.Hands), "stay"
	}
	if w.Lines > 0 {
		hands += fmt.Sprintf(" and %s at its stands until %d rope%s made fast and flagged", stands, w.Lines, plural(w.Lines)+isAre(w.Lines))
	}
	add("%s", hands)
	switch {
	case w.Aims > 0 && w.Stay > 1:
		add("%d stay and aim it anew with the sun", w.Stay)
	case w.Aims > 2:
		add("1 stays and aims all %d anew with the sun", w.Aims)
	case w.Aims == 2:
		add("1 stays and aims both anew with the sun")
	case w.Aims == 1:
		add("1 stays and aims it anew with the sun")
	case w.Stay == 1:
		add("1 stays with it while it is up")
	case w.Stay > 1:
		add("%d stay with it while it is up", w.Stay)
	}
	return strings.Join(parts, ", ")
}

func isAre(n int) string {
	if n == 1 {
		return " is"
	}
	return " are"
}
