package bolt

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func within(t testing.TB, name string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s = %.6g, want %g within %g %%", name, got, want, relative*100)
	}
}

func thread(t testing.TB, text string) Thread {
	t.Helper()
	th, err := ParseThread(text)
	if err != nil {
		t.Fatal(err)
	}
	return th
}

func in(t testing.TB, q quantity.Quantity, unit string) float64 {
	t.Helper()
	v, err := quantity.In(q, unit)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func tighten(t testing.TB, text, grade string, fraction, factor float64) Result {
	t.Helper()
	g, err := FindGrade(grade)
	if err != nil {
		t.Fatal(err)
	}
	passes, _ := Passes(3)
	r, err := Tighten(Input{Thread: thread(t, text), Grade: g, PreloadFraction: fraction, NutFactor: factor, Surface: Dry, Passes: passes, Count: 8})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// ISO 898-1: stress areas and proof loads of coarse threads, class 8.8 and
// 10.9 (M18 and M22: loads from area × 600 and 830 MPa).
func TestMetricCoarse(t *testing.T) {
	for _, row := range []struct {
		thread              string
		area, load8, load10 float64
	}{
		{"M6", 20.1, 11600, 16700}, {"M8", 36.6, 21200, 30400}, {"M12", 84.3, 48900, 70000}, {"M16", 157, 91000, 130000},
		{"M18", 192, 115000, 159000}, {"M22", 303, 182000, 252000},
	} {
		r := tighten(t, row.thread, "8.8", 0.75, 0.2)
		within(t, row.thread+" area", in(t, r.StressArea, "mm2"), row.area, 0.005)
		within(t, row.thread+" 8.8", float64(r.ProofLoad), row.load8, 0.005)
		within(t, row.thread+" 10.9", float64(tighten(t, row.thread, "10.9", 0.75, 0.2).ProofLoad), row.load10, 0.005)
		if err := r.Working().Check(); err != nil {
			t.Error(err)
		}
	}
	// Jindal, Machine Design, ex. 9-1 p. 266
	for text, want := range map[string]float64{"M16x2": 156.7, "M16 x 1.5": 167.2} {
		if got := in(t, thread(t, text).StressArea(), "mm2"); math.Abs(got-want) > 0.1 {
			t.Errorf("%s area = %g, want %g", text, got, want)
		}
	}
}

func TestProofStrength(t *testing.T) {
	for _, row := range []struct {
		grade, thread string
		want          float64
		unit, source  string
	}{
		{"8.8", "M16", 580, "MPa", "ISO 898-1 (implied by 48 900 N / 84.3 mm²)"},
		{"8.8", "M18", 600, "MPa", "ISO 898-1:1999 strength table"},
		{"class 10.9", "M12", 830, "MPa", "ISO 898-1:1999 strength table"},
		{"SAE 5", "1/4-20", 85, "ksi", "Shigley and Mischke, Mechanical Engineering Design 5th ed. p. 341"},
		{"SAE 5", "1-8", 85, "ksi", "Shigley and Mischke, p. 341"},
		{"SAE grade 5", "1 1/8-7", 74, "ksi", "Shigley and Mischke, p. 341"},
		{"grade 8", "1/4-20", 120, "ksi", "Shigley and Mischke, p. 341"},
		{"8", "1/2-13", 120, "ksi", "Shigley and Mischke, p. 341"},
		{"SAE 8", "1-1/2-6", 120, "ksi", "Shigley and Mischke, p. 341"},
	} {
		g, err := FindGrade(row.grade)
		if err != nil {
			t.Error(err)
			continue
		}
		s, err := g.ProofStrength(thread(t, row.thread).Diameter)
		if err != nil {
			t.Error(err)
			continue
		}
		within(t, row.grade+" "+row.thread+" ("+row.source+")", in(t, s, row.unit), row.want, 1e-9)
	}
}

// Published torque-tension tables (SAE J429 and IFI data): clamp load at 75 %
// of proof and torque at K 0.20, grade 5 and grade 8.
func TestTorqueTables(t *testing.T) {
	for _, row := range []struct {
		thread                 string
		area, load5, load8     float64 // in², lbf
		torque5, torque8, slip float64 // ft·lbf
	}{
		{"1/4-20", 0.0318, 2027, 2862, 8.4, 11.9, 0.005},
		{"5/16-18", 0.0524, 3341, 4716, 17.4, 24.6, 0.005},
		{"7/16-14", 0.1063, 6777, 9567, 49.4, 69.8, 0.005},
		{"1/2-13 UNC", 0.1419, 9046, 12771, 75.4, 106, 0.005},
		{"5/8-11", 0.2260, 14408, 20340, 150, 212, 0.005},
		{"7/8-9", 0.4620, 29453, 41580, 430, 606, 0.005},
		{"1-8", 0.6060, 38616, 54540, 644, 909, 0.005},
	} {
		five, eight := tighten(t, row.thread, "SAE 5", 0.75, 0.2), tighten(t, row.thread, "SAE 8", 0.75, 0.2)
		within(t, row.thread+" area", in(t, five.StressArea, "in2"), row.area, row.slip)
		within(t, row.thread+" load 5", in(t, five.Preload, "lbf"), row.load5, row.slip)
		within(t, row.thread+" load 8", in(t, eight.Preload, "lbf"), row.load8, row.slip)
		if row.thread != "1/4-20" { // see TestKnownDisagreement
			within(t, row.thread+" torque 5", in(t, five.Torque, "ft-lb"), row.torque5, row.slip)
		}
		within(t, row.thread+" torque 8", in(t, eight.Torque, "ft-lb"), row.torque8, row.slip)
	}
	for factor, want := range map[float64]float64{0.15: 80, 0.18: 96, 0.20: 106} { // the same tables, 1/2-13 grade 8
		within(t, "1/2-13 grade 8", in(t, tighten(t, "1/2-13", "SAE 8", 0.75, factor).Torque, "ft-lb"), want, 0.01)
	}
}

// Known disagreement: the torque-tension tables print 8.4 ft·lbf for 1/4-20
// grade 5, 0.6 % from ours. Their own load of 2027 lbf gives 0.2 · 0.25 in ·
// 2027 lbf / 12 = 8.446; the print is rounded to a tenth.
func TestKnownDisagreement(t *testing.T) {
	got := in(t, tighten(t, "1/4-20", "SAE 5", 0.75, 0.2).Torque, "ft-lb")
	within(t, "1/4-20 grade 5 from the printed load", got, 0.2*0.25*2027/12, 0.005)
	within(t, "1/4-20 grade 5 as printed", got, 8.4, 0.0065)
}

func TestTextbookTorque(t *testing.T) {
	const lbf, in1, psi = 4.4482216152605, 0.0254, 6894.757293168361
	// Wentzell, Machine Design, ex. 6.1 p. 120 and ex. 6.2 p. 121: 3/4-10, area 0.334 in²
	preload := quantity.Force(0.85 * 85000 * 0.334 * lbf)
	within(t, "Wentzell 6.1", in(t, TorqueFor(preload, 0.75*in1, 0.20), "in-lb"), 3619.7, 0.001)
	turn, err := TurnOfNut(preload, 5*in1, 0.334*in1*in1, quantity.Stress(30e6*psi), 0.1*in1)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "Wentzell 6.2", float64(turn)*180/math.Pi, 43.35, 0.005)
	// Jindal, Machine Design, ex. 9-5 p. 268: M14, 115 mm², 650 MPa
	force := quantity.Force(115 * 650 * 0.75)
	within(t, "Jindal 9-5 preload", float64(force), 56063, 0.001)
	within(t, "Jindal 9-5 torque", float64(TorqueFor(force, 0.014, 0.2)), 156.97, 0.001)
	// Jindal, Machine Design, ex. 9-3 p. 267: M18 x 2.5, collar at 0.625 d
	k, err := NutFactorFromFriction(thread(t, "M18x2.5"), Friction{Thread: 0.15, Collar: 0.13})
	if err != nil {
		t.Fatal(err)
	}
	within(t, "Jindal 9-3", k, 0.1834, 0.005)
	// computed from ISO 898-1: M10 class 8.8, proof load 33 700 N
	r := tighten(t, "M10", "8.8", 0.75, 0.20)
	within(t, "M10 preload", float64(r.Preload), 25275, 0.005)
	within(t, "M10 torque", float64(r.Torque), 50.6, 0.005)
}

// Published nut factors quoting Shigley, Machinery's Handbook and Marks.
func TestNutFactors(t *testing.T) {
	for surface, want := range map[Surface][2]float64{Dry: {0.20, 0.25}, Oiled: {0.15, 0.20}, AntiSeize: {0.12, 0.16}} {
		value, low, high, err := NutFactor(surface)
		if err != nil || low != want[0] || high != want[1] || value < low || value > high {
			t.Errorf("%s: %g, %g … %g, %v; want %v", surface, value, low, high, err, want)
		}
	}
}

// The order of tightening. Eight bolts: common practice, no source; every
// count: each next bolt at least a quarter of the circle away, where a count
// of bolts has such a place at all.
func TestSequence(t *testing.T) {
	for count, want := range map[int][]int{2: {1, 2}, 4: {1, 3, 2, 4}, 8: {1, 5, 3, 7, 2, 6, 4, 8}} {
		if got, err := Sequence(count); err != nil || !slices.Equal(got, want) {
			t.Errorf("%d bolts: %v, %v; want %v", count, got, err, want)
		}
	}
	for count := 2; count <= mostBolts; count++ {
		order, err := Sequence(count)
		if err != nil || len(order) != count {
			t.Fatalf("%d bolts: %v", count, err)
		}
		seen := map[int]bool{}
		for i, bolt := range order {
			if bolt < 1 || bolt > count || seen[bolt] {
				t.Fatalf("%d bolts: %v", count, order)
			}
			seen[bolt] = true
			if i > 0 && 4*apart(order[i-1], bolt, count) < count {
				t.Fatalf("%d bolts: from %d to %d is less than a quarter circle", count, order[i-1], bolt)
			}
		}
	}
	for _, bad := range []int{-1, 0, 1, mostBolts + 1} {
		if _, err := Sequence(bad); say.AsProblem(err) == nil {
			t.Errorf("%d bolts were taken", bad)
		}
	}
}

// The rounds of ASME PCC-1 for the cross pattern, from memory: 20 to 30 %, 50
// to 70 %, 100 %, then once more round.
func TestPasses(t *testing.T) {
	got, err := Passes(3)
	if err != nil || !slices.Equal(got, []float64{0.30, 0.60, 1.00}) {
		t.Errorf("%v %v", got, err)
	}
	if got[0] < 0.20 || got[0] > 0.30 || got[1] < 0.50 || got[1] > 0.70 || got[2] != 1 {
		t.Errorf("outside the rounds: %v", got)
	}
	for n := 1; n <= mostPasses; n++ {
		p, err := Passes(n)
		if err != nil || len(p) != n || checkPasses(p) != nil {
			t.Errorf("%d passes: %v %v", n, p, err)
		}
	}
	for _, bad := range [][]float64{{}, {0.5}, {0.6, 0.3, 1}, {0.5, 1.2}, {math.NaN(), 1}, {0, 1}} {
		if checkPasses(bad) == nil {
			t.Errorf("passes %v were taken", bad)
		}
	}
}

func TestThreads(t *testing.T) {
	for text, want := range map[string][2]float64{ // mm
		"M12": {12, 1.75}, "m12": {12, 1.75}, "M 16 x 1.5": {16, 1.5}, "M16×1,5": {16, 1.5}, "1/2-13 UNC": {12.7, 25.4 / 13}, "1/2 UNC": {12.7, 25.4 / 13},
		"1/2 UNF": {12.7, 25.4 / 20}, "1/2-20": {12.7, 25.4 / 20}, "#10-24": {4.826, 25.4 / 24}, "#10 UNF": {4.826, 25.4 / 32}, "1 1/4-7": {31.75, 25.4 / 7},
		"1-1/4-7 UNC": {31.75, 25.4 / 7}, "1-8": {25.4, 25.4 / 8}, "3/8": {9.525, 25.4 / 16}, "0.5-13": {12.7, 25.4 / 13}, "1/2-13 UNC-2A": {12.7, 25.4 / 13},
		"3/4 in-10": {19.05, 2.54},
	} {
		th, err := ParseThread(text)
		if err != nil || math.Abs(float64(th.Diameter)*1e3-want[0]) > 1e-9 || math.Abs(float64(th.Pitch)*1e3-want[1]) > 1e-9 {
			t.Errorf("%q = %v %v, %v; want %v", text, th.Diameter, th.Pitch, err, want)
		}
	}
	for _, text := range []string{"", "M", "M13", "M12x9", "M12x0", "bolt", "1/2-0", "#99-24", "1/0-13", "1/2-13 BSW", "M1e9", "-1/2-13", "9/32"} {
		if _, err := ParseThread(text); say.AsProblem(err) == nil {
			t.Errorf("%q was taken", text)
		}
	}
}

func FuzzParseThread(f *testing.F) {
	for _, s := range []string{"M12", "M16x1.5", "1/2-13 UNC", "#10-24", "1 1/4-7"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		th, err := ParseThread(text)
		if err != nil {
			if say.AsProblem(err) == nil {
				t.Errorf("%q: %v", text, err)
			}
			return
		}
		if area := float64(th.StressArea()); !(area > 0) || math.IsInf(area, 0) {
			t.Errorf("%q: area %g", text, area)
		}
	})
}

