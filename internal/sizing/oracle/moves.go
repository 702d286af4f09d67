package oracle

import (
	"math"
	"reflect"
	"slices"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/sizing"
)

// What a window that is cut is held to, and how long a frame that is built is walked (common practice, no source).
const (
	partsMost    = 6
	partLeast    = 40 * time.Minute
	shotShare    = 0.5 // of a part, at least, once its move is done
	walkMin      = 2
	partsUnequal = time.Minute // by rounding
)

// CheckMoves holds an option whose pieces are moved in the course of its window: the window cut into two to six equal parts that follow
// each other, the same frame on the same supports in each, moves of no more than half a part, a note of them all, and what is given up the
// most of any part. What stands in each part is held to the rules of what stands by itself, over that part's time.
func CheckMoves(s *Scene, o *sizing.Option) []Violation {
	var bad []Violation
	wrong := func(by float64, format string, args ...any) {
		bad = append(bad, broken(RuleOptions, by, "%s: "+format, append([]any{o.Label}, args...)...))
	}
	if moved := o.Label == sizing.LabelMoved; moved != (len(o.Moves) > 0) || len(o.Moves) >= partsMost {
		wrong(float64(len(o.Moves)), "%d moves", len(o.Moves))
	}
	if len(o.Moves) == 0 {
		return bad
	}
	share := s.To.Sub(s.From) / time.Duration(o.Parts())
	end, minutes := s.From, 0
	first := softeners(o.Part(0))
	for k := range o.Parts() {
		part := o.Part(k)
		w := part.Window
		long := w.To.Sub(w.From)
		if !w.From.Equal(end) || (long-share).Abs() > partsUnequal || long < partLeast-partsUnequal {
			wrong(1, "part %d is from %s to %s, after %s, %s long in place of %s", k+1, w.Start, w.End, end, long, share)
		}
		end = w.To
		again := softeners(part)
		if len(first) != 1 || len(again) != 1 {
			wrong(1, "%d frames in part %d, %d in the first", len(again), k+1, len(first))
			continue
		}
		if a, b := first[0].Items[0], again[0].Items[0]; a != b {
			wrong(1, "%s in part %d, %s in the first", b.SKU, k+1, a.SKU)
		}
		if a, b := standsOf(first[0]), standsOf(again[0]); !slices.Equal(a, b) {
			wrong(1, "on %v in part %d, on %v in the first", b, k+1, a)
		}
		if k == 0 {
			continue
		}
		m := &o.Moves[k-1]
		minutes += m.Minutes
		if left := long.Minutes() - float64(m.Minutes); left < shotShare*long.Minutes() {
			wrong(left, "%.0f min are left of part %d once it is moved", left, k+1)
		}
	}
	if !end.Equal(s.To) {
		wrong(1, "the parts end at %s, the window at %s", end, s.To)
	}
	if !noted(o, func(n finding.Moved) bool { return n.Moves == len(o.Moves) && n.Minutes == minutes }) {
		wrong(1, "no note of %d moves and %d min", len(o.Moves), minutes)
	}
	return append(bad, checkMostGivenUp(o)...)
}

// standsOf are the supports of a piece by name.
func standsOf(p sizing.Piece) (list []string) {
	for _, sp := range p.Supports {
		list = append(list, sp.SKU)
	}
	slices.Sort(list)
	return list
}

// checkMostGivenUp holds what an option gives up to the most of any part of its window.
func checkMostGivenUp(o *sizing.Option) []Violation {
	type of struct {
		what finding.Aspect
		zone string
	}
	off := func(s finding.Shortfall) float64 {
		if s.ByStops == nil {
			return math.Inf(1)
		}
		return math.Abs(*s.ByStops)
	}
	most, told := map[of]float64{}, map[of]float64{}
	for k := range o.Parts() {
		for _, s := range o.Part(k).GivesUp {
			most[of{s.What, s.Zone}] = math.Max(most[of{s.What, s.Zone}], off(s))
		}
	}
	for _, s := range o.GivesUp {
		told[of{s.What, s.Zone}] = off(s)
	}
	if !reflect.DeepEqual(most, told) {
		return []Violation{broken(RuleOptions, 1, "%s gives up %v, its parts %v", o.Label, told, most)}
	}
	return nil
}

