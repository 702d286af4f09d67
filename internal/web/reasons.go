package web

import (
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

// reasonsView are the reasons of some numbers under what they are numbers of: pieces by their marks on the drawings, or a subject.
type reasonsView struct {
	Title string
	List  []text.Explained
}

// reasonsOf says where the numbers of an option come from that a reader may doubt.
func reasonsOf(o *sizing.Option, s *shot.Shot, stock *catalog.Snapshot, r reader) []reasonsView {
	var out []reasonsView
	add := func(title string, list []finding.Reason) {
		v := reasonsView{Title: title}
		for _, reason := range list {
			v.List = append(v.List, text.Reason(r.text(), reason))
		}
		if len(v.List) > 0 {
			out = append(out, v)
		}
	}
	n := 0
	for _, row := range draw.Rows(o) {
		numbers := draw.Numbers(r.language, n+1, n+len(row))
		n += len(row)
		add(numbers+": "+text.Role(r.text(), row[0].Role, len(row) > 1), sizing.PieceReasons(row, s, stock))
	}
	add(r.language.Say("Levels"), o.LightReasons(s))
	add(r.language.Say("People"), o.CrewReasons())
	add(r.language.Say("Transport"), o.LoadReasons(stock))
	return out
}
