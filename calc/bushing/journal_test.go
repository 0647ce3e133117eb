package bushing

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

const (
	testInch = 0.0254
	lbf      = 4.4482216152605
	testPsi  = lbf / (testInch * testInch)
	rpm      = 2 * math.Pi / 60
	testReyn = 6894.757293168361
)

func assess(t *testing.T, j Journal) Running {
	t.Helper()
	run, err := Assess(j)
	if err != nil {
		t.Fatal(err)
	}
	return run
}

// Projected pressure and PV.
func TestProjectedPressure(t *testing.T) {
	thin := func(d, l, w, n float64) Journal {
		return Journal{Diameter: quantity.Length(d), Length: quantity.Length(l), DiametralClearance: quantity.Length(0.002 * d),
			Load: quantity.Force(w), Speed: quantity.RotationalSpeed(n), Viscosity: 0.05}
	}
	// Wentzell, Machine Design, ex. 19.1 p. 417.
	run := assess(t, thin(0.75*testInch, 0.875*testInch, 20*lbf, 500*rpm))
	within(t, "P psi", run.ProjectedPressure.SI()/testPsi, 30.48, 0.002)
	within(t, "V ft/min", run.SurfaceSpeed.SI()/0.3048*60, 98.17, 0.002)
	within(t, "PV psi ft/min", run.PV.SI()/psiFootPerMinute, 2992, 0.002)
	// Same example: the length for PV 3000 is 0.873 in.
	within(t, "length for PV 3000", 0.875*run.PV.SI()/psiFootPerMinute/3000, 0.873, 0.005)
	// Computed with python3 from the same formulas.
	run = assess(t, thin(0.030, 0.036, 900, 420*rpm))
	within(t, "P", run.ProjectedPressure.SI(), 0.8333e6, 0.001)
	within(t, "V", run.SurfaceSpeed.SI(), 0.6597, 0.001)
	within(t, "PV", run.PV.SI(), 0.5498e6, 0.001)
	// 1 MPa m/s = 28 551 psi ft/min (definitions of the units).
	within(t, "conversion", 1e6/psiFootPerMinute, 28551, 0.0001)
}

func TestPublishedLimits(t *testing.T) {
	rows := []struct {
		name   string
		pv     float64 // MPa m/s
		psi    float64 // psi ft/min as printed
		source string
	}{
		{"manganese bronze", 5.250, 150000, "Mott Table 16-1"},
		{"leaded tin bronze", 2.625, 75000, "Mott Table 16-1"},
		{"bronze", 2.625, 75000, "Mott Table 16-1"},
		{"porous bronze", 1.750, 50000, "Mott Table 16-1"},
		{"metallized graphite", 0.525, 15000, "Mott Table 16-1"},
		{"carbon graphite", 0.11, 3000, "The Tribology Handbook, rubbing bearings"},
		{"metal-impregnated graphite", 0.28, 8000, "The Tribology Handbook, rubbing bearings"},
		{"grey iron", 1.75, 50000, "bearing tables, from memory"},
	}
	for _, row := range rows {
		m, err := MaterialByName(row.name)
		if err != nil {
			t.Fatal(err)
		}
		within(t, row.name, m.PV.SI()/1e6, row.pv, 0.001)
		within(t, row.name+" psi", m.PV.SI()/psiFootPerMinute, row.psi, 0.05)
	}
	carbon, _ := MaterialByName("carbon")
	within(t, "carbon short life", carbon.ShortPV.SI(), 0.18e6, 1e-9)
	within(t, "carbon pressure", carbon.Pressure.SI(), 1.4e6, 1e-9)
	impregnated, _ := MaterialByName("metal-impregnated graphite")
	within(t, "impregnated short life", impregnated.ShortPV.SI(), 0.35e6, 1e-9)
	within(t, "impregnated pressure", impregnated.Pressure.SI(), 70e6, 1e-9)
	if _, err := MaterialByName("cheese"); err == nil {
		t.Error("cheese was taken")
	}
}

