package text

import (
	"fmt"
	"testing"
)

func TestNothingIsWrittenWithoutAMinus(t *testing.T) {
	for name, v := range map[string]float64{"up": UpToWhole(0), "nearest": ToNearest(-0.001, 1), "down": DownToTenth(0)} {
		if got := fmt.Sprintf("%.0f", v); got != "0" {
			t.Errorf("rounded %s: %q, want 0", name, got)
		}
	}
}