func TestRefusals(t *testing.T) {
	g, _ := FindGrade("8.8")
	good := Input{Thread: thread(t, "M12"), Grade: g, PreloadFraction: 0.75, Surface: Dry, Passes: []float64{1}, Count: 8}
	for field, change := range map[string]func(*Input){
		"preload_fraction": func(i *Input) { i.PreloadFraction = 1.2 },
		"nut_factor":       func(i *Input) { i.NutFactor = 3 },
		"surface":          func(i *Input) { i.Surface = "wet" },
		"count":            func(i *Input) { i.Count = 1 },
		"passes[0]":        func(i *Input) { i.Passes = []float64{2} },
		"grade":            func(i *Input) { i.Thread = thread(t, "M48") },
		"thread_friction":  func(i *Input) { i.Friction = &Friction{Thread: math.NaN(), Collar: 0.1} },
		"gasket_area":      func(i *Input) { i.Gasket = &Gasket{} },
	} {
		input := good
		change(&input)
		_, err := Tighten(input)
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	if _, err := FindGrade("11.3"); say.AsProblem(err) == nil {
		t.Error("an unknown grade was taken")
	}
}

func TestGasketAndNotes(t *testing.T) {
	g, _ := FindGrade("8.8")
	input := Input{Thread: thread(t, "M12"), Grade: g, PreloadFraction: 0.75, NutFactor: 0.2, Surface: Oiled, Passes: []float64{1}, Count: 8, SoftGasket: true, Temperature: 273.15 + 150,
		Gasket: &Gasket{Area: 5000e-6, PressureArea: 20000e-6, Pressure: 10e5, Needs: 20e6, Bears: 100e6}}
	r, err := Tighten(input)
	if err != nil || !r.GasketAccepted {
		t.Fatalf("%v %v", r.Warnings, err)
	}
	// 8 · 0.75 · 48 900 N / 5000 mm² = 58.7 MPa; less 20 kN of pressure: 54.7 MPa (balance of forces, by hand)
	within(t, "gasket", float64(r.GasketStress)/1e6, 58.7, 0.005)
	within(t, "in service", float64(r.GasketStressInService)/1e6, 54.7, 0.005)
	text := strings.Join(say.Texts(append(r.Warnings, r.Cautions...), say.Style{}), " ")
	for _, word := range []string{"24 h", "creeps", "under pressure", "maker's manual"} {
		if !strings.Contains(text, word) {
			t.Errorf("nothing is said of %q", word)
		}
	}
	input.Gasket.Needs, input.Gasket.Bears = 60e6, 61e6
	if r, err = Tighten(input); err != nil || r.GasketAccepted {
		t.Errorf("a gasket pressed wrong is accepted: %v %v", r.Warnings, err)
	}
}

// Torque is proportional to preload fraction and nut factor; the long form
// rises with either friction.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mu, collar := rapid.Float64Range(0.02, 0.3).Draw(t, "mu"), rapid.Float64Range(0.02, 0.3).Draw(t, "collar")
		th, err := ParseThread(rapid.SampledFrom([]string{"M6", "M12", "M24x2", "1/2-13", "1-8"}).Draw(t, "thread"))
		if err != nil {
			t.Fatal(err)
		}
		k, err := NutFactorFromFriction(th, Friction{Thread: mu, Collar: collar})
		if err != nil {
			t.Fatal(err)
		}
		more, _ := NutFactorFromFriction(th, Friction{Thread: mu * 1.1, Collar: collar})
		slick, _ := NutFactorFromFriction(th, Friction{Thread: mu, Collar: collar * 0.9})
		if !(slick < k && k < more) {
			t.Fatalf("%g %g %g", slick, k, more)
		}
	})
}

func BenchmarkTighten(b *testing.B) {
	g, _ := FindGrade("8.8")
	th, _ := ParseThread("M12")
	passes, _ := Passes(3)
	input := Input{Thread: th, Grade: g, PreloadFraction: 0.75, Surface: Oiled, Passes: passes, Count: 12}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Tighten(input); err != nil {
			b.Fatal(err)
		}
	}
}