// Worked bearings. The Jindal values come from linear interpolation in the
// printed table, hence 4 %.
func TestWorkedBearings(t *testing.T) {
	// Jindal, Machine Design, ex. 17-4 p. 483.
	run := assess(t, Journal{Diameter: 0.060, Length: 0.060, DiametralClearance: 0.12e-3, Load: 3000, Speed: 1440 * rpm, Viscosity: 0.030})
	within(t, "17-4 S", run.Sommerfeld, 0.216, 0.04)
	within(t, "17-4 f", run.Friction, 0.00985, 0.04)
	within(t, "17-4 h0", run.MinFilm.SI(), 0.032e-3, 0.04)
	within(t, "17-4 Q", run.Flow.SI()*60e3, 0.638, 0.04)
	within(t, "17-4 loss", run.PowerLoss.SI(), 134, 0.04)
	// The same computed by an independent finite difference solution (numpy 1.24.2).
	within(t, "17-4 h0 fd", run.MinFilm.SI(), 0.0330e-3, 0.01)
	within(t, "17-4 f fd", run.Friction, 0.00993, 0.01)
	within(t, "17-4 Q fd", run.Flow.SI()*60e3, 0.634, 0.01)

	// Jindal ex. 17-2 p. 482: viscosity for h0 8 µm at c 40 µm.
	film, err := FilmAt(1-8.0/40, 1)
	if err != nil {
		t.Fatal(err)
	}
	pressure := 6000 / (0.06 * 0.06)
	ratio := 30.0 / 0.040
	within(t, "17-2 viscosity", film.Sommerfeld*pressure/(ratio*ratio)/(1260.0/60)*1e3, 6.29, 0.01)

	// Shigley ex. 12-1 to 12-4, from memory, and the finite difference solution.
	run = assess(t, Journal{Diameter: 1.5 * testInch, Length: 1.5 * testInch, DiametralClearance: 0.003 * testInch,
		Load: 500 * lbf, Speed: 30 * 2 * math.Pi, Viscosity: quantity.DynamicViscosity(4e-6 * testReyn)})
	within(t, "12 P", run.ProjectedPressure.SI()/testPsi, 222.2, 0.02)
	within(t, "12 S", run.Sommerfeld, 0.135, 0.02)
	within(t, "12 h0/c", 1-run.Film.Eccentricity, 0.42, 0.02)
	within(t, "12 h0/c fd", 1-run.Film.Eccentricity, 0.427, 0.005)
	within(t, "12 h0", run.MinFilm.SI()/testInch, 0.00063, 0.02)
	within(t, "12 (r/c)f", run.Film.FrictionVariable, 3.50, 0.02)
	within(t, "12 (r/c)f fd", run.Film.FrictionVariable, 3.477, 0.005)
	within(t, "12 f", run.Friction, 0.0070, 0.02)
	within(t, "12 torque", run.Torque.SI()/(lbf*testInch), 2.62, 0.02)
	within(t, "12 Q var", run.Film.FlowVariable, 4.28, 0.02)
	within(t, "12 Q", run.Flow.SI()/(testInch*testInch*testInch), 0.217, 0.02)
	within(t, "12 Qs/Q", run.Film.SideFlowRatio, 0.655, 0.02)
	within(t, "12 pmax", run.MaxPressure.SI()/testPsi, 529, 0.02)

	// Independent finite difference solution (numpy 1.24.2).
	run = assess(t, Journal{Diameter: 0.030, Length: 0.030, DiametralClearance: 80e-6, Load: 700, Speed: 420 * rpm, Viscosity: 0.050})
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"P", run.ProjectedPressure.SI(), 0.7778e6}, {"S", run.Sommerfeld, 0.0633}, {"eps", run.Film.Eccentricity, 0.741}, {"h0", run.MinFilm.SI(), 10.4e-6},
		{"f", run.Friction, 0.00560}, {"torque", run.Torque.SI(), 0.0588}, {"W", run.PowerLoss.SI(), 2.59}, {"Q", run.Flow.SI(), 5.72e-7}, {"Qs/Q", run.Film.SideFlowRatio, 0.797}} {
		within(t, "30x30 "+c.what, c.got, c.want, 0.01)
	}
	// Heat balance by hand: 2.59 W into 5.72e-7 m³/s of 1.7e6 J/(m³·K), less half
	// of the side flow ratio 0.797.
	warming, err := run.WarmingAcrossFilm(1.7e6)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "30x30 warming", warming.SI(), 2.59/(1.7e6*5.72e-7*(1-0.797/2)), 0.01)
	run = assess(t, Journal{Diameter: 0.050, Length: 0.025, DiametralClearance: 150e-6, Load: 2500, Speed: 280 * rpm, Viscosity: 0.300})
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"P", run.ProjectedPressure.SI(), 2.000e6}, {"S", run.Sommerfeld, 0.0778}, {"eps", run.Film.Eccentricity, 0.819}, {"h0", run.MinFilm.SI(), 13.6e-6},
		{"f", run.Friction, 0.00867}, {"torque", run.Torque.SI(), 0.542}, {"W", run.PowerLoss.SI(), 15.9}, {"Qs/Q", run.Film.SideFlowRatio, 0.887}} {
		within(t, "50x25 "+c.what, c.got, c.want, 0.01)
	}
}

