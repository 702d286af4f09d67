package web

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

// What holds the pieces of an option: in words on the page, in a table on the sheet, whose table of stakes has the rest.

// holdRow is what the wind does to a piece, or to several alike: of those the worst of each number.
type holdRow struct{ Pieces, Wind, Watch, Lower, Safe, Goes, RopeGone, Bends string }

// holdRows are the rows of an option's table of what holds in which wind. What loads a piece is rounded up, and what it holds down.
func holdRows(o *sizing.Option, gustMS float64, r reader) []holdRow {
	var out []holdRow
	n := 0
	for _, row := range draw.Rows(o) {
		worst, bends := sizing.WorstHold(row), 0.0
		for i := range row {
			for k := range row[i].Supports {
				bends = math.Max(bends, row[i].Supports[k].MastNM)
			}
		}
		const none = "–"
		numbers := draw.Numbers(r.language, n+1, n+len(row))
		cells := holdRow{numbers, none, r.down(worst.WatchAtMS), r.down(worst.LowerAtMS), r.down(worst.SafeToMS), r.down(worst.GoesAtMS), none, none}
		if gustMS > 0 {
			cells.Wind = r.up(worst.ForceN)
		}
		if len(row[0].Lines) > 0 {
			cells.RopeGone = r.down(worst.RopeGoneMS)
		}
		if text.TellsBending(bends, gustMS) {
			cells.Bends = r.up(bends)
		}
		out = append(out, cells)
		n += len(row)
	}
	return out
}

// tiedOf says what lies on which bases and where ropes go, of pieces alike together, and what to do where a rope hangs slack of a piece
// that would not hold the gust asked without it.
func tiedOf(o *sizing.Option, names map[string]string, s *shot.Shot, r reader) []string {
	var list alike // the places are the numbers of the pieces
	n := 0
	for _, row := range draw.Rows(o) {
		numbers := draw.Numbers(r.language, n+1, n+len(row))
		n += len(row)
		var says []string
		if words := laid(row, names, s, r); words != "" {
			says = append(says, words)
		}
		p := &row[0] // a piece with ropes is a row of its own
		for _, same := range tied(p, names, s, r) {
			says = append(says, same.in(r))
		}
		if len(p.Lines) > 0 && p.Hold.RopeGoneMS < s.GustMS {
			says = append(says, r.language.Say("a rope that hangs slack: lower it at once"))
		}
		for _, words := range says {
			if k := slices.IndexFunc(list, func(same sameThing) bool { return same.words == words }); k >= 0 {
				list[k].places = append(list[k].places, numbers)
				continue
			}
			list = append(list, sameThing{words: words, places: []string{numbers}})
		}
	}
	out := make([]string, len(list))
	for i, same := range list {
		out[i] = strings.Join(same.places, ", ") + ": " + same.words
	}
	return out
}

// laid is the ballast on the bases of a row, with the place of each where they differ; empty where nothing lies on them.
func laid(row []sizing.Piece, names map[string]string, s *shot.Shot, r reader) string {
	list := alike{}
	stands := 0
	for i := range row {
		for k := range row[i].Supports {
			base := &row[i].Supports[k]
			stands++
			if base.Ballast.Quantity == 0 {
				continue
			}
			list.add(strconv.Itoa(base.Ballast.Quantity)+" × "+names[base.Ballast.SKU]+" ("+text.Laid(r.text(), base)+")", 0, text.Place(r.text(), s.Axes(), base.Base))
		}
	}
	var parts []string
	for _, same := range list {
		switch {
		case stands == 1:
			parts = append(parts, same.words)
		case len(same.places) == stands:
			parts = append(parts, r.language.Say("on each stand %s", same.words))
		default:
			parts = append(parts, r.language.Say("%s on the stand %s", same.words, strings.Join(same.places, r.language.Say(", on that "))))
		}
	}
	return strings.Join(parts, "; ")
}

// tied are the ropes of a piece, alike ones together.
func tied(p *sizing.Piece, names map[string]string, s *shot.Shot, r reader) alike {
	list := alike{}
	for k := range p.Lines {
		l := &p.Lines[k]
		from, to := r.language.Say("the head of a stand"), r.language.Say("the fixed point %s", l.Point)
		if l.OnFrame() {
			from = r.language.Say("a corner of the frame")
		}
		if l.Point == "" {
			to = strconv.Itoa(l.Anchor.Quantity) + " × " + names[l.Anchor.SKU]
		}
		list.add(r.language.Say("rope|%s from %s to %s", names[l.SKU], from, to), l.PullN, text.Place(r.text(), s.Axes(), l.To))
	}
	return list
}

// alike are things in words, each with the largest force that goes with it, and where they are.
type alike []sameThing

type sameThing struct {
	words  string
	mostN  float64
	places []string
}

func (a *alike) add(words string, n float64, place string) {
	for i := range *a {
		if same := &(*a)[i]; same.words == words {
			same.mostN = math.Max(same.mostN, n)
			same.places = append(same.places, place)
			return
		}
	}
	*a = append(*a, sameThing{words, n, []string{place}})
}

// in is the ropes that are alike in a sentence.
func (t *sameThing) in(r reader) string {
	s := t.words
	if n := len(t.places); n > 1 {
		s = r.language.Say("%d times %s", n, s)
	}
	if t.mostN > 0 {
		s = r.language.Say("%s, pull up to %s N", s, r.up(t.mostN))
	}
	return s + ": " + strings.Join(t.places, "; ")
}
