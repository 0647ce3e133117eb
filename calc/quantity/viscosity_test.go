package quantity

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

const fahrenheit210 = FurolFahrenheit210

const (
	equationD2161  = "ASTM D2161-93 equation as quoted in the documentation of the Python library chemicals, evaluated with Python 3"
	factorD2161    = "ASTM D2161 equation, temperature factor from memory, evaluated with Python 3"
	furolD2161     = "ASTM D2161 Saybolt Furol equation from memory, evaluated with Python 3"
	engineeringHI  = "Hydraulic Institute, Engineering Data Book, Tbl. 2.C.1"
	exampleLibrary = "documentation example of the Python library chemicals, viscosity_converter"
)

func TestSayboltUniversal(t *testing.T) {
	cases := []struct {
		nu      float64 // mm²/s
		at      Temperature
		seconds float64
		within  float64 // relative
		source  string
	}{
		{2, HundredFahrenheit, 32.6024, 0.0005, equationD2161},
		{5, HundredFahrenheit, 42.3926, 0.0005, equationD2161},
		{10, HundredFahrenheit, 58.837, 0.0005, equationD2161},
		{20, HundredFahrenheit, 97.8227, 0.0005, equationD2161},
		{50, HundredFahrenheit, 232.551, 0.0005, equationD2161},
		{75, HundredFahrenheit, 347.834, 0.0005, equationD2161},
		{100, HundredFahrenheit, 463.463, 0.0005, equationD2161},
		{460, HundredFahrenheit, 2130.91, 0.0005, equationD2161},
		{151.089, HundredFahrenheit, 700, 0.0002, exampleLibrary},
		{20, fahrenheit210, 98.4791, 0.001, factorD2161},
		{10, fahrenheit210, 59.2318, 0.001, factorD2161},
		{100, 313.15, 463.576, 0.001, factorD2161}, // 104 °F
		{7.4, HundredFahrenheit, 50, 0.025, engineeringHI},
		{20.6, HundredFahrenheit, 100, 0.025, engineeringHI},
		{43.2, HundredFahrenheit, 200, 0.025, engineeringHI},
		{110, HundredFahrenheit, 500, 0.025, engineeringHI},
		{440, HundredFahrenheit, 2000, 0.025, engineeringHI},
		{2200, HundredFahrenheit, 10000, 0.025, engineeringHI},
	}
	for _, c := range cases {
		near(t, c.source, SayboltUniversalSeconds(KinematicViscosity(c.nu*1e-6), c.at), c.seconds, c.within)
		nu, err := FromSayboltUniversalSeconds(c.seconds, c.at)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.source, nu.SI()*1e6, c.nu, c.within)
	}
	// 4.632 s per mm²/s at 100 °F, 4.664 at 210 °F above 75 mm²/s: ASTM D2161
	// clause 5.2, read on a page that quotes it.
	for at, multiplier := range map[Temperature]float64{HundredFahrenheit: 4.632, fahrenheit210: 4.664} {
		if got := SayboltUniversalSeconds(1000e-6, at) / 1000; math.Abs(got-multiplier) > 0.001 {
			t.Errorf("multiplier %v, want %v", got, multiplier)
		}
	}
}

func TestSayboltFurol(t *testing.T) {
	cases := []struct {
		nu      float64
		at      Temperature
		seconds float64
		within  float64
		source  string
	}{
		{50, FurolFahrenheit122, 26.034, 0.005, furolD2161},
		{220, FurolFahrenheit122, 104.13, 0.005, furolD2161},
		{1000, FurolFahrenheit122, 471.71, 0.005, furolD2161},
		{100, FurolFahrenheit210, 48.382, 0.005, furolD2161},
		{460, FurolFahrenheit210, 220.46, 0.005, furolD2161},
		{20.6, FurolFahrenheit122, 15.24, 0.025, engineeringHI},
		{43.2, FurolFahrenheit122, 23.5, 0.025, engineeringHI},
	}
	for _, c := range cases {
		seconds, err := SayboltFurolSeconds(KinematicViscosity(c.nu*1e-6), c.at)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.source, seconds, c.seconds, c.within)
		nu, err := FromSayboltFurolSeconds(c.seconds, c.at)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.source, nu.SI()*1e6, c.nu, c.within)
	}
}

