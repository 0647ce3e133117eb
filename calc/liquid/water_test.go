package liquid

import (
	"math"
	"testing"

	"pumpwright/calc/quantity"
)

func TestWaterViscosity(t *testing.T) {
	const source = "IAPWS R12-08, table 4, read in the test file of the Python library chemicals"
	for _, r := range []struct{ kelvin, density, want float64 }{ // µPa·s
		{298.15, 998, 889.735100},
		{373.15, 1000, 307.883622},
		{433.15, 1, 14.538324},
		{873.15, 1, 32.619287},
		{873.15, 100, 35.802262},
		{873.15, 600, 77.430195},
	} {
		got, err := WaterViscosity(quantity.Temperature(r.kelvin), quantity.Density(r.density))
		if err != nil {
			t.Fatal(err)
		}
		within(t, source, got.SI()*1e6, r.want, 1e-6*r.want)
	}
}

func TestWaterVaporPressure(t *testing.T) {
	for _, r := range []struct{ kelvin, want float64 }{ // IAPWS-IF97 table 35, from memory; reproduced with iapws 1.5.2
		{300, 0.353658941e-2},
		{500, 2.63889776},
	} {
		got, err := WaterVaporPressure(quantity.Temperature(r.kelvin))
		if err != nil {
			t.Fatal(err)
		}
		within(t, "IAPWS-IF97 table 35", got.SI()/1e6, r.want, 1e-8*r.want)
	}
}

func TestWaterDensity(t *testing.T) {
	for _, r := range []struct{ kelvin, volume float64 }{ // IAPWS-IF97 table 5, from memory; reproduced with iapws 1.5.2
		{300, 0.100215168e-2},
		{500, 0.120241800e-2},
	} {
		got, err := WaterDensity(quantity.Temperature(r.kelvin), 3e6)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "IAPWS-IF97 table 5", 1/got.SI(), r.volume, 1e-8*r.volume)
	}
}

func TestWaterAt(t *testing.T) {
	const source = "computed with iapws 1.5.2 (IF97, R12-08)"
	for _, r := range []struct{ c, density, dynamic, kinematic, vapor, tolDensity, tolViscosity float64 }{
		{5, 999.967, 1.5182, 1.51822, 0.87257, 5e-4, 5e-3},
		{10, 999.702, 1.3059, 1.30629, 1.22818, 5e-4, 5e-3},
		{20, 998.206, 1.0016, 1.00340, 2.33921, 5e-4, 5e-3},
		{25, 997.048, 0.8900, 0.89266, 3.16975, 5e-4, 5e-3},
		{40, 992.224, 0.6527, 0.65785, 7.38443, 5e-4, 5e-3},
		{60, 983.211, 0.4660, 0.47400, 19.94580, 5e-4, 5e-3},
		{80, 971.803, 0.3541, 0.36433, 47.41472, 5e-4, 5e-3},
		{95, 961.895, 0.2971, 0.30886, 84.60894, 5e-4, 5e-3},
		{120, 943.106, 0.2320, 0.2320 / 943.106 * 1e3, 198.665, 1e-3, 1e-2}, // saturated
	} {
		w, err := WaterAt(celsius(r.c), nil)
		if err != nil {
			t.Fatal(err)
		}
		within(t, source+": density", w.Density.SI(), r.density, r.tolDensity*r.density)
		within(t, source+": dynamic", w.Dynamic.SI()*1e3, r.dynamic, r.tolViscosity*r.dynamic)
		within(t, source+": kinematic", w.Kinematic.SI()*1e6, r.kinematic, r.tolViscosity*r.kinematic)
		within(t, source+": vapour", w.VaporPressure.SI()/1e3, r.vapor, 2e-3*r.vapor)
		if said := len(w.Warnings) > 0; said != (r.c > 100) {
			t.Errorf("%v °C: warnings %v", r.c, w.Warnings)
		}
		if err := w.Working().Check(); err != nil {
			t.Error(err)
		}
	}
	// Hydraulic Institute Engineering Data Book, water property table (SI),
	// read in hydraulic-institute/edb; specific gravity to water at 39.2 °F.
	for _, r := range []struct{ c, gravity, vapor float64 }{
		{10, 0.999, 1.228}, {37.8, 0.993, 6.545}, {60, 0.983, 19.919}, {93.3, 0.963, 79.469},
	} {
		w, err := WaterAt(celsius(r.c), nil)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "HI data book: gravity", w.Density.SI()/999.972, r.gravity, 0.001)
		within(t, "HI data book: vapour", w.VaporPressure.SI()/1e3, r.vapor, 0.005*r.vapor)
	}
}

func TestWaterRefuses(t *testing.T) {
	steam, high := quantity.AbsolutePressure(1e5), quantity.AbsolutePressure(2e8)
	for _, r := range []struct {
		c float64
		p *quantity.AbsolutePressure
	}{{-1, nil}, {351, nil}, {math.NaN(), nil}, {120, &steam}, {20, &high}} {
		if w, err := WaterAt(celsius(r.c), r.p); err == nil {
			t.Errorf("%v °C: got %v", r.c, w)
		}
	}
	if _, err := WaterViscosity(300, 0); err == nil {
		t.Error("a density of 0 was taken")
	}
}

func BenchmarkWaterAt(b *testing.B) {
	for b.Loop() {
		if _, err := WaterAt(333, nil); err != nil {
			b.Fatal(err)
		}
	}
}
