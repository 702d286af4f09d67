package text_test

import (
	"strings"
	"testing"

	"kitspan/internal/rest"
	"kitspan/internal/text"
)

func TestReachesSayWhyAFrameGoesNowhere(t *testing.T) {
	reaches, err := demoDesk().ReachJSON(t.Context(), bodyOf(t, "01-two-anglers.json"), func(r *rest.ReachRequest) {
		r.Frames = &[]string{"QG-FRAME-12X12", "QG-FRAME-03X03"}
	})
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	if err := text.WriteReach(&out, text.Metres, reaches); err != nil {
		t.Fatal(err)
	}
	text := out.String()
	for _, want := range []string{"\nQG-FRAME-12X12  ", " ft)", "none", "  QG-FRAME-03X03: In this picture", "Cautions:"} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q:\n%s", want, text)
		}
	}
	if strings.Contains(text, "  QG-FRAME-12X12: ") {
		t.Errorf("says why not of a frame that covers:\n%s", text)
	}
	brokenWell(t, text)
}
