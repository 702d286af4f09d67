package text

import (
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/finding"
)

// Order returns the order of work, a sentence a step; empty where nothing is put up.
func Order(to Reader, list []finding.Work) []string {
	if len(list) == 0 {
		return []string{}
	}
	out := []string{to.say("Look at the ground and overhead, mark bases and anchors, keep everybody else off.")}
	for i := range list {
		w := &list[i]
		what := upper(to.theRole(w.Role))
		switch {
		case w.Pieces > 1:
			what = to.say("%d %s, each", w.Pieces, Lit(to, w.Lights, Role(to, w.Role, true)))
		case w.Lights != "":
			what = to.say("The %s", Lit(to, w.Lights, Role(to, w.Role, false)))
		}
		out = append(out, to.say("%s: %s", what, work(to, w))+".")
	}
	return append(out, strike(to, list))
}

// strike is the last step, with what holds the pieces named as far as there is any.
func strike(to Reader, list []finding.Work) string {
	ropes := slices.ContainsFunc(list, func(w finding.Work) bool { return w.Lines > 0 })
	ballast := slices.ContainsFunc(list, func(w finding.Work) bool { return w.Ballast.Quantity > 0 })
	one := len(list) == 1 && list[0].Pieces == 1
	switch {
	case ropes && ballast && one:
		return to.say("Strike in the reverse order: the piece comes down before its ropes and ballast come off.")
	case ropes && ballast:
		return to.say("Strike in the reverse order: each piece comes down before its ropes and ballast come off.")
	case ropes && one:
		return to.say("Strike in the reverse order: the piece comes down before its ropes come off.")
	case ropes:
		return to.say("Strike in the reverse order: each piece comes down before its ropes come off.")
	case ballast && one:
		return to.say("Strike in the reverse order: the piece comes down before its ballast comes off.")
	case ballast:
		return to.say("Strike in the reverse order: each piece comes down before its ballast comes off.")
	}
	return to.say("Strike in the reverse order.")
}

// people counts them.
func people(to Reader, n int) string { return to.count("1 person", "%d people", n, n) }

// work is what putting up one piece takes.
func work(to Reader, w *finding.Work) string {
	var parts []string
	add := func(s string) {
		if s != "" {
			parts = append(parts, s)
		}
	}
	if w.Machines > 0 {
		add(to.count("place and level %d machine", "place and level %d machines", w.Machines, w.Machines))
	}
	add(bases(to, w))
	if b := &w.Weights; b.Quantity > 0 {
		add(to.say("%s to the feet of its ropes", goods(b)))
	}
	if w.Stakes > 0 {
		add(to.count("%d stake driven", "%d stakes driven", w.Stakes, w.Stakes))
	}
	if w.Points > 0 {
		add(to.count("%d fixed point checked", "%d fixed points checked", w.Points, w.Points))
	}
	add(raise(to, w))
	add(stay(to, w))
	return strings.Join(parts, ", ")
}

// bases is the ballast that lies on them first; empty for none.
func bases(to Reader, w *finding.Work) string {
	b := &w.Ballast
	switch {
	case b.Quantity == 0:
		return ""
	case w.Trolley:
		return to.say("%s, by trolley or machine and not by hand, onto the bases first", goods(b))
	case w.Carriers > 1:
		return to.say("%s, %d to carry each, onto the bases first", goods(b), w.Carriers)
	}
	return to.say("%s onto the bases first", goods(b))
}

// raise is who raises a piece and makes its ropes fast: one of those who raise it ties, while the others hold the stands.
func raise(to Reader, w *finding.Work) string {
	switch {
	case w.Lines == 0 && w.Teams > 1:
		return to.say("%s raise it in %d teams, side by side and on one person's word", people(to, w.Hands), w.Teams)
	case w.Lines == 0:
		return to.count("1 person raises it", "%d people raise it", w.Hands, w.Hands)
	case w.Hands == 1:
		return to.count("1 person raises it and makes %d rope fast and flags it", "1 person raises it and makes %d ropes fast and flags them", w.Lines, w.Lines)
	case w.Teams > 1:
		return to.count("%s raise it in %s teams, side by side and on one person's word, and hold its stands while one of them makes %d rope fast and flags it",
			"%s raise it in %s teams, side by side and on one person's word, and hold its stands while one of them makes %d ropes fast and flags them",
			w.Lines, people(to, w.Hands), strconv.Itoa(w.Teams), w.Lines)
	}
	return to.count("%s raise it and hold its stands while one of them makes %d rope fast and flags it",
		"%s raise it and hold its stands while one of them makes %d ropes fast and flags them", w.Lines, people(to, w.Hands), w.Lines)
}

// stay is who stays with a piece that is up; empty for nobody.
func stay(to Reader, w *finding.Work) string {
	switch {
	case w.Aims > 0 && w.Stay > 1:
		return to.say("%d people stay and re-aim it with the sun", w.Stay)
	case w.Aims > 2:
		return to.say("1 person stays and re-aims all %d with the sun", w.Aims)
	case w.Aims == 2:
		return to.say("1 person stays and re-aims both with the sun")
	case w.Aims == 1:
		return to.say("1 person stays and re-aims it with the sun")
	case w.Held:
		return to.say("%d people hold it for each take, and put it down between", w.Stay)
	case w.Stay > 0:
		return to.count("1 person stays with it while it is up", "%d people stay with it while it is up", w.Stay, w.Stay)
	}
	return ""
}
