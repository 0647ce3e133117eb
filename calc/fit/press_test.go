package fit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/material"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func own(t testing.TB, name string, gpa, nu, alpha float64) material.Material {
	t.Helper()
	e, a := quantity.Stress(gpa*1e9), quantity.Expansion(alpha*1e-6)
	m, err := material.Own(material.Given{Name: name, YoungsModulus: &e, Poisson: &nu, Expansion: &a})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func celsius(v float64) quantity.Temperature { return quantity.Temperature(v + 273.15) }

func within(t testing.TB, name string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s = %.6g, want %g within %g %%", name, got, want, relative*100)
	}
}

func withinAbs(t testing.TB, name string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.6g, want %g ± %g", name, got, want, tolerance)
	}
}

// Computed with numpy 1.24.2, independent evaluation of the Lamé equations in
// plane stress.
func TestPressCases(t *testing.T) {
	carbon, iron := own(t, "carbon", 17, 0.2, 4), own(t, "iron", 100, 0.26, 11.4)
	bronze, bronze2 := own(t, "bronze", 100, 0.34, 18), own(t, "bronze", 103, 0.34, 18)
	steel, ductile := own(t, "steel", 207, 0.3, 11.7), own(t, "ductile", 169, 0.29, 11.2)
	for _, row := range []struct {
		name                                          string
		bore, mating, outer                           float64
		sleeve, housing                               material.Material
		interference                                  float64
		length, friction                              float64
		p, hoop, interfaceHoop, boreHoop, close, grow float64 // MPa, mm; NaN = not stated
		force                                         float64 // kN
	}{
		{"carbon in grey iron", 25, 38, 70, carbon, iron, 0.040, 40, 0.15, 6.671, 12.245, -16.852, -23.523, 0.03459, 0.00531, 4.778},
		{"bronze in grey iron", 30, 40, 80, bronze, iron, 0.030, 45, 0.12, 14.540, 24.234, -51.929, -66.470, 0.01994, 0.01121, 9.867},
		{"bronze in steel", 50, 63, 110, bronze2, steel, 0.045, 0, 0.12, 14.158, 27.981, -62.349, -76.507, 0.03714, 0.00981, 0},
		{"pin in ductile iron", 0, 25, 55, steel, ductile, 0.028, 35, 0.12, 79.452, 120.833, -79.452, 0, 0, 0.02128, 26.21},
		{"carbon in a large body", 25, 38, math.Inf(1), carbon, iron, 0.040, 0, 0.12, 7.044, 7.044, -17.795, -24.839, 0.03653, 0.00337, 0},
	} {
		in := PressInput{MatingDiameter: mm(row.mating), Interference: mm(row.interference), SleeveBore: mm(row.bore), HousingOuter: mm(row.outer),
			Length: mm(row.length), Sleeve: row.sleeve, Housing: row.housing, Friction: row.friction, Bench: celsius(20)}
		if math.IsInf(row.outer, 1) {
			in.HousingOuter, in.HousingLarge = 0, true
		}
		r, err := Press(in)
		if err != nil {
			t.Errorf("%s: %v", row.name, err)
			continue
		}
		within(t, row.name+" pressure", float64(r.Cold.ContactPressure)/1e6, row.p, 0.001)
		within(t, row.name+" housing hoop", float64(r.Cold.HousingHoop)/1e6, row.hoop, 0.001)
		within(t, row.name+" sleeve interface hoop", float64(r.Cold.SleeveHoopInterface)/1e6, row.interfaceHoop, 0.001)
		within(t, row.name+" sleeve bore hoop", float64(r.Cold.SleeveHoopBore)/1e6, row.boreHoop, 0.001)
		within(t, row.name+" closure", float64(r.Cold.BoreClosure)*1e3, row.close, 0.001)
		within(t, row.name+" growth", float64(r.Cold.HousingGrowth)*1e3, row.grow, 0.001)
		within(t, row.name+" force", float64(r.PressForce)/1e3, row.force, 0.001)
		if err := r.Working().Check(); err != nil {
			t.Error(err)
		}
	}
}

