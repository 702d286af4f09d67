//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package web

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"

	"kitspan/internal/text"
)

// Page, sheet, drawings and the plan as text round the same way and write money the same way: whatever the one says stands in the other.
func TestFiguresAreTheSameWhereverTheyStand(t *testing.T) {
	t.Parallel()
	s := newSiteWith(t, func(o *setup) { o.Text = text.WritePlan })
	for name, address := range map[string]string{
		"two people": with(), "ropes": with("ground", "grass", "anchor", "stakes", "width", "4.2", "distance", "6.5", "bearing", "260", "zone_width", "3.2", "gust", "9"),
	} {
		page, sheet := s.get(t, "/plan?"+address), s.get(t, "/option?"+address)
		plan := s.get(t, "/plan.txt?"+address).Text()
		first := strings.Join(strings.Fields(plan[strings.Index(plan, "\n1. "):strings.Index(plan, "\n2. ")]), " ")
		all := func(pattern string) (list []string) {
			for _, m := range regexp.MustCompile(pattern).FindAllStringSubmatch(first, -1) {
				list = append(list, m[1])
			}
			slices.Sort(list)
			return slices.Compact(list)
		}
		column := func(n string) (list []string) {
			sheet.Find("table.hold tbody td:nth-child(" + n + ")").Each(func(_ int, td *goquery.Selection) {
				if cell := strings.ReplaceAll(td.Text(), ",", ""); cell != "–" {
					list = append(list, cell)
				}
			})
			slices.Sort(list)
			return slices.Compact(list)
		}
		for what, c := range map[string]struct{ column, pattern string }{
			"wind": {"2", `[Ww]ind (\d+) N`}, "watched from": {"3", `watch from ([\d.]+) m/s`}, "lowered at": {"4", `lower at ([\d.]+)`}, "safe to": {"5", `safe to ([\d.]+)`},
			"goes at": {"6", `goes at ([\d.]+) m/s`},
		} {
			if a, b := column(c.column), all(c.pattern); !slices.Equal(a, b) || len(a) == 0 {
				t.Errorf("%s: %s is %v on the sheet and %v in the text", name, what, a, b)
			}
		}
		offer := regexp.MustCompile(`1\. [^:]+: ([\d.]+ EUR) per day to hire, ([\d.]+ EUR) with people`).FindStringSubmatch(first)
		if offer == nil {
			t.Fatalf("%s: no offer in %s", name, first)
		}
		plain := func(s string) string {
			return strings.ReplaceAll(strings.ReplaceAll(s, ",", ""), "\u00a0", " ")
		}
		chosen := page.Find("table.options .chosen")
		for _, c := range []struct{ where, got, want string }{
			{"the price that stands first", page.Find("#headline .total strong").Text(), offer[2]}, {"the hire in its bar", page.Find("#headline .made .hire").Text(), "Hire " + offer[1]},
			{"the plan's price", chosen.Find("td[data-is='a day']").Text(), offer[2]}, {"the plan's hire", chosen.Find("td[data-is=Hire]").Text(), offer[1]},
			{"the page's sum", page.Find("table.kit .sum:last-child td:last-child").Text(), offer[2]}, {"the sheet's sum", sheet.Find("table.kit .sum:last-child td:last-child").Text(), offer[2]},
			{"the mass", chosen.Find("td[data-is=Mass]").Text(), all(`The kit weighs (\d+ kg)`)[0]},
		} {
			if got := strings.TrimSpace(plain(c.got)); got != c.want {
				t.Errorf("%s: %s is %q, and %q in the text", name, c.where, got, c.want)
			}
		}
		if caption := plain(sheet.Find("table.kit caption").Text()); !strings.Contains(caption, all(`The kit weighs (\d+ kg)`)[0]+" "+all(`packs into ([\d.]+) m³`)[0]+" m³") {
			t.Errorf("%s: mass and volume on the sheet: %q", name, caption)
		}
		lowest := column("4")[0]
		for _, in := range column("4") {
			if len(in) < len(lowest) || len(in) == len(lowest) && in < lowest {
				lowest = in
			}
		}
		if wind := page.Find("#headline .figures").Text(); !strings.Contains(wind, "lower at "+lowest) {
			t.Errorf("%s: wind %q, lowest %s", name, wind, lowest)
		}
		drawn := page.Find(".d-wind svg").Text()
		for _, v := range column("4") {
			if !strings.Contains(drawn, "lower "+v+",") {
				t.Errorf("%s: %s is not drawn", name, v)
			}
		}
	}
}