func near(t *testing.T, source string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: got %v, want %v within %v %%", source, got, want, 100*relative)
	}
}

// Known disagreements: the handbook's Saybolt Furol column takes ten Universal
// seconds for one Furol second and 4.545 Universal seconds for 1 mm²/s, where
// ASTM D2161 has 4.632 (and its Furol line 0.4717 s for 1 mm²/s). Above
// 48 mm²/s the standard's equation is followed; the handbook lies up to 4 %
// lower. The rows stay here so that a change of that choice is seen.
func TestSayboltFurolDisagreement(t *testing.T) {
	for nu, handbook := range map[float64]float64{110: 51.6, 440: 200, 2200: 1000} {
		seconds, err := SayboltFurolSeconds(KinematicViscosity(nu*1e-6), FurolFahrenheit122)
		if err != nil {
			t.Fatal(err)
		}
		if excess := seconds/handbook - 1; excess < 0.025 || excess > 0.04 {
			t.Errorf("%v mm²/s: %v s differs from the handbook's %v s by %v", nu, seconds, handbook, excess)
		}
	}
}

// Engler within 2.5 %, Redwood No. 1 within 5 %, both ways, against rows of
// the handbook. The rows are also in the table that is interpolated: this
// guards the reading of the table and the units, while the next test checks
// it against equations of other origin.
func TestEnglerRedwood(t *testing.T) {
	rows := []struct{ nu, redwood, engler float64 }{
		{7.4, 44.3, 1.58}, {20.6, 85.6, 3.02}, {43.2, 170, 5.92}, {110, 423, 14.6}, {440, 1690, 58.4}, {2200, 8460, 292},
	}
	for _, r := range rows {
		for symbol, c := range map[string]struct{ reading, within float64 }{"°E": {r.engler, 0.025}, "RI": {r.redwood, 0.05}} {
			reading, err := In(KinematicViscosity(r.nu*1e-6), symbol)
			if err != nil {
				t.Fatal(err)
			}
			near(t, engineeringHI, reading, c.reading, c.within)
			e, err := Parse(KinematicViscosityDimension, formatDecimals(c.reading, 2)+" "+symbol)
			if err != nil {
				t.Fatal(err)
			}
			near(t, engineeringHI, e.SI*1e6, r.nu, c.within)
		}
	}
}

// Engler: ν = 7.31 °E − 6.31/°E (Ubbelohde, from memory). Redwood No. 1:
// ν = 0.26 t − 179/t up to 100 s, 0.247 t − 50/t above (from memory; later
// British practice lies about 5 % above the handbook's table).
func TestEnglerRedwoodEquations(t *testing.T) {
	for degrees := 2.0; degrees < 600; degrees *= 1.7 {
		e, err := fromEngler(degrees)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "Ubbelohde, from memory", e*1e6, 7.31*degrees-6.31/degrees, 0.04)
	}
	for seconds := 40.0; seconds < 8000; seconds *= 1.7 {
		want := 0.247*seconds - 50/seconds
		if seconds <= 100 {
			want = 0.26*seconds - 179/seconds
		}
		e, err := fromRedwood(seconds)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "Redwood No. 1, from memory", e*1e6, want, 0.09)
	}
}

// Every scale rises with viscosity and comes back.
func TestViscosityScalesRise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(dimensions[KinematicViscosityDimension].units).Draw(t, "unit")
		if u.toSI == nil {
			t.Skip()
		}
		low := math.Exp(rapid.Float64Range(math.Log(14e-6), math.Log(0.1)).Draw(t, "ln ν"))
		high := low * rapid.Float64Range(1.0001, 3).Draw(t, "ratio")
		a, errA := u.fromSI(low)
		b, errB := u.fromSI(high)
		if errA != nil || errB != nil || !(a < b) {
			t.Fatalf("%s: %v → %v (%v), %v → %v (%v)", u.symbol, low, a, errA, high, b, errB)
		}
		back, err := u.toSI(a)
		if err != nil || math.Abs(back/low-1) > 1e-9 {
			t.Fatalf("%s: %v came back as %v (%v)", u.symbol, low, back, err)
		}
	})
}
