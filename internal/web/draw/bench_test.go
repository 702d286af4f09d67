package draw_test

import (
	"testing"

	"kitspan/internal/web/draw"
)

func BenchmarkDraw(b *testing.B) {
	for _, a := range examples() {
		if n := a.name[:2]; n != "01" && n != "09" {
			continue
		}
		o := &a.res.Options[0]
		for _, d := range kinds {
			b.Run(a.name[:2]+"/"+d.name, func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					d.draw(&a.res, o, metric)
				}
			})
		}
	}
	s := sweepOf(b, "../../../docs/examples/01-two-anglers.json", 10)
	b.Run("01/day", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			draw.Day(&s, metric)
		}
	})
}
