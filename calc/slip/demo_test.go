package slip

import (
	"math"
	"testing"

	"pumpwright/calc/gearset"
	"pumpwright/calc/quantity"
)

const (
	mm   = 1e-3
	deg  = math.Pi / 180
	bar  = 1e5
	rpm  = 2 * math.Pi / 60
	lpm  = 1e-3 / 60
	mPas = 1e-3
)

// prototype is where most check values of this package come from.
const prototype = "independent prototype of the same equations, numpy 1.24.2 / scipy 1.10.1; proves the arithmetic, not the pump"

// pumpM is the demo pump. Every number of it is invented.
func pumpM(t testing.TB) Pump {
	t.Helper()
	g, err := gearset.Compute(gearset.Pair{
		RotorTeeth: 17, IdlerTeeth: 13, Module: 8 * mm, PressureAngle: 28 * deg,
		RotorAddendum: 0.8, IdlerAddendum: 0.8, RotorDedendum: 1.05, IdlerDedendum: 1.05,
		FaceWidth: 60 * mm, Backlash: 0.2 * mm, TipGapOuter: 0.15 * mm, TipGapInner: 0.15 * mm,
	})
	if err != nil {
		t.Fatal(err)
	}
	teeth, err := TeethOf(g)
	if err != nil {
		t.Fatal(err)
	}
	return Pump{
		Teeth: teeth,
		Clearances: Clearances{
			End: 0.13 * mm, IdlerFloat: 0.20 * mm, CrescentEnd: 0.25 * mm,
			RotorRadial: 0.125 * mm, CrescentOuter: 0.15 * mm, CrescentInner: 0.15 * mm,
		},
		RotorRadius: 80 * mm, RimWidth: 16 * mm, ToothLand: 14 * mm, RotorDisplacement: 0.4, HeadSideShare: 0.5,
		RotorArc: 105 * deg, IdlerArc: 115 * deg,
		Pin:          Bushing{Radius: 15 * mm, Clearance: 0.040 * mm, Length: 58 * mm},
		ShaftBushing: &Bushing{Radius: 20 * mm, Clearance: 0.045 * mm, Length: 50 * mm},
		ShaftRadius:  20 * mm, BackGap: 1.5 * mm, MeshFriction: 0.05,
		Seal:          &Seal{FaceArea: 600e-6, MeanRadius: 25 * mm, BalanceRatio: 0.8, SpringPressure: 1.5 * bar, Friction: 0.07},
		Filling:       &Filling{SpaceWidth: 5 * mm, PortArc: 80 * deg},
		EntryExitLoss: EntryExitLoss,
	}
}

func modelM(t testing.TB) *Model {
	t.Helper()
	m, err := Prepare(pumpM(t))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// The invented liquids.
func water() Liquid    { return Newtonian(998.2, 1.002*mPas) }
func hotWater() Liquid { return Newtonian(965.3, 0.315*mPas) }

// oilViscosity is the light oil in m²/s: 46 mm²/s at 40 °C, 6.8 at 100 °C, on
// the line of ASTM D341.
func oilViscosity(celsius float64) float64 {
	w := func(v float64) float64 { return math.Log10(math.Log10(v + 0.7)) }
	t := func(c float64) float64 { return math.Log10(c + 273.15) }
	slope := (w(46) - w(6.8)) / (t(100) - t(40))
	y := w(46) - slope*(t(celsius)-t(40))
	return (math.Pow(10, math.Pow(10, y)) - 0.7) * 1e-6
}

func lightOil(celsius float64) Liquid {
	rho := 870 - 0.62*(celsius-15)
	return Newtonian(quantity.Density(rho), quantity.DynamicViscosity(rho*oilViscosity(celsius)))
}

func molasses(celsius float64) Liquid {
	return Liquid{
		Density: quantity.Density(1400 - 0.6*(celsius-20)), AtRest: quantity.DynamicViscosity(8 * math.Exp(-0.062*(celsius-40))),
		Index: 0.85, Bend: 20, HighShear: 0.05,
	}
}

func operating(speedRPM, pressureBar float64) Point {
	return Point{Speed: quantity.RotationalSpeed(speedRPM * rpm), Pressure: quantity.PressureDifference(pressureBar * bar)}
}

func at(t testing.TB, m *Model, l Liquid, pt Point) Result {
	t.Helper()
	r, err := m.At(l, pt, DefaultFactors())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func withEnd(t testing.TB, m *Model, s quantity.Length) *Model {
	t.Helper()
	other, err := m.With(m.Pump().Clearances.WithEnd(s))
	if err != nil {
		t.Fatal(err)
	}
	return other
}

func near(t *testing.T, id, source string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g ± %.2g (%s)", id, got, want, tolerance, source)
	}
}