// Ugural and Fenster, Advanced Strength and Applied Elasticity, ex. 8.3 p. 243
// (radial interference 0.1 mm) and ex. 8.1 p. 239; Boresi and Schmidt, Advanced
// Mechanics of Materials, ex. 11.1 p. 397; Bhandari, Design of Machine
// Elements, ex. 22.8.
func TestTextbookPress(t *testing.T) {
	steel := own(t, "steel", 200, 0.3, 11.7)
	in := PressInput{MatingDiameter: mm(400), Interference: mm(2 * 0.1), SleeveBore: mm(300), HousingOuter: mm(500), Sleeve: steel, Housing: steel, Friction: 0.12, Bench: celsius(20)}
	r, err := Press(in)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "contact pressure", float64(r.Cold.ContactPressure)/1e6, 12.3, 0.005)
	within(t, "outer hoop at 200", float64(r.Cold.HousingHoop)/1e6, 56.03, 0.005)
	within(t, "inner hoop at 150", float64(r.Cold.SleeveHoopBore)/1e6, -56.23, 0.005)
	within(t, "inner hoop at 200", float64(r.Cold.SleeveHoopInterface)/1e6, -43.93, 0.005)
	_, outer, err := CylinderStress(mm(200), mm(250), r.Cold.ContactPressure, 0, mm(250))
	if err != nil {
		t.Fatal(err)
	}
	within(t, "outer hoop at 250", float64(outer)/1e6, 43.73, 0.005)

	for _, row := range []struct{ radius, radial, hoop float64 }{{10, -300, 325}, {25, -37.5, 62.5}, {50, 0, 25}} {
		radial, hoop, err := CylinderStress(mm(10), mm(50), 300e6, 0, mm(row.radius))
		if err != nil {
			t.Fatal(err)
		}
		withinAbs(t, "Boresi radial", float64(radial)/1e6, row.radial, 0.3)
		withinAbs(t, "Boresi hoop", float64(hoop)/1e6, row.hoop, 0.3)
	}

	steel207 := own(t, "steel", 207, 0.3, 11.7)
	interference, err := InterferenceFor(PressInput{MatingDiameter: mm(75), SleeveBore: mm(50), HousingOuter: mm(100), Sleeve: steel207, Housing: steel207, Friction: 0.12, Bench: celsius(20)}, 3.615e6)
	if err != nil {
		t.Fatal(err)
	}
	withinAbs(t, "jacket bore before shrinking", 75-float64(interference)*1e3, 74.9919, 0.0002)

	allowed, err := AllowedInsidePressure(mm(150), mm(200), 250e6)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "allowed inside pressure", float64(allowed)/1e6, 70.0, 0.001)
}

// A published worked example of a press-fit page (p 51.2 MPa, hub hoop about
// 117 MPa, axial 38.6 kN, torque 965 N·m), and the closed form for equal
// materials and a solid shaft p = E δ/(2 d) (1 − d²/D²).
func TestSolidShaft(t *testing.T) {
	steel := own(t, "steel", 210, 0.3, 11.7)
	r, err := Press(PressInput{MatingDiameter: mm(50), Interference: mm(0.04), HousingOuter: mm(80), Length: mm(40), Sleeve: steel, Housing: steel, Friction: 0.12, Bench: celsius(20)})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "pressure", float64(r.Cold.ContactPressure)/1e6, 51.2, 0.005)
	within(t, "hoop", float64(r.Cold.HousingHoop)/1e6, 116.8, 0.005)
	within(t, "force", float64(r.PressForce)/1e3, 38.6, 0.005)
	within(t, "torque", float64(r.PressForce)*0.025, 965, 0.005)
	steel = own(t, "steel", 207, 0.3, 11.7)
	r, err = Press(PressInput{MatingDiameter: mm(30), Interference: mm(0.03), HousingOuter: mm(60), Sleeve: steel, Housing: steel, Friction: 0.12, Bench: celsius(20)})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "closed form", float64(r.Cold.ContactPressure)/1e6, 77.625, 0.0001)
	if r.LooseTemperatureRise != nil {
		t.Error("equal expansions never come loose by heat")
	}
}

