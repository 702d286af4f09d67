package rigging

import "testing"

// benchPiece is a frame of 12 × 12 ft on four crank stands, tilted by 40°, in 8 m/s.
func benchPiece() (Piece, Guys) {
	p := Piece{Panel: Panel{WidthM: 3.66, HeightM: 3.66, TiltDeg: 40, MiddleM: 3.5, LowestM: 2.3}, MassKg: 19, Friction: 0.3}
	for i := range 4 {
		p.Supports = append(p.Supports, Support{MassKg: 31, FootprintM: 0.85, Legs: 4, HeightM: 2.3 + 2.4*float64(i/2), SafeLoadKg: 60})
	}
	return p, Guys{AngleDeg: 30, Factor: 1, LineSafePullN: 1500, WeightKg: 250}
}

// BenchmarkRig is one piece that needs lines, from its measures to bags, weights and limit.
func BenchmarkRig(b *testing.B) {
	p, g := benchPiece()
	b.ReportAllocs()
	for b.Loop() {
		if r := p.Rig(8, 16, 0, &g); !r.Guyed {
			b.Fatalf("%+v", r)
		}
	}
}

func BenchmarkHold(b *testing.B) {
	p, _ := benchPiece()
	b.ReportAllocs()
	for b.Loop() {
		if h := p.Hold([MaxSupports]float64{64, 64, 64, 64}, nil); h.LowerAtMS <= 0 {
			b.Fatalf("%+v", h)
		}
	}
}

func BenchmarkTransport(b *testing.B) {
	fleet := []Vehicle{{900, 6, 7000, 3, true}, {1300, 12, 9500, 3, true}, {1000, 20, 14000, 2, true}, {6000, 40, 28000, 1, false}}
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := Transport(Cargo{MassKg: 5400, VolumeM3: 21, HeaviestKg: 250, BulkiestM3: 0.3}, fleet, 1, 6); !ok {
			b.Fatal("not carried")
		}
	}
}
