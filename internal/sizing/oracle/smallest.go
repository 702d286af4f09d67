package oracle

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// Smaller is what looking for a smaller frame found.
type Smaller struct {
	Violations []Violation
	// Finds are the whole placements behind the violations.
	Finds []Find
	// Bare are frames smaller than the one chosen that would fit if they hung by themselves, and that no stand of the house was found
	// to hold there: not against the rules, but the reason told should be the support.
	Bare []Find
	// Looked is how many frames were searched.
	Looked int
}

// OpeningM2 returns the area of a frame's opening, m².
func OpeningM2(item *catalog.Item) float64 {
	f := item.Spec.(*catalog.Frame)
	return f.OpeningWidthM * f.OpeningHeightM
}

// framesByArea are the house's frames, least opening first.
func framesByArea(stock *catalog.Snapshot) []*catalog.Item {
	var list []*catalog.Item
	for i := range stock.Items() {
		if _, ok := stock.Items()[i].Spec.(*catalog.Frame); ok {
			list = append(list, &stock.Items()[i])
		}
	}
	slices.SortStableFunc(list, func(a, b *catalog.Item) int { return cmp.Compare(OpeningM2(a), OpeningM2(b)) })
	return list
}

// CheckSmallest looks for a frame on stands smaller than the one that the answer chose, for any frame where it chose
// none, and, where the answer shares several sources among frames, for one frame that stops them all or for a sharing
// of less area in total. Frames that the answer rules out because of the wind are left out; nothing is looked for where
// something else than the smallest is preferred. A find must keep every condition with [SlackM] to spare.
func CheckSmallest(res sizing.Result, stock *catalog.Snapshot, fine Fineness) Smaller {
	var out Smaller
	asked := res.Shot
	s := NewScene(asked, asked.Window.From, asked.Window.To)
	var hard []string
	for _, src := range s.Sources {
		if src.Doubtful {
			return out
		}
		if src.Softened {
			hard = append(hard, src.Label)
		}
	}
	if len(hard) == 0 || asked.Look.Soften == shot.SoftenOff || asked.Prefer != shot.PreferSmallest {
		return out
	}
	h := NewSearch(s, stock, fine)
	sku, bound, shared := "none", math.Inf(1), false
	if o := onStands(res, stock); o != nil && len(softeners(*o)) > 0 {
		sku, bound, _ = Overhead(res, stock)
		if shared = len(softeners(*o)) > 1; shared {
			bound = openingArea(*o, stock)
		}
	}
	for _, item := range framesByArea(stock) {
		if !shared && OpeningM2(item) >= bound-1e-9 {
			break
		}
		if ruledOutBy(res, item.SKU) == finding.Windy {
			continue // it fits, and does not hold the gust
		}
		out.Looked++
		whole, bare := h.Place(item.SKU, hard, SlackM)
		switch {
		case whole != nil:
			out.Finds = append(out.Finds, *whole)
			out.Violations = append(out.Violations, broken(RuleSmallest, bound-OpeningM2(item),
				"%s of %.3f m² stops %v with %.3f m to spare, on stands; the answer takes %s of %.3f m² (shared %v) and says %s is %s",
				item.SKU, OpeningM2(item), hard, whole.SlackM, sku, bound, shared, item.SKU, because(res, item.SKU)))
			return out
		case bare != nil:
			out.Bare = append(out.Bare, *bare)
		}
	}
	if len(hard) > 1 && (shared || math.IsInf(bound, 1)) {
		h.sharing(&out, hard, bound, sku)
	}
	return out
}

// ruledOutBy is why an answer rules a frame out; empty where it does not.
func ruledOutBy(res sizing.Result, sku string) finding.Because {
	for _, r := range res.RuledOut {
		if r.SKU == sku {
			return r.Because
		}
	}
	return ""
}

// because is what an answer says of a frame.
func because(res sizing.Result, sku string) string {
	for _, r := range res.RuledOut {
		if r.SKU == sku {
			return fmt.Sprintf("%s: %#v", r.Because, r.Obstacle)
		}
	}
	return "not ruled out"
}

// sharing looks for groups of the sources, each stopped by the least frame that does it, with less area in total.
func (h *Search) sharing(out *Smaller, hard []string, bound float64, sku string) {
	frames := framesByArea(h.stock)
	least := make([]*Find, 1<<len(hard)) // by the set of sources
	for set := 1; set < len(least)-1; set++ {
		var labels []string
		for i, label := range hard {
			if set>>i&1 == 1 {
				labels = append(labels, label)
			}
		}
		for _, item := range frames {
			if OpeningM2(item) >= bound {
				break
			}
			if whole, _ := h.Place(item.SKU, labels, SlackM); whole != nil {
				least[set] = whole
				break
			}
		}
	}
	var divide func(left int, taken []Find, area float64)
	divide = func(left int, taken []Find, area float64) {
		if area >= bound-1e-9 || len(out.Violations) > 0 {
			return
		}
		if left == 0 {
			if h.owned(taken) && h.holds(taken) {
				out.Finds = taken
				out.Violations = append(out.Violations, broken(RuleSmallest, bound-area,
					"%d frames of %.3f m² in total share the sources; the answer takes %s, %.3f m²", len(taken), area, sku, bound))
			}
			return
		}
		first := left & -left
		for set := left; set > 0; set = (set - 1) & left {
			if set&first != 0 && least[set] != nil {
				divide(left&^set, append(slices.Clone(taken), *least[set]), area+OpeningM2(h.stock.Item(least[set].SKU)))
			}
		}
	}
	divide(len(least)-1, nil, 0)
}

// owned reports whether the house has all items of several finds at once.
func (h *Search) owned(finds []Find) bool {
	var o sizing.Option
	for _, f := range finds {
		o.Pieces = append(o.Pieces, f.Piece)
	}
	for sku, n := range used(o) {
		if h.stock.Item(sku).Owned < n {
			return false
		}
	}
	return true
}

// holds reports whether finds hold the gust with nothing but ballast, six of the heaviest that hands carry on every stand.
func (h *Search) holds(finds []Find) bool {
	var heaviest catalog.Item
	for _, item := range h.stock.Items() {
		if _, is := item.Spec.(*catalog.Ballast); is && item.MassKg > heaviest.MassKg && handCarried(item.MassKg) {
			heaviest = item
		}
	}
	for _, f := range finds {
		p := f.Piece
		p.Supports = slices.Clone(p.Supports)
		for i := range p.Supports {
			p.Supports[i].Ballast = catalog.Count{SKU: heaviest.SKU, Quantity: mostBallast}
		}
		if r, ok := rig(h.scene, p, h.stock); !ok || !r.holdsAt(r.askedMS(h.scene.Shot.GustMS)) {
			return false
		}
	}
	return true
}
