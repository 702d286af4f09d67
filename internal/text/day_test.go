package text_test

import (
	"encoding/json"
	"strings"
	"testing"

	"kitspan/internal/rest"
)

func TestDaysSayWhyAndWhatIsOver(t *testing.T) {
	text := dayOf(t, "01-two-anglers.json", func(r *rest.SweepRequest) {
		r.StepMin, r.From, r.To = new(120), new("00:00"), new("16:00")
		if err := json.Unmarshal([]byte(`{"price_per_day": {"amount": "1.00", "currency": "EUR"}}`), &r.Limits); err != nil {
			t.Fatal(err)
		}
	})
	for _, want := range []string{
		"* over the limit of 1.00 EUR a day, which no rig keeps.", "No overhead:",
		"  00:00 to 04:00: Nothing to soften: the sun is below the horizon.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q:\n%s", want, text)
		}
	}
	brokenWell(t, text)
}
