package suction

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func within(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.8g, want %.8g ± %.2g", what, got, want, tolerance)
	}
}

func TestFrictionFactor(t *testing.T) {
	const both = "computed with scipy 1.10.1 and, independently, fluids 1.0.22 (Lambert W form)"
	for _, r := range []struct {
		source                    string
		reynolds, roughness, want float64
	}{
		{both, 10000, 0.001, 0.032382},
		{"documentation example of the Python library fluids 1.0.22 (0.018513866077471)", 100000, 0.0001, 0.018514},
		{both, 100000, 0.001, 0.022175},
		{both, 1e6, 0.001, 0.019943},
		{both, 1e7, 0.0001, 0.012166},
		{both, 1e8, 0.05, 0.071551},
		{both + ", at the end of the critical zone", 4000, 0, 0.039907},
		{"f = 64/Re, Hydraulic Institute Engineering Data Book equation 3.A.5", 10, 0, 6.4},
		{"f = 64/Re, Hydraulic Institute Engineering Data Book equation 3.A.5", 500, 0, 0.128},
		{"f = 64/Re, Hydraulic Institute Engineering Data Book equation 3.A.5", 2000, 0, 0.032},
	} {
		got, err := FrictionFactor(r.reynolds, r.roughness)
		if err != nil {
			t.Fatal(err)
		}
		within(t, r.source, got, r.want, 1e-4*r.want)
	}
	got, err := FrictionFactor(1e5, 1e-4)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "documentation example of the Python library fluids 1.0.22", got, 0.018513866077471, 1e-11)
	// Hydraulic Institute Engineering Data Book equation 3.A.3, evaluated with Python 3.
	within(t, "explicit form", explicitFriction(1e5, 1e-4), 0.018452, 5e-5*0.018452)
	within(t, "explicit form", explicitFriction(1e4, 1e-3), 0.032665, 5e-5*0.032665)
	for _, bad := range [][2]float64{{0, 0}, {-1, 0}, {math.NaN(), 0}, {math.Inf(1), 0}, {1e5, -1e-3}, {1e5, 0.2}} {
		if f, err := FrictionFactor(bad[0], bad[1]); err == nil {
			t.Errorf("%v gave %v", bad, f)
		}
	}
}

// Published values: Hydraulic Institute Engineering Data Book table 3.A.1, as
// read in hydraulic-institute/edb; K of Crane TP-410 as coded in fluids 1.0.22.
func TestConstants(t *testing.T) {
	for name, mm := range map[string]float64{"commercial steel": 0.0457, "stainless steel": 0.015, "drawn tubing": 0.00152, "cast iron": 0.26} {
		within(t, name, Roughness()[name].SI()*1e3, mm, 1e-9)
	}
	within(t, "entrance", SharpEntrance, 0.5, 0.1)
	within(t, "exit", SharpExit, 1, 0)
}

func exampleLine(nu, rho, m3h, bore, length, k, level, vapor float64) Line {
	return Line{SurfacePressure: quantity.StandardAtmosphere, StaticHead: quantity.Length(level), Flow: quantity.Flow(m3h / 3600),
		Bore: quantity.Length(bore / 1e3), Length: quantity.Length(length), Roughness: CommercialSteel, FittingsK: k,
		Viscosity: quantity.DynamicViscosity(nu * 1e-6 * rho), Density: quantity.Density(rho), VaporPressure: quantity.AbsolutePressure(vapor)}
}

