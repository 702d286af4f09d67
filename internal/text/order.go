package text

import (
	"fmt"
	"slices"
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
		switch {
		case w.Pieces > 1:
			what = fmt.Sprintf("%d %s, each", w.Pieces, Lit(w.Lights, Role(w.Role, true)))
		case w.Lights != "":
			what = "The " + Lit(w.Lights, Role(w.Role, false))
		}
		out = append(out, what+": "+work(w)+".")
	}
	return append(out, strike(list))
}

// strike is the last step, with what holds the pieces named as far as there is any.
func strike(list []finding.Work) string {
	var held []string
	comes := "come"
	if slices.ContainsFunc(list, func(w finding.Work) bool { return w.Lines > 0 }) {
		held = append(held, "ropes")
	}
	if slices.ContainsFunc(list, func(w finding.Work) bool { return w.Ballast.Quantity > 0 }) {
		if held = append(held, "ballast"); len(held) == 1 {
			comes = "comes"
		}
	}
	if len(held) == 0 {
		return "Strike in the reverse order."
	}
	piece := "each piece"
	if len(list) == 1 && list[0].Pieces == 1 {
		piece = "the piece"
	}
	return fmt.Sprintf("Strike in the reverse order: %s comes down before its %s %s off.", piece, listed(held, " and "), comes)
}

// itThem stands for one thing or several.
func itThem(n int) string {
	if n == 1 {
		return "it"
	}
	return "them"
}

// people counts them.
func people(n int) string {
	if n == 1 {
		return "1 person"
	}
	return fmt.Sprintf("%d people", n)
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
	hands := people(w.Hands) + " raise it"
	if w.Hands == 1 {
		hands = "1 person raises it"
	}
	if w.Teams > 1 {
		hands += fmt.Sprintf(" in %d teams, side by side and on one person's word,", w.Teams)
	}
	if w.Lines > 0 {
		// One of those who raise it ties, while the others hold the stands.
		if w.Hands > 1 {
			hands += fmt.Sprintf(" and hold its stands while one of them makes %d rope%s fast and flags %s", w.Lines, plural(w.Lines), itThem(w.Lines))
		} else {
			hands += fmt.Sprintf(" and makes %d rope%s fast and flags %s", w.Lines, plural(w.Lines), itThem(w.Lines))
		}
	}
	add("%s", strings.TrimSuffix(hands, ","))
	switch {
	case w.Aims > 0 && w.Stay > 1:
		add("%d people stay and re-aim it with the sun", w.Stay)
	case w.Aims > 2:
		add("1 person stays and re-aims all %d with the sun", w.Aims)
	case w.Aims == 2:
		add("1 person stays and re-aims both with the sun")
	case w.Aims == 1:
		add("1 person stays and re-aims it with the sun")
	case w.Held:
		add("%d people hold it for each take, and put it down between", w.Stay)
	case w.Stay == 1:
		add("1 person stays with it while it is up")
	case w.Stay > 1:
		add("%d people stay with it while it is up", w.Stay)
	}
	return strings.Join(parts, ", ")
}
