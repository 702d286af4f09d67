package rest

import (
	"errors"
	"strings"
	"testing"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/terms"
)

// threeDays is a plan request with a shot on each of three days, by some terms.
func threeDays(by string) []byte {
	day := func(number, date string) string {
		return strings.Replace(shotBody(number, soft), "2027-06-18", date, 1)
	}
	return []byte(`{"house": "northpier", "terms": "` + by + `", "job": ` + jobBody(day("1", "2027-06-15"), day("2", "2027-06-16"), day("3", "2027-06-17")) + `}`)
}

// A span of hire is charged by the house's table, at the rate of its first day, and costs no more than without.
func TestAPlanByTheHousesTermsChargesFewerDays(t *testing.T) {
	desk := NewDesk(catalog.Demo{}, func() time.Time { return time.Date(2027, 1, 1, 12, 0, 0, 0, time.UTC) })
	desk.Terms = terms.Demo{}
	plain, _, err := desk.PlanJSON(t.Context(), threeDays("none"))
	if err != nil {
		t.Fatal(err)
	}
	by, _, err := desk.PlanJSON(t.Context(), threeDays("house"))
	if err != nil {
		t.Fatal(err)
	}
	if by.Terms == nil || plain.Terms != nil || by.Terms.Prefix != "NP" {
		t.Fatalf("terms %+v and %+v", by.Terms, plain.Terms)
	}
	var sum int64
	fewer := 0
	for _, l := range by.Kit {
		from, _ := time.Parse(time.DateOnly, l.From.String())
		to, _ := time.Parse(time.DateOnly, l.To.String())
		days := int(to.Sub(from).Hours()/24) + 1
		rate, _ := l.DayRate.Int64()
		amount, _ := l.Amount.Int64()
		if table := []int{1, 2, 2, 3}; l.ChargedDays != table[days-1] || amount != rate*int64(l.Quantity*l.ChargedDays) {
			t.Errorf("%+v: %d days are charged as %d", l, days, table[days-1])
		}
		if l.ChargedDays < days {
			fewer++
		}
		sum += amount
	}
	if hire, _ := by.Hire.Int64(); hire != sum {
		t.Errorf("hire %d, lines %d", hire, sum)
	}
	if fewer == 0 {
		t.Error("no line is charged fewer days than it has")
	}
	if less, err := by.Total.Cmp(plain.Total); err != nil || less > 0 {
		t.Errorf("by terms %s, without %s", by.Total, plain.Total)
	}
}

func TestAHouseWithoutTermsSaysSo(t *testing.T) {
	desk := NewDesk(catalog.Demo{}, time.Now)
	for _, book := range []terms.Book{nil, terms.Demo{}} {
		desk.Terms = book
		body := []byte(`{"house": "quayside", "terms": "house", "job": ` + jobBody(strings.Replace(shotBody("1", soft), "2027-06-18", "2025-06-15", 1)) + `}`)
		_, _, err := desk.PlanJSON(t.Context(), body)
		var refusal *Refusal
		if !errors.As(err, &refusal) || len(refusal.Faults) != 1 || refusal.Faults[0].Pointer != "/terms" ||
			refusal.Faults[0].Kind != (fault.NoTerms{House: "quayside", Date: "2025-06-15"}) {
			t.Errorf("%v", err)
		}
	}
}