// An invented idler pin; eccentricity computed by an independent finite
// difference solution (numpy 1.24.2, scipy 1.10.1).
func TestIdlerPin(t *testing.T) {
	load, err := IdlerPinLoad(10e5, 0.1168, 0.060)
	if err != nil {
		t.Fatal(err)
	}
	run := assess(t, Journal{Diameter: 0.030, Length: 0.058, DiametralClearance: 0.080e-3, Load: load, Speed: 500 * 17.0 / 13 * rpm, Viscosity: 0.039307})
	within(t, "P", run.ProjectedPressure.SI(), 3.22207e6, 0.001)
	within(t, "eccentricity", run.Film.Eccentricity, 0.873757, 0.01)
	if node := run.Working(); node.Check() != nil {
		t.Error(node.Check())
	}
}

// Petroff: computed with python3 from the equation; wall shear stress as in
// Bansal, A Textbook of Fluid Mechanics, problem 1.6.
func TestPetroff(t *testing.T) {
	torque, err := PetroffTorque(Journal{Diameter: 0.025, Length: 0.040, DiametralClearance: 50e-6, Load: 400, Speed: 1150 * rpm, Viscosity: 0.020})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "torque", torque.SI(), 0.04729, 0.001)
	within(t, "power", torque.SI()*1150*rpm, 5.695, 0.001)
	within(t, "f", torque.SI()/(400*0.0125), 0.009458, 0.001)
	torque, err = PetroffTorque(Journal{Diameter: 1.5 * testInch, Length: 1.5 * testInch, DiametralClearance: 0.003 * testInch, Speed: 30 * 2 * math.Pi, Viscosity: quantity.DynamicViscosity(4e-6 * testReyn)})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "torque lbf in", torque.SI()/(lbf*testInch), 1.999, 0.001)
	within(t, "f", torque.SI()/(500*lbf*0.75*testInch), 0.00533, 0.001)
	torque, err = PetroffTorque(Journal{Diameter: 0.1, Length: 0.1, DiametralClearance: 0.003, Speed: 150 * rpm, Viscosity: 0.1})
	if err != nil {
		t.Fatal(err)
	}
	area := math.Pi * 0.1 * 0.1
	within(t, "wall shear", torque.SI()/(area*0.05), 52.36, 0.001)
}