func TestAt(t *testing.T) {
	const source = "computed with scipy 1.10.1 / numpy 1.24.2 (roughness 0.0457 mm)"
	for _, r := range []struct {
		line                                    Line
		v, re, f, pipe, fittings, total, static float64
	}{
		{exampleLine(2054, 900, 10, 77.9, 6, 2, 1.5, 0), 0.5828, 22.1, 2.89541, 34088, 306, 80170, 80017},
		{exampleLine(46, 860, 20, 77.9, 8, 3, -2, 100), 1.1656, 1974.0, 0.03242, 1945, 1753, 80660, 80075},
		{exampleLine(0.474, 983.2, 15, 52.5, 5, 2.5, 2, 19946), 1.9248, 213187.3, 0.02043, 3544, 4553, 92566, 90745},
	} {
		got, err := At(r.line)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			what      string
			got, want float64
		}{
			{"velocity", got.Velocity.SI(), r.v}, {"Reynolds", got.Reynolds, r.re}, {"friction", got.FrictionFactor, r.f},
			{"pipe", got.PipeLoss.SI(), r.pipe}, {"fittings", got.FittingsLoss.SI(), r.fittings},
			{"total", got.Available.SI(), r.total}, {"static", got.AvailableStatic.SI(), r.static},
		} {
			within(t, source+": "+c.what, c.got, c.want, 0.005*c.want)
		}
		if err := got.Working().Check(); err != nil {
			t.Error(err)
		}
	}
}

// Laminar loss in US units, psi = k cP ft gpm/in⁴: computed with Python 3 from
// exact unit definitions.
func TestLaminarLossUSUnits(t *testing.T) {
	psi := func(feet, gpm, centipoise, inches float64) float64 {
		r, err := At(Line{SurfacePressure: 1e9, Flow: quantity.Flow(gpm * 3.785411784e-3 / 60), Bore: quantity.Length(inches * 0.0254), Length: quantity.Length(feet * 0.3048),
			Viscosity: quantity.DynamicViscosity(centipoise / 1e3), Density: 900})
		if err != nil {
			t.Fatal(err)
		}
		return r.PipeLoss.SI() / 6894.757293168
	}
	within(t, "k", psi(1, 1, 1000, 1)/1000, 2.7301e-4, 1e-4*2.7301e-4)
	within(t, "50 gpm", psi(10, 50, 1000, 3.068), 1.5407, 5e-4*1.5407)
	within(t, "30 gpm", psi(20, 30, 5000, 4.026), 3.1175, 5e-4*3.1175)
}

// Esposito, Fluid Power with Applications, example 4-10, inputs read in
// FOSSEE/Scilab-TBC-Uploads; result computed with Python 3.
func TestEsposito(t *testing.T) {
	nu, rho, q, d, k := 100e-6, 900.0, 0.00190, 0.0254, 0.9
	line := Line{SurfacePressure: 1e7, Flow: quantity.Flow(q), Bore: quantity.Length(d), Length: 1.53 + 4.88, FittingsK: k,
		Viscosity: quantity.DynamicViscosity(nu * rho), Density: quantity.Density(rho)}
	r, err := At(line)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "V", r.Velocity.SI(), 3.750, 0.005*3.75)
	within(t, "Re", r.Reynolds, 952, 0.005*952)
	within(t, "f", r.FrictionFactor, 0.06720, 0.005*0.0672)
	within(t, "equivalent length of the elbow", k*d/r.FrictionFactor, 0.340, 0.005*0.34)
	loss := (r.PipeLoss + r.FittingsLoss).SI() / (rho * Gravity)
	within(t, "loss", loss, 12.81, 0.005*12.81)
	within(t, "pressure at the far end", (3730/q-rho*Gravity*(6.10+loss))/1e3, 1790, 0.005*1790)
}

// Worked example 4 on a stored page of practice: 2.31 (2.4 + 14.7 − 0.339) +
// 100/64.34 + 1 = 41.27 ft.
func TestFromGauge(t *testing.T) {
	const psi, foot, rho = 6894.757293168, 0.3048, 998.2
	got, err := FromGauge(2.4*psi, 14.7*psi, foot, 10*foot, rho, 0.339*psi)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "NPSHA", got.SI()/(rho*Gravity)/foot, 41.27, 0.1)
	if _, err := FromGauge(-2e5, quantity.StandardAtmosphere, 0, 1, rho, 0); err == nil {
		t.Error("a pressure below vacuum was taken")
	}
}