// everyPiece are the pieces of an option in all parts of its window.
func everyPiece(o *sizing.Option) (all []sizing.Piece) {
	for k := range o.Parts() {
		all = append(all, o.Part(k).Pieces...)
	}
	return all
}

// workMinutes are those to rig, to move and to strike an option.
func workMinutes(o *sizing.Option) int {
	sum := o.Crew.RigMin + o.Crew.StrikeMin
	for i := range o.Moves {
		sum += o.Moves[i].Minutes
	}
	return sum
}

// unmoved reports whether a piece is where another was, made of and held by the same.
func unmoved(a, b sizing.Piece) bool {
	return sameItems(a, b) && a.Corners == b.Corners && reflect.DeepEqual(supportsOf(a), supportsOf(b)) && reflect.DeepEqual(ropesOf(a), ropesOf(b))
}

func sameItems(a, b sizing.Piece) bool { return reflect.DeepEqual(a.Items, b.Items) }

// supportsOf are the supports of a piece without what the wind does to them, ropesOf its ropes.
func supportsOf(p sizing.Piece) []sizing.Support {
	list := slices.Clone(p.Supports)
	for i := range list {
		list[i].MastNM = 0
	}
	return list
}

func ropesOf(p sizing.Piece) []sizing.GuyLine {
	list := slices.Clone(p.Lines)
	for i := range list {
		list[i].PullN = 0
	}
	return list
}

// without are the numbers of the pieces that have no like among others, each like counted once.
func without(pieces, others []sizing.Piece, like func(a, b sizing.Piece) bool) (list []int) {
	left := slices.Clone(others)
	for i, p := range pieces {
		if k := slices.IndexFunc(left, func(q sizing.Piece) bool { return like(p, q) }); k >= 0 {
			left = slices.Delete(left, k, k+1)
		} else {
			list = append(list, i)
		}
	}
	return list
}

// handsToMove is how many a move takes at least and at most, nobody aiming: those who lower or raise a piece, and those who stay in the
// wind with what is not moved and with what is up again.
func handsToMove(o *sizing.Option, k int, parts [][]task) (least, most int) {
	before, after := o.Part(k).Pieces, o.Part(k+1).Pieces
	for _, side := range []struct {
		tasks []task
		moved []int
	}{{parts[k], without(before, after, unmoved)}, {parts[k+1], without(after, before, unmoved)}} {
		if len(side.moved) == 0 {
			continue
		}
		stay := 0
		var few, many []job
		for i, t := range side.tasks {
			if !slices.Contains(side.moved, i) {
				stay += t.guards
				continue
			}
			few, many = append(few, job{t.raiseLeast, t.guards}), append(many, job{t.raiseMost, t.guards})
		}
		least, most = max(least, stay+bestMoment(few)), max(most, stay+bestMoment(many))
	}
	return least, most
}

// minutesToMove is how long a move takes: what lies about a piece off and on again, but the one stand on which it is walked.
func minutesToMove(o *sizing.Option, k int, stock *catalog.Snapshot) (minutes float64) {
	before, after := o.Part(k).Pieces, o.Part(k+1).Pieces
	about := func(p sizing.Piece) float64 {
		m := aboutMin(p, stock)
		if len(p.Supports) == 1 {
			m -= supportMin
		}
		return m / pairsAt(o)
	}
	for _, i := range without(before, after, unmoved) {
		minutes += strikeShare * about(before[i])
	}
	anew := without(after, before, sameItems)
	for _, i := range without(after, before, unmoved) {
		p := after[i]
		switch {
		case slices.Contains(anew, i):
			minutes += pieceMin + squareMetreMin*p.OuterAreaM2 + aboutMin(p, stock)/pairsAt(o)
		case len(p.Supports) == 1:
			minutes += pieceMin + about(p)
		default:
			minutes += pieceMin + walkMin + about(p)
		}
	}
	return minutes
}