// Loss of interference with temperature: computed with numpy 1.24.2 from
// linear expansion and the Lamé equations.
func TestHotFits(t *testing.T) {
	carbon, iron := own(t, "carbon", 17, 0.2, 4.0), own(t, "iron", 100, 0.26, 11.4)
	in := PressInput{MatingDiameter: mm(38), Interference: mm(0.040), SleeveBore: mm(25), HousingOuter: mm(70), Sleeve: carbon, Housing: iron, Friction: 0.15, Bench: celsius(20), Service: celsius(150)}
	r, err := Press(in)
	if err != nil {
		t.Fatal(err)
	}
	withinAbs(t, "loss", float64(in.Interference-r.Hot.Interference)*1e3, 0.03656, 0.0001)
	withinAbs(t, "loose at", float64(in.Bench)+float64(*r.LooseTemperatureRise)-273.15, 162.2, 0.1)
	withinAbs(t, "bore after pressing", float64(r.BoreAfterPress)*1e3, 24.9654, 0.0002)
	withinAbs(t, "bore hot", float64(r.BoreHot)*1e3, 25.0100, 0.0002)

	bronze := own(t, "bronze", 100, 0.34, 18)
	r, err = Press(PressInput{MatingDiameter: mm(40), Interference: mm(0.030), SleeveBore: mm(30), HousingOuter: mm(80), Sleeve: bronze, Housing: iron, Friction: 0.12, Bench: celsius(20), Service: celsius(120)})
	if err != nil {
		t.Fatal(err)
	}
	withinAbs(t, "bronze tightens", float64(r.Hot.Interference)*1e3-0.030, 0.0264, 0.0001)
	if *r.LooseTemperatureRise >= 0 {
		t.Error("bronze in iron comes loose in the cold: the rise must be negative")
	}

	sic, stainless := own(t, "silicon carbide", 410, 0.16, 4.1), own(t, "316", 193, 0.3, 16)
	r, err = Press(PressInput{MatingDiameter: mm(50), Interference: mm(0.1), SleeveBore: mm(40), HousingOuter: mm(70), Sleeve: sic, Housing: stainless, Friction: 0.12, Bench: celsius(20), Service: celsius(140)})
	if err != nil {
		t.Fatal(err)
	}
	withinAbs(t, "silicon carbide in 316 loses", 0.1-float64(r.Hot.Interference)*1e3, 0.0714, 0.0001)
}

// Independent prototype of the same equations (numpy 1.24.2): carbon bush
// 30/42 in iron 58 and bronze bush 30/40 in an iron idler 87.
func TestBushPrototype(t *testing.T) {
	carbon, bronze, iron := own(t, "carbon", 14, 0.20, 4.5), own(t, "bronze", 105, 0.34, 18), own(t, "iron", 105, 0.26, 11)
	r, err := Press(PressInput{MatingDiameter: mm(42), Interference: mm(0.060), SleeveBore: mm(30), HousingOuter: mm(58), Sleeve: carbon, Housing: iron, Friction: 0.12, Bench: celsius(20), Service: celsius(150)})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "carbon closure", float64(r.Cold.BoreClosure)*1e3, 0.0523117, 0.001)
	within(t, "carbon closure at +130 K", float64(r.Hot.BoreClosure)*1e3, 0.0213693, 0.001)
	r, err = Press(PressInput{MatingDiameter: mm(40), Interference: mm(0.045), SleeveBore: mm(30), HousingOuter: mm(87), Sleeve: bronze, Housing: iron, Friction: 0.12, Bench: celsius(20), Service: celsius(150)})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "bronze pressure", float64(r.Cold.ContactPressure)/1e6, 23.4956, 0.001)
	within(t, "bronze interference at +130 K", float64(r.Hot.Interference)*1e3, 0.0814, 0.001)
	withinAbs(t, "bronze bore stress cold", -float64(r.Cold.SleeveHoopBore)/1e6, 107, 0.5)
	withinAbs(t, "bronze bore stress hot", -float64(r.Hot.SleeveHoopBore)/1e6, 194, 0.5)
}

// The shrink temperatures: computed with python 3 from linear expansion; the
// aluminium hub is a published example (rise about 234 °F, set about 304 °F).
func TestShrinkCases(t *testing.T) {
	for _, row := range []struct {
		name                             string
		diameter, interference, clear    float64 // mm
		alpha                            float64 // 1e-6/K
		ambient                          float64 // °C
		cool                             bool
		want, tolerance, rise, riseWidth float64 // °C, K
	}{
		{"steel hub", 50, 0.059, 0.025, 11.7, 20, false, 163.6, 0.1, 143.6, 0.1},
		{"aluminium hub", 25.4, 0.0254, 0.0508, 12.8 * 1.8, (70. - 32) / 1.8, false, (304.4 - 32) / 1.8, 0.28, 234.4 / 1.8, 0.28},
		{"bronze bushing", 63, 0.045, 0.020, 18, 20, true, -37.3, 0.1, -57.3, 0.1},
	} {
		r, err := Shrink(ShrinkInput{MatingDiameter: mm(row.diameter), Interference: mm(row.interference), Clearance: mm(row.clear), Material: own(t, row.name, 200, 0.3, row.alpha), Ambient: celsius(row.ambient), Cool: row.cool})
		if err != nil {
			t.Fatal(err)
		}
		withinAbs(t, row.name, float64(r.Temperature)-273.15, row.want, row.tolerance)
		withinAbs(t, row.name+" rise", float64(r.TemperatureRise), row.rise, row.riseWidth)
		if len(r.Cautions) == 0 {
			t.Error("no caution")
		}
		if err := r.Working().Check(); err != nil {
			t.Error(err)
		}
	}
	if _, err := Shrink(ShrinkInput{MatingDiameter: mm(10), Interference: mm(0.2), Material: own(t, "m", 200, 0.3, 4), Ambient: celsius(20), Cool: true}); say.AsProblem(err) == nil {
		t.Error("a temperature below absolute zero was given")
	}
}