func TestAssessLaws(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		j := Journal{
			Diameter:           quantity.Length(rapid.Float64Range(0.01, 0.1).Draw(r, "d")),
			DiametralClearance: quantity.Length(rapid.Float64Range(20e-6, 300e-6).Draw(r, "c")),
			Load:               quantity.Force(rapid.Float64Range(10, 5000).Draw(r, "W")),
			Speed:              quantity.RotationalSpeed(rapid.Float64Range(2, 200).Draw(r, "n")),
			Viscosity:          quantity.DynamicViscosity(rapid.Float64Range(0.005, 5).Draw(r, "mu")),
		}
		j.Length = j.Diameter * quantity.Length(rapid.Float64Range(0.2, 3).Draw(r, "l/d"))
		run, err := Assess(j)
		if err != nil {
			r.Fatal(err)
		}
		thicker := j
		thicker.Viscosity *= 1.5
		more, err := Assess(thicker)
		if err != nil {
			r.Fatal(err)
		}
		if run.Carries && !(more.Carries && more.MinFilm > run.MinFilm) {
			r.Fatal("a thicker liquid must carry on a thicker film")
		}
		if run.Carries {
			petroff, err := PetroffTorque(j)
			if err != nil || run.Torque < petroff*0.9999 {
				r.Fatalf("torque %v below the unloaded %v", run.Torque, petroff)
			}
			if run.SideFlow > run.Flow || run.MaxPressure < run.ProjectedPressure {
				r.Fatal("side flow and highest pressure")
			}
		}
	})
}

func TestReam(t *testing.T) {
	j := Journal{Diameter: 0.030, Length: 0.058, Load: 5600, Speed: 654 * rpm, Viscosity: 0.0393}
	out, err := Ream(j, 0.020e-3)
	if err != nil {
		t.Fatal(err)
	}
	if out.BenchClearance != out.RunningClearance+0.020e-3 || out.Bore != j.Diameter+out.BenchClearance {
		t.Errorf("%+v", out)
	}
	// No neighbouring clearance has a thicker film.
	thickness := func(c quantity.Length) quantity.Length {
		k := j
		k.DiametralClearance = c
		return assess(t, k).MinFilm
	}
	best := thickness(out.ThickestFilm)
	for _, f := range []quantity.Length{0.5, 0.8, 0.95, 1.05, 1.25, 2} {
		if thickness(out.ThickestFilm*f) > best {
			t.Errorf("a clearance %g times as wide has a thicker film", f.SI())
		}
	}
	if _, err := Ream(j, quantity.Length(math.NaN())); err == nil {
		t.Error("NaN was taken")
	}
}

func TestAssessRefuses(t *testing.T) {
	good := Journal{Diameter: 0.03, Length: 0.03, DiametralClearance: 80e-6, Load: 700, Speed: 44, Viscosity: 0.05}
	bad := map[string]func(*Journal){
		"diameter":            func(j *Journal) { j.Diameter = 0 },
		"length":              func(j *Journal) { j.Length = 0.001 },
		"diametral_clearance": func(j *Journal) { j.DiametralClearance = 0.01 },
		"load":                func(j *Journal) { j.Load = quantity.Force(math.NaN()) },
		"speed":               func(j *Journal) { j.Speed = -1 },
		"viscosity":           func(j *Journal) { j.Viscosity = quantity.DynamicViscosity(math.Inf(1)) },
		"density":             func(j *Journal) { j.Density = -1 },
	}
	for field, spoil := range bad {
		j := good
		spoil(&j)
		_, err := Assess(j)
		if p := sayProblem(err); p != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	heavy := good
	heavy.Load = 1e8
	if run := assess(t, heavy); run.Carries || run.Regime != Boundary || len(run.Warnings) == 0 {
		t.Error("a crushing load must be said to have no film")
	}
	if _, err := assess(t, good).WarmingAcrossFilm(0); err == nil {
		t.Error("no heat capacity was taken")
	}
}

func BenchmarkAssess(b *testing.B) {
	j := Journal{Diameter: 0.03, Length: 0.03, DiametralClearance: 80e-6, Load: 700, Speed: 44, Viscosity: 0.05}
	for b.Loop() {
		if _, err := Assess(j); err != nil {
			b.Fatal(err)
		}
	}
}

func sayProblem(err error) string {
	if p := say.AsProblem(err); p != nil {
		return p.Field
	}
	return ""
}
