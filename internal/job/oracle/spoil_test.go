package oracle_test

import (
	"encoding/json"
	"os"
	"testing"
	"time"

	"kitspan/internal/job/oracle"
)

// estuary is the example job, planned.
func estuary(t testing.TB) (body, []byte) {
	t.Helper()
	text, err := os.ReadFile("../../../docs/jobs/estuary.json")
	if err != nil {
		t.Fatal(err)
	}
	b := body{}
	if err := json.Unmarshal(text, &b); err != nil {
		t.Fatal(err)
	}
	b["limits"] = body{"crew": 9} // as in the file
	_, out := planned(t, demo(t, "quayside"), b)
	return b, out
}

// The example keeps every rule, and whatever is changed in its answer is noticed.
func TestWhatIsWrongInAnAnswerIsNoticed(t *testing.T) {
	b, out := estuary(t)
	q := asked(t, demo(t, "quayside"), b)
	read := func() *oracle.Answer {
		a, err := oracle.Read(out)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	for _, wrong := range oracle.Check(read(), q) {
		t.Errorf("as planned: %s", wrong)
	}
	hour := time.Hour
	for name, spoil := range map[string]func(a *oracle.Answer){
		"a total":                    func(a *oracle.Answer) { a.Total.Amount = "8000.00" },
		"hire":                       func(a *oracle.Answer) { a.Hire.Amount = "1.00" },
		"labour":                     func(a *oracle.Answer) { a.Labour.Amount = "1.00" },
		"transport":                  func(a *oracle.Answer) { a.Transport.Amount = "1.00" },
		"people":                     func(a *oracle.Answer) { a.People-- },
		"mass":                       func(a *oracle.Answer) { a.MassKg -= 5 },
		"the sum of shots":           func(a *oracle.Answer) { a.Separately.Amount = "9000.00" },
		"a bound over the total":     func(a *oracle.Answer) { a.Bound.Amount = "9000.00" },
		"a proof without its bound":  func(a *oracle.Answer) { a.Bound.Amount = "7000.00" },
		"a bound of another aim":     func(a *oracle.Answer) { a.BoundPeople = &a.People },
		"options considered":         func(a *oracle.Answer) { a.Considered++ },
		"another option":             func(a *oracle.Answer) { *a.Shots[0].OptionIndex = len(a.Pool["3"]) - 1 },
		"an option of another state": func(a *oracle.Answer) { a.Pool["3"][0].State = "does_less" },
		"a start at odd minutes":     func(a *oracle.Answer) { a.Pool["8"][0].Window.Start = "14:37" },
		"an hour later":              func(a *oracle.Answer) { up := a.Shots[0].UpFrom.Add(hour); a.Shots[0].UpFrom = &up },
		"a unit less":                func(a *oracle.Answer) { a.Kit[len(a.Kit)-1].Quantity-- },
		"a line missing":             func(a *oracle.Answer) { a.Kit = a.Kit[1:] },
		"a line of a day more":       func(a *oracle.Answer) { a.Kit[0].To = "2027-06-16" },
		"a rate":                     func(a *oracle.Answer) { a.Kit[0].DayRate.Amount = "0.10" },
		"charged days":               func(a *oracle.Answer) { a.Kit[0].ChargedDays++ },
		"needed by":                  func(a *oracle.Answer) { a.Kit[0].NeededBy = nil },
		"last unit for":              func(a *oracle.Answer) { a.Kit[0].LastUnitFor = nil },
		"a moment's people":          func(a *oracle.Answer) { a.Days[0].Moments[1].People-- },
		"a moment's end":             func(a *oracle.Answer) { a.Days[0].Moments[0].To = a.Days[0].Moments[0].To.Add(-hour) },
		"a moment missing":           func(a *oracle.Answer) { a.Days[1].Moments = a.Days[1].Moments[1:] },
		"a day missing":              func(a *oracle.Answer) { a.Days = a.Days[1:] },
		"somebody missing":           func(a *oracle.Answer) { a.Days[0].People[0].Quantity-- },
		"a vehicle more":             func(a *oracle.Answer) { a.Days[0].Vehicles[0].Quantity++ },
		"a day's mass":               func(a *oracle.Answer) { a.Days[2].MassKg++ },
		"a long day unsaid":          func(a *oracle.Answer) { a.Notes = nil },
		"a clash":                    func(a *oracle.Answer) { a.Clashes = append(a.Clashes, oracle.Clash{SKU: a.Kit[0].SKU, Short: 1}) },
		"a limit broken":             func(a *oracle.Answer) { a.Broken = append(a.Broken, oracle.Broken{Limit: "crew"}) },
	} {
		a := read()
		if spoil(a); len(oracle.Check(a, q)) == 0 {
			t.Errorf("%s: nobody noticed", name)
		}
	}
}
