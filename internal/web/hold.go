package web

import (
	"math"
	"strconv"
	"strings"

	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// What holds the pieces of an option, as its sheet says it.

// tiedOf says what lies on the bases of each piece and where its ropes go, alike ones together, and what to do where one hangs slack
// of a piece that would not hold the gust asked without it.
func tiedOf(o *sizing.Option, names map[string]string, gustMS float64, r reader) []string {
	var out []string
	for i := range o.Pieces {
		p := &o.Pieces[i]
		list := alike{}
		for k := range p.Supports {
			s := &p.Supports[k]
			if s.Ballast.Quantity == 0 {
				continue
			}
			var where []string
			if s.EachLeg > 0 {
				where = append(where, strconv.Itoa(s.EachLeg)+" on each of "+strconv.Itoa(s.Legs)+" legs")
			}
			if s.AtMast > 0 {
				where = append(where, strconv.Itoa(s.AtMast)+" on the base, against the mast")
			}
			list.add(strconv.Itoa(s.Ballast.Quantity)+" × "+names[s.Ballast.SKU]+" ("+strings.Join(where, ", ")+")", 0)
		}
		for k := range p.Lines {
			l := &p.Lines[k]
			from, to := "the head of a stand", "the fixed point "+l.Point
			if l.OnFrame() {
				from = "a corner of the frame"
			}
			if l.Point == "" {
				to = strconv.Itoa(l.Anchor.Quantity) + " × " + names[l.Anchor.SKU]
			}
			list.add(names[l.SKU]+" from "+from+" to "+to, l.PullN)
		}
		for _, same := range list {
			s := same.words
			if same.times > 1 {
				s = strconv.Itoa(same.times) + " times " + s
			}
			if same.mostN > 0 {
				s += ", pull up to " + r.number(math.Ceil(same.mostN), 0) + " N"
			}
			out = append(out, strconv.Itoa(i+1)+": "+s)
		}
		if len(p.Lines) > 0 && p.Hold.RopeGoneMS < gustMS {
			out = append(out, strconv.Itoa(i+1)+": a rope that hangs slack: lower it at once")
		}
	}
	return out
}

// alike are things in words, each with how often it occurs and the largest force that goes with it.
type alike []sameThing

type sameThing struct {
	words string
	times int
	mostN float64
}

func (a *alike) add(words string, n float64) {
	for i := range *a {
		if same := &(*a)[i]; same.words == words {
			same.times++
			same.mostN = math.Max(same.mostN, n)
			return
		}
	}
	*a = append(*a, sameThing{words, 1, n})
}

// bendsOf is the largest bending moment at the foot of a mast of each piece at the gust asked; a dash where there is none to tell, as
// of those on machines.
func bendsOf(o *sizing.Option, gustMS float64, r reader) []string {
	out := make([]string, len(o.Pieces))
	for i := range o.Pieces {
		most := 0.0
		for k := range o.Pieces[i].Supports {
			most = math.Max(most, o.Pieces[i].Supports[k].MastNM)
		}
		out[i] = "–"
		if text.TellsBending(most, gustMS) {
			out[i] = r.number(math.Ceil(most), 0) + " N·m"
		}
	}
	return out
}
