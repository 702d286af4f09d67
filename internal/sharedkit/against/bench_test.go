package main

import (
	"fmt"
	"testing"

	"kitspan/internal/sharedkit"
)

func BenchmarkChoose(b *testing.B) {
	for _, name := range []string{"usual", "hard"} {
		for seed := range uint64(4) {
			b.Run(fmt.Sprintf("%s-%d", name, seed), func(b *testing.B) {
				p := kinds[name](40, 8, seed)
				for b.Loop() {
					c, err := sharedkit.Choose(b.Context(), p)
					if err != nil || !c.Proven {
						b.Fatal(c, err)
					}
					b.ReportMetric(float64(c.Nodes), "parts")
				}
			})
		}
	}
}
