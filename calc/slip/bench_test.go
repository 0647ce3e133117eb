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

// A map of 50 speeds and 50 pressures.
func BenchmarkMap50x50(b *testing.B) {
	m := modelM(b)
	var speeds []quantity.RotationalSpeed
	var pressures []quantity.PressureDifference
	for i := range 50 {
		speeds = append(speeds, quantity.RotationalSpeed(float64(20+10*i)*rpm))
		pressures = append(pressures, quantity.PressureDifference(float64(i)*0.2*bar))
	}
	for _, c := range []struct {
		name   string
		liquid Liquid
	}{{"water", water()}, {"oil", lightOil(40)}, {"molasses", molasses(40)}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := m.Map(c.liquid, speeds, pressures, DefaultFactors()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A calibration to 30 points with flow and power, all four factors.
func BenchmarkCalibrate30(b *testing.B) {
	m := modelM(b)
	truth := Factors{Displacement: 0.995, Slip: 1.3, Drag: 0.7, EndBias: 0.015 * mm}
	for _, c := range []struct {
		name   string
		liquid Liquid
	}{{"oil", lightOil(40)}, {"molasses", molasses(40)}} {
		var points []Measurement
		for i := range 30 {
			r, err := m.At(c.liquid, operating(float64(100+10*i), float64(i%10)), truth)
			if err != nil {
				b.Fatal(err)
			}
			power := quantity.Within(r.Power.Total, 15)
			points = append(points, Measurement{Point: r.Point, Liquid: c.liquid, Flow: quantity.Within(r.Flow, 0.5*lpm), Power: &power})
		}
		for _, fit := range [][]Factor{{FitSlip, FitDrag}, {FitSlip, FitDrag, FitDisplacement, FitEndBias}} {
			b.Run(c.name+"/"+string(rune('0'+len(fit))), func(b *testing.B) {
				for b.Loop() {
					if _, err := m.Calibrate(points, fit); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