func TestPowerLaw(t *testing.T) {
	q, err := PowerLawFlow(0.050, 3, 0.5e5, 8, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "computed with Python 3 (closed form)", q.SI()*6e4, 399.474, 1e-5*399.474)
	loss, err := PowerLawLoss(2*0.0394, 4, 0.1/60, 12, 0.5)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "computed with Python 3 (closed form)", loss.SI(), 16045.9, 1e-5*16045.9)
	// Law: n = 1 is Hagen–Poiseuille, the laminar loss of At.
	newton, err := PowerLawLoss(0.05, 3, 1e-3, 2, 1)
	if err != nil {
		t.Fatal(err)
	}
	r, err := At(Line{SurfacePressure: 1e7, Flow: 1e-3, Bore: 0.05, Length: 3, Viscosity: 2, Density: 1000})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "n = 1", newton.SI(), r.PipeLoss.SI(), 1e-9*newton.SI())
	if _, err := PowerLawFlow(0.05, 3, 1e5, 8, 0); err == nil {
		t.Error("n = 0 was taken")
	}
}

func TestRefuses(t *testing.T) {
	good := exampleLine(46, 860, 20, 77.9, 8, 3, -2, 100)
	negative := quantity.PressureDifference(-1)
	for field, spoil := range map[string]func(*Line){
		"bore":             func(l *Line) { l.Bore = 0 },
		"viscosity":        func(l *Line) { l.Viscosity = -1 },
		"density":          func(l *Line) { l.Density = quantity.Density(math.NaN()) },
		"surface_pressure": func(l *Line) { l.SurfacePressure = 0 },
		"flow":             func(l *Line) { l.Flow = -1 },
		"length":           func(l *Line) { l.Length = quantity.Length(math.Inf(1)) },
		"roughness":        func(l *Line) { l.Roughness = 0.01 },
		"fittings_k":       func(l *Line) { l.FittingsK = -0.1 },
		"vapor_pressure":   func(l *Line) { l.VaporPressure = -1 },
		"dissolved_air":    func(l *Line) { l.DissolvedAir = -1 },
		"static_head":      func(l *Line) { l.StaticHead = quantity.Length(math.NaN()) },
		"required":         func(l *Line) { l.Required = &negative },
	} {
		line := good
		spoil(&line)
		_, err := At(line)
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func TestWarnings(t *testing.T) {
	need := quantity.PressureDifference(90e3)
	line := exampleLine(46, 860, 20, 77.9, 8, 3, -2, 100)
	line.Required = &need
	r, err := At(line)
	if err != nil {
		t.Fatal(err)
	}
	if *r.Margin >= 0 || !says(r, "suction.short") {
		t.Errorf("margin %v, %v", *r.Margin, r.Warnings)
	}
	need = 75e3
	if r, _ = At(line); !says(r, "suction.thin_margin") {
		t.Errorf("margin %v, %v", *r.Margin, r.Warnings)
	}
	line.Viscosity = quantity.DynamicViscosity(30e-6 * 860)
	if r, _ = At(line); !says(r, "suction.critical") || !r.OutsideRange {
		t.Errorf("Re %v, %v", r.Reynolds, r.Warnings)
	}
	line.StaticHead = -20
	if r, _ = At(line); !says(r, "suction.boils") {
		t.Errorf("available %v, %v", r.Available, r.Warnings)
	}
}

func says(r *Result, id string) bool {
	for _, w := range r.Warnings {
		if w.ID() == id {
			return true
		}
	}
	return false
}

func TestMost(t *testing.T) {
	need := quantity.PressureDifference(40e3)
	line := exampleLine(2054, 900, 10, 77.9, 6, 2, 1.5, 0)
	line.Required = &need
	flow, err := MostFlow(line, nil)
	if err != nil {
		t.Fatal(err)
	}
	line.Flow = flow
	r, err := At(line)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "margin at the most flow", r.Margin.SI(), 0, 1e-3)
	if !(flow > 10.0/3600) {
		t.Errorf("most flow %v", flow)
	}
	// A requirement that grows with flow allows less.
	less, err := MostFlow(line, func(q quantity.Flow) quantity.PressureDifference {
		return quantity.PressureDifference(40e3 + 1e7*q.SI())
	})
	if err != nil || !(less < flow) {
		t.Errorf("with a growing requirement %v (%v), without %v", less, err, flow)
	}
	line.Flow = 10.0 / 3600
	mu, err := MostViscosity(line)
	if err != nil {
		t.Fatal(err)
	}
	// Laminar, so the pipe loss is proportional to viscosity: by hand
	// 34088 Pa grows by the margin 40170 Pa, from 1.8486 Pa·s to 4.027 Pa·s.
	within(t, "most viscosity, by hand", mu.SI(), 2054e-6*900*(34088+40170)/34088, 0.005*4)
	line.StaticHead = -11
	if _, err := MostFlow(line, nil); err == nil {
		t.Error("a pump that never fills has a most flow")
	}
}

func TestTemperatureWindow(t *testing.T) {
	line := exampleLine(46, 860, 20, 77.9, 8, 3, -2, 100)
	liquid := func(at quantity.Temperature) (quantity.Density, quantity.DynamicViscosity, quantity.AbsolutePressure, error) {
		c := at.SI() - 273.15
		return 900, quantity.DynamicViscosity(10 * math.Exp(-0.06*c)), quantity.AbsolutePressure(100 * math.Exp(0.055*c)), nil
	}
	w, err := TemperatureWindow(line, liquid, 263.15, 423.15)
	if err != nil {
		t.Fatal(err)
	}
	if w.OpenLow || w.OpenHigh || w.Low >= w.High {
		t.Fatalf("window %+v", w)
	}
	for _, end := range []quantity.Temperature{w.Low, w.High} {
		rho, mu, vapor, _ := liquid(end)
		line.Density, line.Viscosity, line.VaporPressure = rho, mu, vapor
		within(t, "margin at the end", line.solve().margin(), 0, 1)
	}
	if _, err := TemperatureWindow(line, liquid, 423.15, 433.15); err == nil {
		t.Error("a window was found where the liquid boils")
	}
	if _, err := TemperatureWindow(line, liquid, 300, 300); err == nil {
		t.Error("an empty range was searched")
	}
}

// Law: what is available falls with flow, viscosity, length and fittings, and
// rises with the level; without flow nothing is lost.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := exampleLine(math.Exp(rapid.Float64Range(-1, 9).Draw(t, "ln nu")), 900, rapid.Float64Range(0.5, 60).Draw(t, "flow"),
			rapid.Float64Range(25, 200).Draw(t, "bore"), rapid.Float64Range(0.5, 50).Draw(t, "length"), 2, 1, 500)
		base := line.solve()
		for what, change := range map[string]func(*Line){
			"flow":      func(l *Line) { l.Flow *= 1.3 },
			"length":    func(l *Line) { l.Length *= 1.3 },
			"fittings":  func(l *Line) { l.FittingsK += 1 },
			"level":     func(l *Line) { l.StaticHead -= 0.5 },
			"air":       func(l *Line) { l.DissolvedAir += 100 },
			"thickness": func(l *Line) { l.Viscosity *= 3 },
		} {
			if what == "thickness" && base.Reynolds > laminarLimit/3 && base.Reynolds < 3*turbulentLimit {
				continue // the jump at the change to laminar flow goes the other way
			}
			changed := line
			change(&changed)
			if !(changed.solve().Available < base.Available) {
				t.Fatalf("%s: %v, before %v", what, changed.solve().Available, base.Available)
			}
		}
		line.Flow = 0
		if r := line.solve(); r.PipeLoss != 0 || r.FittingsLoss != 0 || r.Available <= base.Available {
			t.Fatalf("without flow: %+v", r)
		}
	})
}

func BenchmarkAt(b *testing.B) {
	line := exampleLine(0.474, 983.2, 15, 52.5, 5, 2.5, 2, 19946)
	for b.Loop() {
		if _, err := At(line); err != nil {
			b.Fatal(err)
		}
	}
}