// Ram force table after Machinery's Handbook: A 18.850 in², factor 240 at
// 2 in; 6.786 short tons.
func TestHandbookRamForce(t *testing.T) {
	force, err := HandbookRamForce(mm(50.8), mm(76.2), mm(0.003*25.4))
	if err != nil {
		t.Fatal(err)
	}
	tons, err := quantity.In(force, "tonf")
	if err != nil {
		t.Fatal(err)
	}
	within(t, "ram force", tons, 6.786, 0.001)
	if _, err := HandbookRamForce(mm(55), mm(76.2), mm(0.1)); say.AsProblem(err) == nil || !strings.Contains(err.Error(), "2.5 in") {
		t.Errorf("a diameter between the table's was taken: %v", err)
	}
}

func TestStops(t *testing.T) {
	carbon, err := material.Find("carbon graphite")
	if err != nil {
		t.Fatal(err)
	}
	iron, err := material.Find("grey iron")
	if err != nil {
		t.Fatal(err)
	}
	in := PressInput{MatingDiameter: mm(38), Interference: mm(0.040), SleeveBore: mm(25), HousingOuter: mm(70), Length: mm(40), Sleeve: carbon, Housing: iron, Friction: 0.12, Bench: celsius(20)}
	r, err := Press(in)
	if err != nil || !r.Accepted || !r.Judged {
		t.Fatalf("an ordinary press is refused: %v %v", r.Warnings, err)
	}
	text := strings.Join(say.Texts(r.Cautions, say.Style{}), " ")
	for _, word := range []string{"shield", "stepped arbor", "one continuous stroke", "splinter"} {
		if !strings.Contains(text, word) {
			t.Errorf("the caution lacks %q", word)
		}
	}
	in.Interference = mm(0.4)
	r, err = Press(in)
	if err != nil || r.Accepted || !strings.Contains(strings.Join(say.Texts(r.Warnings, say.Style{}), " "), "STOP") {
		t.Errorf("carbon beyond its strength is not stopped: %v %v", r.Warnings, err)
	}
}

func TestPressRefusals(t *testing.T) {
	steel := own(t, "steel", 207, 0.3, 11.7)
	good := PressInput{MatingDiameter: mm(40), Interference: mm(0.03), SleeveBore: mm(30), HousingOuter: mm(80), Length: mm(40), Sleeve: steel, Housing: steel, Friction: 0.12, Bench: celsius(20)}
	for field, change := range map[string]func(*PressInput){
		"mating_diameter":                func(p *PressInput) { p.MatingDiameter = 0 },
		"interference":                   func(p *PressInput) { p.Interference = -mm(0.01) },
		"sleeve_bore":                    func(p *PressInput) { p.SleeveBore = mm(40) },
		"housing_outer":                  func(p *PressInput) { p.HousingOuter = mm(39) },
		"length":                         func(p *PressInput) { p.Length = quantity.Length(math.NaN()) },
		"friction":                       func(p *PressInput) { p.Friction = 0 },
		"service_temperature":            func(p *PressInput) { p.Service = -5 },
		"sleeve_material.youngs_modulus": func(p *PressInput) { p.Sleeve = material.Material{Name: "nothing"} },
	} {
		in := good
		change(&in)
		_, err := Press(in)
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// Laws: pressure is proportional to interference and falls with a thinner
// housing; the stresses balance; the inverse gives back the interference.
func TestPressLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(5, 300).Draw(t, "d")
		bore := d * rapid.Float64Range(0, 0.95).Draw(t, "bore")
		outer := d * rapid.Float64Range(1.05, 4).Draw(t, "outer")
		delta := d * rapid.Float64Range(1e-4, 0.004).Draw(t, "delta")
		e1, e2 := quantity.Stress(rapid.Float64Range(5e9, 4e11).Draw(t, "e1")), quantity.Stress(rapid.Float64Range(5e9, 4e11).Draw(t, "e2"))
		nu := rapid.Float64Range(0, 0.45).Draw(t, "nu")
		sleeve, _ := material.Own(material.Given{YoungsModulus: &e1, Poisson: &nu})
		housing, _ := material.Own(material.Given{YoungsModulus: &e2, Poisson: &nu})
		in := PressInput{MatingDiameter: mm(d), Interference: mm(delta), SleeveBore: mm(bore), HousingOuter: mm(outer), Sleeve: sleeve, Housing: housing, Friction: 0.1, Bench: celsius(20)}
		r, err := Press(in)
		if err != nil {
			t.Fatal(err)
		}
		back, err := InterferenceFor(in, r.Cold.ContactPressure)
		if err != nil || math.Abs(float64(back)/float64(in.Interference)-1) > 1e-9 {
			t.Fatalf("inverse: %v %v", back, err)
		}
		// growth of the housing and closing of the sleeve's outside add to δ
		closing := float64(r.Cold.ContactPressure) * d * 1e-3 * ring{far: bore * 1e-3, modulus: float64(e1), poisson: nu}.sleeve(d*1e-3)
		if math.Abs((float64(r.Cold.HousingGrowth)+closing)/float64(in.Interference)-1) > 1e-9 {
			t.Fatal("the two movements do not add to the interference")
		}
		thin := in
		thin.HousingOuter = mm(d + (outer-d)*0.8)
		weaker, err := Press(thin)
		if err != nil || weaker.Cold.ContactPressure >= r.Cold.ContactPressure {
			t.Fatalf("a thinner housing grips harder: %v", err)
		}
	})
}

