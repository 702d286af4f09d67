package text

import "testing"

func TestRoughly(t *testing.T) {
	for v, want := range map[float64]string{127441: "130000", 44: "44", 9.87: "9.9", 0.0312: "0.031"} {
		if got := Metres.roughly(v); got != want {
			t.Errorf("%g: %s, want %s", v, got, want)
		}
	}
}
