package slip

import (
	"testing"

	"pumpwright/calc/quantity"
)

func BenchmarkPoint(b *testing.B) {
	m := modelM(b)
	for _, c := range operatingPoints {
		b.Run(c.id, func(b *testing.B) {
			with := withEnd(b, m, quantity.Length(c.end*mm))
			for b.Loop() {
				if _, err := with.At(c.liquid, operating(c.speed, c.pressure), DefaultFactors()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// One point from the bare description of the pump.
func BenchmarkColdPoint(b *testing.B) {
	p := pumpM(b)
	for b.Loop() {
		m, err := Prepare(p)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := m.At(lightOil(40), operating(500, 10), DefaultFactors()); err != nil {
			b.Fatal(err)
		}
	}
}