func TestChoose(t *testing.T) {
	bore := quantity.Within(mm(38.000), 0.002e-3)
	parts := []Measured{
		{"a", quantity.Within(mm(38.010), 0.002e-3)},
		{"b", quantity.Within(mm(38.040), 0.002e-3)},
		{"c", quantity.Within(mm(38.052), 0.002e-3)},
	}
	got, err := Choose(bore, parts, mm(0.030), mm(0.050))
	if err != nil {
		t.Fatal(err)
	}
	if got[0].Name != "b" || got[1].Name != "c" || got[2].Name != "a" {
		t.Errorf("order %v", got)
	}
	// ±0.010 mm at u = 0.002·√2 mm : P = erf(2.5) = 0.999593 (Abramowitz and Stegun, table 7.1)
	withinAbs(t, "chance", got[0].Probability, 0.999593, 1e-6)
	if _, err := Choose(bore, nil, 0, 1); say.AsProblem(err) == nil {
		t.Error("no parts were taken")
	}
	if _, err := Choose(bore, parts, 1, 0); say.AsProblem(err) == nil {
		t.Error("a window upside down was taken")
	}
}

func BenchmarkPress(b *testing.B) {
	sleeve, _ := material.Find("carbon graphite")
	housing, _ := material.Find("grey iron")
	in := PressInput{MatingDiameter: mm(38), Interference: mm(0.040), SleeveBore: mm(25), HousingOuter: mm(70), Length: mm(40), Sleeve: sleeve, Housing: housing, Friction: 0.12, Bench: celsius(20), Service: celsius(150)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Press(in); err != nil {
			b.Fatal(err)
		}
	}
}

// By hand: the carbon bush of the first case closes by 0.03459 mm, from 25.000
// to 24.9654.
func TestFinish(t *testing.T) {
	in := PressInput{MatingDiameter: mm(38), Interference: mm(0.040), SleeveBore: mm(25), HousingOuter: mm(70), Sleeve: own(t, "carbon", 17, 0.2, 4), Housing: own(t, "iron", 100, 0.26, 11.4), Friction: 0.15, Bench: celsius(20)}
	r, err := Press(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		low, high float64
		want      FinishDecision
		before    float64
	}{
		{25.00, 25.02, FinishRemove, 25.0446},
		{24.96, 24.97, FinishAsPressed, 24.9996},
		{24.90, 24.95, FinishTooLarge, 24.9596},
	} {
		decision, before, err := r.Finish(mm(row.low), mm(row.high))
		if err != nil || decision != row.want {
			t.Errorf("%v: %s, %v", row, decision, err)
		}
		withinAbs(t, "bore before pressing", float64(before)*1e3, row.before, 0.0002)
	}
	if _, _, err := r.Finish(mm(25), mm(24)); say.AsProblem(err) == nil {
		t.Error("limits upside down were taken")
	}
}
